"""`firstbounce practice list` and `show`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import (
    FILE,
    json_option,
)
from firstbounce.cli.practice_options import (
    fault_option,
    own_option,
    set_up_options,
    yardsticks_of,
)
from firstbounce.cli.words import echo_json, table
from firstbounce.units import out_of_ten
from firstbounce.words import Level

if TYPE_CHECKING:
    from firstbounce.practice.drill import Drill
    from firstbounce.practice.set_up import SetUp


@click.command("list", short_help="The drills, all or for a fault.")
@fault_option
@own_option
@json_option
def list_command(faults: tuple[str, ...], own: Path | None, as_json: bool) -> None:
    """List the drills.

    Example:  firstbounce practice list --fault heavy
    """
    from firstbounce.services.practice import all_drills

    chosen = [drill for drill in all_drills(own) if not faults or set(faults) & set(drill.faults)]
    if as_json:
        echo_json({"drills": [drill_shape(drill) for drill in chosen]})
        return
    rows = [(str(one.number), one.name, ", ".join(one.faults), ", ".join(one.needs)) for one in chosen]
    click.echo(table(("no", "drill", "for", "needs"), rows, left=4))


def drill_shape(drill: Drill) -> dict[str, Any]:
    """A drill in JSON."""
    return {
        "number": drill.number,
        "drill": drill.name,
        "purpose": drill.purpose,
        "faults": [str(fault) for fault in drill.faults],
        "stages": [str(stage) for stage in drill.stages],
        "equipment": list(drill.equipment),
        "places": [str(place) for place in drill.places],
        "ground": list(drill.ground),
        "usual_balls": drill.balls,
        "minutes": drill.minutes,
    }


@click.command("show", short_help="One drill, set up for one player, with its drawing.")
@click.argument("drill")
@click.option(
    "--carry", type=float, help="Wanted carry, metres; the middle of the drill's range when left out."
)
@click.option("--scores", type=FILE, help="scores.csv: places of sticks and the last circle come from it.")
@set_up_options
def show_command(
    drill: str,
    carry: float | None,
    scores: Path | None,
    own: Path | None,
    green: Path | None,
    balls: Path | None,
    level: str | None,
    hand: str | None,
    pace: float | None,
    shoe: float | None,
    pictures: Path | None,
    as_json: bool,
    units: str,
) -> None:
    """Show DRILL, a name or number, with its set-up for this player.

    Example:  firstbounce practice show "Landing circle" --level "10 to 18" --carry 12 --pictures drawings
    """
    from firstbounce.players.player import Hand
    from firstbounce.services.pictures import save_pictures
    from firstbounce.services.practice import all_drills, find_drill, player_now, set_up_now
    from firstbounce.services.practice_session import next_circle, sticks_of

    drills = all_drills(own)
    found = find_drill(drills, drill)
    now = player_now(
        sticks=sticks_of(scores, drills),
        green=green,
        balls=balls,
        level=Level(level) if level else None,
        hand=Hand(hand) if hand else None,
    )
    shown = set_up_now(
        found,
        now,
        carry_m=carry,
        yardsticks=yardsticks_of(units, pace, shoe),
        circle_m=next_circle(scores, drills, found),
    )
    if as_json:
        echo_json(shown.to_dict())
    else:
        click.echo(told(shown))
    if pictures:
        for path in save_pictures(pictures, {found.name: shown.drawing}):
            click.echo(f"Drawn: {path}", err=True)


def told(shown: SetUp) -> str:
    """A drill in full."""
    drill = shown.drill
    lines = [
        f"{drill.number}. {drill.name}: {drill.purpose}",
        f"  For: {', '.join(drill.faults)}. Needs: {', '.join(drill.equipment)}.",
        f"  Set-up: {shown.text}",
    ]
    for number in shown.numbers:
        span = f", likely {number.likely}" if number.likely else ""
        lines.append(f"    {number.what}: {number.words} ({number.rests_on}{span})")
    lines += [
        f"  Dose: {drill.balls} balls, about {drill.minutes:g} minutes.",
        f"  Score: {shown.score}. Passed with {drill.passes} of {drill.out_of}.",
    ]
    if shown.expected is not None:
        lines.append(f"  To expect: about {out_of_ten(shown.expected)} of all balls, mishits counted.")
    lines += [f"  Easier: {shown.easier}", f"  Harder: {shown.harder}", f"  Caution: {shown.caution}"]
    return "\n".join([*lines, *(f"  {remark}" for remark in shown.remarks)])
