"""`firstbounce progress`: what changed over the weeks, and what cannot be told from luck."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, json_option, pictures_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json, table

if TYPE_CHECKING:
    from firstbounce.review.progress import Progress as Weeks
    from firstbounce.review.progress import Series


@click.command("progress", short_help="What changed over the weeks, and what may be luck.")
@click.argument("files", nargs=-1, required=True, metavar="GREEN BALLS [GREEN BALLS]...", type=FILE)
@json_option
@pictures_option
def command(files: tuple[Path, ...], as_json: bool, pictures: Path | None) -> None:
    """Follow one player over several days, each given as its green.toml and its balls.csv.

    Example:  firstbounce progress may/green.toml may/balls.csv june/green.toml june/balls.csv
    """
    from firstbounce.errors import ParameterError
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.pictures import save_pictures
    from firstbounce.services.progress import progress_over, progress_pictures

    if len(files) % 2:
        raise ParameterError(f"Give each day as two files, green.toml and balls.csv; got {len(files)} files.")
    pairs = zip(files[::2], files[1::2], strict=True)
    days = [(day, load_balls(balls, day)) for day, balls in ((load_day(g), b) for g, b in pairs)]
    with Progress("Looking over the weeks"):
        seen = progress_over(days)
    if as_json:
        echo_json(seen.to_dict())
    else:
        click.echo(told(seen))
    if pictures:
        for path in save_pictures(pictures, progress_pictures(seen)):
            click.echo(f"wrote {path}", err=as_json)


def told(seen: Weeks) -> str:
    """Sentences first, then the sessions, then how far the numbers can be trusted."""
    lines = [one.change.sentence for one in seen.series]
    for one in seen.series:
        lines += ["", _sessions(one)]
        if one.reliability is not None:
            r = one.reliability
            lines.append(
                f"One session of {r.balls_per_session} balls is good to {100 * r.typical_error:.0f} percent; "
                f"two such sessions must differ by {100 * r.smallest_change:.0f} percent to mean something. "
                f"To see one fifth better takes about {r.balls_for_a_fifth} balls before and after."
            )
    return "\n".join(lines)


HEADS = {
    "landing": "landing miss, % of that expected at the start",
    "finish": "finish miss, % of that expected at the start",
    "contact": "not clean, balls in 100",
}


def _sessions(one: Series) -> str:
    head = (HEADS[one.measure], "balls", "session", "likely between", "running mean", "likely between")
    rows = [
        (
            point.session,
            str(point.n),
            f"{100 * point.value:.0f}",
            f"{100 * point.low:.0f} to {100 * point.high:.0f}",
            f"{100 * point.running:.0f}",
            f"{100 * point.running_low:.0f} to {100 * point.running_high:.0f}",
        )
        for point in one.points
    ]
    return table(head, rows)
