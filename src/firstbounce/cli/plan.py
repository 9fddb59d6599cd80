"""`firstbounce plan`: which club, which landing spot."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import (
    FILE,
    balls_option,
    json_option,
    pictures_option,
    station_option,
    units_option,
)
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import Lengths, balls, echo_json, out_of_ten, table
from firstbounce.units import LengthUnit

if TYPE_CHECKING:
    from firstbounce.planning.result import Choice, Plan


@click.command("plan", short_help="Choose club and landing spot, ranked by expected strokes.")
@click.argument("green", type=FILE, required=False)
@station_option
@balls_option
@json_option
@units_option
@pictures_option
def command(
    green: Path | None,
    station: str | None,
    balls: Path | None,
    as_json: bool,
    units: str,
    pictures: Path | None,
) -> None:
    """Rank every club and its best landing spot by the strokes it takes to hole out.

    Example:  firstbounce plan green.toml --balls balls.csv --station Gate
    """
    if green is None:
        raise click.UsageError("Name a green file.")
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.fit import fit_day
    from firstbounce.services.pictures import plan_pictures, save_pictures
    from firstbounce.services.plan import plan_stations

    unit = LengthUnit(units)
    day = load_day(green)
    names = [station] if station else []
    logged = load_balls(balls, day) if balls else None
    with Progress("Planning") as progress:
        fitted = fit_day(day, logged) if logged else None
        plans = plan_stations(day, names, fit=fitted, unit=unit, progress=progress)
    if as_json:
        echo_json({"plans": [plan.to_dict() for plan in plans]})
    else:
        click.echo("\n\n".join(told(plan, Lengths(unit)) for plan in plans))
    if pictures:
        for plan in plans:
            for path in save_pictures(pictures, plan_pictures(day, plan, unit)):
                click.echo(f"wrote {path}", err=as_json)


def told(plan: Plan, lengths: Lengths) -> str:
    """A plan in words: the sentence, then the choices in a table."""
    station = plan.station
    far = ((station.hole[0] - station.start[0]) ** 2 + (station.hole[1] - station.start[1]) ** 2) ** 0.5
    lines = [f"{station.name} ({station.lie.kind}, {lengths.long(far)} to the hole)", f"  {plan.reason}"]
    if plan.warning:
        lines.append(f"  {plan.warning}")
    if plan.first.advice:
        lines.append(f"  {plan.first.advice}")
    known = (
        f"learned from {balls(plan.learned_from)}" if plan.learned_from else "typical for the level, no balls"
    )
    lines += [f"  How sure: {plan.certainty}; {known}.", ""]
    head = ("  club", "carry", "run (9 of 10 balls)", "circle", "strokes", "give or take", "up and down", "")
    lines.append(table(head, [_row(choice, k, lengths) for k, choice in enumerate(plan.choices)]))
    lines += [f"  Not used: {left}." for left in plan.left_out]
    return "\n".join(lines)


def _row(choice: Choice, place: int, lengths: Lengths) -> tuple[str, ...]:
    run = choice.run_m
    give = (choice.strokes.high - choice.strokes.low) / 2
    mark = "best" if place == 0 else "equal" if choice.equal else f"+{choice.behind:.2f}"
    return (
        f"  {choice.club}",
        "-" if choice.is_putt else lengths.number(choice.carry_m.value),
        f"{lengths.number(run.value)} ({lengths.number(run.low)} to {lengths.number(run.high)})",
        "-" if choice.circle is None else lengths.small(choice.circle.radius_m),
        f"{choice.strokes.value:.2f}",
        f"{give:.2f}",
        out_of_ten(choice.up_and_down),
        mark,
    )
