"""`firstbounce review`: wrong plan or wrong strike."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, green_argument, json_option, station_option, units_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import Lengths, balls, echo_json, table
from firstbounce.units import LengthUnit

if TYPE_CHECKING:
    from firstbounce.review.review import Review

PART_WORDS = {
    "plan": "wrong spot",
    "reading": "read wrong",
    "landing": "missed the spot",
    "run": "ran more or less",
    "together": "together",
}


@click.command("review", short_help="Wrong plan or wrong strike: what a set of balls says.")
@green_argument
@click.argument("balls_file", metavar="BALLS", type=FILE)
@click.option("--before", type=FILE, help="Balls known when the plan was made, balls.csv.")
@station_option
@json_option
@units_option
def command(
    green: Path, balls_file: Path, before: Path | None, station: str | None, as_json: bool, units: str
) -> None:
    """Say whether the balls in BALLS were badly planned or badly struck.

    Example:  firstbounce review green.toml balls.csv --station Gate
    """
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.review import review_day

    day = load_day(green)
    logged = load_balls(balls_file, day)
    known = load_balls(before, day) if before else None
    with Progress("Reviewing"):
        seen = review_day(day, logged, before=known, station=station, unit=LengthUnit(units))
    if as_json:
        echo_json(seen.to_dict() | {"tallied": len(logged.tallies)})
        return
    click.echo(told(seen, Lengths(units)))
    if logged.tallies:
        click.echo(f"{balls(len(logged.tallies))} only tallied: used to learn the day, not split into parts.")


def told(seen: Review, lengths: Lengths) -> str:
    """The verdict, its reason, and where the misses come from."""
    verdict = seen.verdict
    lines = [verdict.sentence, f"  {verdict.reason}"]
    if verdict.to_try:
        lines.append(f"  {verdict.to_try}")
    lines.append(f"  How sure: {verdict.certainty}, {balls(verdict.n)}.")
    rows = [
        (
            PART_WORDS[s.part],
            lengths.small(s.mean_along),
            lengths.small(s.mean_across),
            f"{s.square_m2.value:.2f}",
        )
        for s in seen.shares
    ]
    head = ("part", "long (+), short (-)", "right (+), left (-)", "mean square, m2")
    lines += ["", table(head, rows)]
    for ball in seen.probably_mishit:
        lines.append(f"Probably a mishit: ball {ball}.")
    lines += [f"Left out: ball {one.id}, {one.reason}." for one in seen.left_out]
    return "\n".join(lines)
