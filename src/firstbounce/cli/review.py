"""`firstbounce review`: wrong plan or wrong strike."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import (
    FILE,
    green_argument,
    json_option,
    pictures_option,
    station_option,
    units_option,
)
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json, table
from firstbounce.units import Lengths, LengthUnit, balls

if TYPE_CHECKING:
    from firstbounce.review.review import Review

PART_WORDS = {
    "plan": "wrong spot",
    "reading": "read wrong",
    "landing": "missed the spot",
    "run": "ran more or less",
    "together": "together",
}
CALLS = (
    "change the plan",
    "practise the strike",
    "read the green again",
    "keep plan and strike",
    "not enough balls yet",
)


@click.command("review", short_help="Wrong plan or wrong strike: what a set of balls says.")
@green_argument
@click.argument("balls_file", metavar="BALLS", type=FILE)
@click.option("--before", type=FILE, help="Balls of this day known when the plan was made, balls.csv.")
@click.option(
    "--earlier",
    type=(FILE, FILE),
    multiple=True,
    metavar="GREEN BALLS",
    help="An earlier day of this player: says what is usual for them. Repeat for each day.",
)
@click.option(
    "--with",
    "others",
    type=(FILE, FILE),
    multiple=True,
    metavar="GREEN BALLS",
    help="Another day of this player, reviewed together with this one: a week, a month. Repeat for each day.",
)
@station_option
@click.option("--session", help="Name of one session of the balls; all when left out.")
@click.option("--ticks", help='What you saw, such as "arms together yes, recoil no".')
@click.option(
    "--call",
    type=click.Choice(CALLS),
    metavar="VERDICT",
    help=f"Your own verdict, kept beside that of the balls: {', '.join(CALLS)}.",
)
@click.option("--note", default="", help="Why, in your words.")
@json_option
@units_option
@pictures_option
def command(
    green: Path,
    balls_file: Path,
    before: Path | None,
    earlier: tuple[tuple[Path, Path], ...],
    others: tuple[tuple[Path, Path], ...],
    station: str | None,
    session: str | None,
    ticks: str | None,
    call: str | None,
    note: str,
    as_json: bool,
    units: str,
    pictures: Path | None,
) -> None:
    """Say whether the balls in BALLS were badly planned or badly struck.

    Example:  firstbounce review green.toml balls.csv --station Gate

    With --with several days are reviewed together: plan and reading day by day, the player's own habits,
    scatter and contact by all days.
    """
    from firstbounce.review.verdict import Call
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.pictures import save_pictures
    from firstbounce.services.review import review_day, review_days, review_pictures
    from firstbounce.technique.by_eye import read_ticks

    if others and (before or session):
        raise click.UsageError(
            "--before and --session belong to one day: leave them out, or leave out --with."
        )
    day = load_day(green)
    logged = load_balls(balls_file, day)
    known, more = (
        [(one, load_balls(file, one)) for one, file in ((load_day(g), b) for g, b in pairs)]
        for pairs in (earlier, others)
    )
    seen_by_eye, unit = read_ticks(ticks) if ticks else None, LengthUnit(units)
    with Progress("Reviewing"):
        if more:
            every = [(day, logged), *more]
            seen = review_days(every, earlier=known, station=station, ticks=seen_by_eye, unit=unit)
        else:
            seen = review_day(
                day,
                logged,
                before=load_balls(before, day) if before else None,
                earlier=known,
                station=station,
                session=session,
                ticks=seen_by_eye,
                unit=unit,
            )
    if call:
        seen = seen.overruled(Call(call), note)
    if as_json:
        echo_json(seen.to_dict())
    else:
        click.echo(told(seen, Lengths(units)))
    if pictures:
        for path in save_pictures(pictures, review_pictures(seen, [day, *(one for one, _ in more)], unit)):
            click.echo(f"wrote {path}", err=as_json)


def told(seen: Review, lengths: Lengths) -> str:
    """The verdict, its reason, and where the misses come from."""
    verdict = seen.verdict
    lines = [verdict.sentence, f"  {verdict.reason}"]
    if verdict.to_try:
        lines.append(f"  {verdict.to_try}")
    lines.append(f"  How sure: {verdict.certainty}, {balls(verdict.n)}.")
    if verdict.by_coach is not None:
        note = f" ({verdict.coach_note})" if verdict.coach_note else ""
        lines.append(f"  The coach's own verdict: {verdict.by_coach}{note}.")
    if len(seen.days) > 1:
        held = ", ".join(f"{one.day} {balls(one.placed + one.tallied)}" for one in seen.days)
        lines.append(f"  {len(seen.days)} days: {held}.")
    lines += ["", _parts(seen, lengths)] if seen.shares else []
    lines += [f"{item.item}: {item.says}, coach-judged." for item in seen.by_eye]
    if len(seen.tallied):
        lines.append(f"{balls(len(seen.tallied))} of them only tallied: counted, not split into parts.")
    lines += [f"Probably a mishit: ball {ball}." for ball in seen.probably_mishit]
    lines += [f"Left out: ball {one.id}, {one.reason}." for one in seen.left_out]
    return "\n".join(lines)


def _parts(seen: Review, lengths: Lengths) -> str:
    """Where the misses come from, part by part."""
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
    return table(head, rows)
