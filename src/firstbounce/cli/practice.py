"""`firstbounce practice`: the drills, by fault, and one drill in full for a carry."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, json_option, level_option, units_option
from firstbounce.cli.words import Lengths, echo_json, table
from firstbounce.words import Fault, Level

if TYPE_CHECKING:
    from firstbounce.practice.drill import Drill


@click.command("practice", short_help="Drills for a fault, with set-ups for one player.")
@click.argument("drill", required=False)
@click.option(
    "--fault", type=click.Choice([str(fault) for fault in Fault]), help="Only drills for this fault."
)
@click.option("--drills", "own", type=FILE, help="A drill file of your own instead of the shipped one.")
@click.option("--carry", type=float, default=10.0, show_default=True, help="Carry of the set-up, metres.")
@level_option
@json_option
@units_option
def command(
    drill: str | None,
    fault: str | None,
    own: Path | None,
    carry: float,
    level: str | None,
    as_json: bool,
    units: str,
) -> None:
    """List the drills, or show the one called DRILL (a name or number) with its set-up.

    Example:  firstbounce practice "Landing circle" --level "10 to 18" --carry 12
    """
    from firstbounce.services.practice import find_drill, read_drills, set_up_text, shipped_drills

    drills = read_drills(own) if own else shipped_drills()
    chosen = [find_drill(drills, drill)] if drill else [one for one in drills if fault in (None, *one.faults)]
    player_level, lengths = Level(level or Level.TEN_TO_EIGHTEEN), Lengths(units)
    if as_json:
        metres = Lengths("metres").small
        shapes = [asdict(one) | {"set_up": set_up_text(one, player_level, carry, metres)} for one in chosen]
        echo_json({"drills": shapes})
    elif drill:
        click.echo(told(chosen[0], set_up_text(chosen[0], player_level, carry, lengths.small)))
    else:
        rows = [(str(one.number), one.name, ", ".join(one.faults)) for one in chosen]
        click.echo(table(("no", "drill", "for"), rows, left=3))


def told(drill: Drill, set_up: str) -> str:
    """A drill in full."""
    return "\n".join(
        [
            f"{drill.number}. {drill.name}: {drill.purpose}",
            f"  For: {', '.join(drill.faults)}. Needs: {', '.join(drill.equipment)}.",
            f"  Set-up: {set_up}",
            f"  Dose: {drill.balls} balls, about {drill.minutes:g} minutes.",
            f"  Score: {drill.score}. Passed with {drill.passes} of {drill.out_of}.",
            f"  Easier: {drill.easier}",
            f"  Harder: {drill.harder}",
            f"  Caution: {drill.caution}",
        ]
    )
