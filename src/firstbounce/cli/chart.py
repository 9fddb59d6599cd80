"""`firstbounce chart`: carry and run of each club."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.fit import runs_table
from firstbounce.cli.options import balls_option, green_argument, json_option, pictures_option, units_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json
from firstbounce.units import Lengths, LengthUnit, balls

if TYPE_CHECKING:
    from firstbounce.planning.chart import Chart


def carries(context: click.Context, option: click.Parameter, typed: str | None) -> tuple[float, ...]:
    """Metres from text like "4,8,12"."""
    try:
        return tuple(float(part) for part in (typed or "").split(",") if part.strip())
    except ValueError:
        raise click.BadParameter(f"{typed!r} is not a list of metres like 4,8,12") from None


@click.command("chart", short_help="Carry and run of each club on today's green.")
@green_argument
@balls_option
@click.option("--carries", callback=carries, help="Carries in metres, such as 4,8,12.")
@json_option
@units_option
@pictures_option
def command(
    green: Path,
    balls: Path | None,
    carries: tuple[float, ...],
    as_json: bool,
    units: str,
    pictures: Path | None,
) -> None:
    """Chart how far each club runs for this player on today's green, by carry, on level ground.

    Example:  firstbounce chart green.toml --balls balls.csv --carries 4,8,12
    """
    from firstbounce.services.chart import chart_day
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.fit import fit_day
    from firstbounce.services.pictures import chart_picture, save_pictures

    day = load_day(green)
    logged = load_balls(balls, day) if balls else None
    with Progress("Charting"):
        fitted = fit_day(day, logged) if logged else None
        chart = chart_day(day, fitted, carries)
    if as_json:
        echo_json(chart.to_dict())
    else:
        click.echo("\n".join([told(chart, Lengths(units)), *(fitted.remarks if fitted else ())]))
    if pictures:
        for path in save_pictures(pictures, {"chart": chart_picture(day.today, chart, LengthUnit(units))}):
            click.echo(f"wrote {path}", err=as_json)


def told(chart: Chart, lengths: Lengths) -> str:
    """The chart as a table."""
    n = chart.learned_from
    known = f"learned from {balls(n)}" if n else "typical for the level, no balls"
    head = f"Run in {lengths.short} for {chart.player} ({known}), and what the average likely lies between."
    return f"{head}\n\n{runs_table(chart, lengths)}"
