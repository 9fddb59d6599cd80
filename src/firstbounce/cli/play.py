"""`firstbounce play`: one shot."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import (
    balls_option,
    green_argument,
    json_option,
    pictures_option,
    units_option,
)
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json
from firstbounce.units import Lengths, LengthUnit, balls

if TYPE_CHECKING:
    from firstbounce.services.play import Shot


@click.command("play", short_help="Play one shot: carry, bounces, run and rest.")
@green_argument
@click.option("--station", help="Name of the station; the first of the file when left out.")
@click.option("--club", required=True, help="Club, as in the player's bag.")
@click.option("--carry", "carry_m", type=float, required=True, help="Metres from start to landing spot.")
@click.option(
    "--right",
    "right_m",
    type=float,
    default=0.0,
    help="Metres right of the line to the hole; left is negative.",
)
@balls_option
@json_option
@units_option
@pictures_option
def command(
    green: Path,
    station: str | None,
    club: str,
    carry_m: float,
    right_m: float,
    balls: Path | None,
    as_json: bool,
    units: str,
    pictures: Path | None,
) -> None:
    """Play the ball that this player usually hits with CLUB when it lands where it is meant to.

    For the putter --carry is how far the ball would roll on level ground.

    Example:  firstbounce play green.toml --club PW --carry 8
    """
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.fit import fit_day
    from firstbounce.services.pictures import save_pictures, shot_picture, side_picture
    from firstbounce.services.plan import first_station
    from firstbounce.services.play import play_shot

    day = load_day(green)
    place = first_station(day) if station is None else day.station(station)
    with Progress("Playing"):
        fitted = fit_day(day, load_balls(balls, day)) if balls else None
        shot = play_shot(day, place, club, carry_m=carry_m, right_m=right_m, fit=fitted)
    if as_json:
        echo_json(shot.to_dict())
    else:
        click.echo(told(shot, Lengths(units)))
    if pictures:
        unit = LengthUnit(units)
        drawn = {
            f"{place.name} {shot.club} above": shot_picture(day, shot, unit),
            f"{place.name} {shot.club} side": side_picture(day, place, shot.club, shot.path, unit),
        }
        for path in save_pictures(pictures, drawn):
            click.echo(f"wrote {path}", err=as_json)


def told(shot: Shot, lengths: Lengths) -> str:
    """The shot in words."""
    lines = [f"{shot.station.name}, {shot.club}: the usual ball, {_known(shot.learned_from_balls)}."]
    if shot.carry_m > 0:
        lines.append(
            f"  carries {lengths.long(shot.carry_m)} ({shot.hang_time_s:.1f} s in the air, "
            f"top at {lengths.small(shot.apex_m)}), comes down at {shot.land_deg:.0f} degrees,"
        )
        lines.append(f"  bounces {_times(shot.bounces)} and runs {lengths.long(shot.run_m)}.")
    else:
        lines.append(f"  rolls {lengths.long(shot.run_m)} in {shot.time_s:.1f} s.")
    lines.append(f"  {_end(shot, lengths)}")
    return "\n".join(lines)


def _known(n: int) -> str:
    return f"learned from {balls(n)}" if n else "usual values, no balls logged"


def _times(n: int) -> str:
    return {0: "not at all", 1: "once", 2: "twice"}.get(n, f"{n} times")


def _end(shot: Shot, lengths: Lengths) -> str:
    if shot.holed:
        return f"It is {shot.outcome}."
    how_far = f"{lengths.small(abs(shot.long_m))} {'past' if shot.long_m > 0 else 'short'}"
    aside = f"{lengths.small(abs(shot.right_m))} {'right' if shot.right_m > 0 else 'left'}"
    ends = {"stopped": "Stops", "plugged": "Plugs"}.get(str(shot.outcome), f"Ends ({shot.outcome})")
    return f"{ends} {lengths.small(shot.left_m)} from the hole: {how_far}, {aside}."
