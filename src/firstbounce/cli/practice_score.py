"""`firstbounce practice score`: one drill scored, and kept in a file when one is named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, json_option, units_option
from firstbounce.cli.practice_options import own_option, yardsticks_of
from firstbounce.cli.words import echo_json
from firstbounce.errors import ParameterError
from firstbounce.units import out_of_ten

if TYPE_CHECKING:
    from firstbounce.practice.scoring import DrillScore, Try


@click.command("score", short_help="Score a drill: passed or not, and what next.")
@click.argument("drill")
@click.option("--hits", type=int, help="Successes, with --of.")
@click.option("--of", "tries", type=int, help="Tries, with --hits.")
@click.option(
    "--marks",
    help="Each try in its order, x a hit, o a miss, m a mishit: xxoxm, or 'x@1.2 o' with radii of circles.",
)
@click.option("--radius", type=float, help="Radius of the circle, metres.")
@click.option("--carries", help="Carry of each try, metres, commas between.")
@click.option("--stick", type=float, help="Place of the stick ahead of the ball, metres.")
@click.option("--player", default="player", show_default=True, help="Name or initials.")
@click.option("--note", default="", help="A remark to keep.")
@click.option("--keep", type=FILE, help="File scores.csv to add it to; made when it is not there.")
@own_option
@json_option
@units_option
def score_command(
    drill: str,
    hits: int | None,
    tries: int | None,
    marks: str | None,
    radius: float | None,
    carries: str | None,
    stick: float | None,
    player: str,
    note: str,
    keep: Path | None,
    own: Path | None,
    as_json: bool,
    units: str,
) -> None:
    """Score DRILL, a name or number.

    Example:  firstbounce practice score "Landing circle" --marks xxoxxoxxxxox --radius 1.8 --keep scores.csv
    """
    from firstbounce.services.practice import all_drills, find_drill
    from firstbounce.services.practice_session import score_now

    drills = all_drills(own)
    found = find_drill(drills, drill)
    made = _with_lengths(_tries(hits, tries, marks, radius), carries, stick)
    score = score_now(
        found, made, player=player, keep=keep, drills=drills, yardsticks=yardsticks_of(units), note=note
    )
    if as_json:
        echo_json(score.to_dict())
    else:
        click.echo(told(score, keep))


def _tries(hits: int | None, of: int | None, marks: str | None, radius: float | None) -> tuple[Try, ...]:
    from firstbounce.practice.scoring import tries_of_count, tries_of_marks

    if (marks is None) == (hits is None or of is None):
        raise ParameterError("Say what was hit: either --marks, or --hits together with --of.")
    if marks is not None:
        return tries_of_marks(marks, radius)
    if radius is not None:
        raise ParameterError(
            "A radius needs the tries in their order: use --marks in place of --hits and --of."
        )
    return tries_of_count(hits or 0, of or 0)


def _with_lengths(tries: tuple[Try, ...], carries: str | None, stick: float | None) -> tuple[Try, ...]:
    """Carries and the place of the stick added to each try."""
    if carries is None:
        return tuple(replace(one, stick_m=stick) for one in tries)
    try:
        numbers = [float(word) if word.strip() else None for word in carries.split(",")]
    except ValueError:
        raise ParameterError(f"Carries must be numbers with commas between, got {carries!r}.") from None
    if len(numbers) != len(tries):
        raise ParameterError(f"There are {len(tries)} tries and {len(numbers)} carries; each try needs one.")
    return tuple(
        replace(one, carry_m=carry, stick_m=stick) for one, carry in zip(tries, numbers, strict=True)
    )


def told(score: DrillScore, keep: Path | None) -> str:
    """A score in words."""
    passed = {True: "passed", False: "not passed", None: "too few tries to pass or fail"}[score.passed]
    likely = f"{out_of_ten(score.low)} to {out_of_ten(score.high)}"
    lines = [
        f"{score.drill}: {score.hits} of {score.out_of}, {passed} (in the long run likely {likely}).",
        f"  {score.advice}",
    ]
    if score.size_m is not None:
        span = f"{score.size_low_m:.1f} to {score.size_high_m:.1f} m"
        lines.append(
            f"  Radius hit 7 times in 10: {score.size_m:.1f} m, likely {span}, from {score.out_of} balls."
        )
    if keep:
        lines.append(f"  Kept in {keep}.")
    return "\n".join(lines)
