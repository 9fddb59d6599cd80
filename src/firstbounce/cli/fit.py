"""`firstbounce fit`: what the logged balls say."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, green_argument, json_option, pictures_option, units_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json, table
from firstbounce.units import Lengths, LengthUnit, balls, out_of_ten

if TYPE_CHECKING:
    from firstbounce.fitting.result import Known
    from firstbounce.planning.chart import Chart, ChartRow
    from firstbounce.services.fit import FittedDay


@click.command("fit", short_help="Learn the day and the player from logged balls.")
@green_argument
@click.argument("balls_file", metavar="BALLS", type=FILE)
@json_option
@units_option
@pictures_option
def command(green: Path, balls_file: Path, as_json: bool, units: str, pictures: Path | None) -> None:
    """Learn today's green and this player from the balls logged in BALLS.

    Example:  firstbounce fit green.toml balls.csv
    """
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.fit import fit_day, with_chart
    from firstbounce.services.pictures import chart_picture, save_pictures

    day = load_day(green)
    logged = load_balls(balls_file, day)
    with Progress("Learning from the balls"):
        fitted = with_chart(day, fit_day(day, logged))
    if as_json:
        echo_json(fitted.to_dict())
    else:
        click.echo(told(fitted, Lengths(units), len(logged.every)))
    if pictures:
        drawn = {"chart": chart_picture(day.today, fitted.chart, LengthUnit(units))}
        for path in save_pictures(pictures, drawn):
            click.echo(f"wrote {path}", err=as_json)


VERDICTS = {
    "fitted": "Learned from {balls}.",
    "prior only": "Not enough balls yet ({balls}): below is what is typical for the level and this day.",
    "balls disagree": "The balls do not agree with one green and one player ({balls}): nothing was learned.",
}


def told(fitted: FittedDay, lengths: Lengths, logged: int) -> str:
    """What was learned, in a coach's words, each value with its give or take."""
    fit = fitted.fit
    parts = [VERDICTS[fit.verdict].format(balls=f"{fit.n_balls} of {balls(logged)} logged")]
    parts += [f"  {remark}" for remark in fit.remarks]
    parts.append("")
    parts.append(table(("", "", "likely between", "from"), _values(fitted, lengths), left=1))
    parts.append("")
    parts.append("Run on level ground, and what it likely lies between (the average of many balls):")
    parts.append(runs_table(fitted.chart, lengths))
    parts += _aside(fitted)
    return "\n".join(parts)


def _values(fitted: FittedDay, lengths: Lengths) -> list[tuple[str, str, str, str]]:
    fit = fitted.fit
    spread = f"spread of carry at {lengths.long(10.0)}"
    ten = _carry_spread(fit.spread_floor_m, fit.spread_share, lengths)
    return [
        _row("green speed, ft", fit.stimp_ft, "{:.1f}"),
        _row("firmness (1 is usual)", fit.firmness, "{:.2f}"),
        _row("hands ahead, degrees beyond usual", fit.lean_deg, "{:+.1f}"),
        (spread, *ten, _behind(fit.spread_floor_m)),
        _row("spread of direction, degrees", fit.direction_deg, "{:.1f}"),
        _row("lands past (+) or short (-), % of carry", _scaled(fit.carry_bias, 100), "{:+.0f}"),
        _row("lands right (+) or left (-), degrees", fit.direction_bias_deg, "{:+.1f}"),
        _row("balls in 100 not clean", _scaled(fit.mishit_share, 100), "{:.0f}"),
    ]


def _carry_spread(floor: Known, share: Known, lengths: Lengths) -> tuple[str, str]:
    """Spread of carry at 10 m; its range is that of the two parts together, at most."""
    value, low, high = (
        ((getattr(floor, end)) ** 2 + (10 * getattr(share, end)) ** 2) ** 0.5
        for end in ("value", "low", "high")
    )
    return lengths.small(value), f"{lengths.small(low)} to {lengths.small(high)}"


def _scaled(known: Known, by: float) -> Known:
    from dataclasses import replace

    return replace(known, value=by * known.value, low=by * known.low, high=by * known.high)


def _row(what: str, known: Known, form: str) -> tuple[str, str, str, str]:
    span = f"{form.format(known.low)} to {form.format(known.high)}"
    return what, form.format(known.value), span, _behind(known)


def _behind(known: Known) -> str:
    return f"{known.source}, {balls(known.n)}"


def runs_table(chart: Chart, lengths: Lengths) -> str:
    """Club by carry: mean run with its range, and how many balls were hit with the club."""
    carries = sorted({row.carry_m for row in chart.rows})
    by = {(row.club, row.carry_m): row for row in chart.rows}
    count = {row.club: str(row.balls) for row in chart.rows}
    head = ["club", *(f"carry {lengths.long(carry)}" for carry in carries), "balls"]
    rows = [
        [club, *(_run(by.get((club, carry)), lengths) for carry in carries), count[club]] for club in count
    ]
    return table(head, rows)


def _run(row: ChartRow | None, lengths: Lengths) -> str:
    if row is None:
        return "too far"
    run = row.run_m
    return f"{lengths.number(run.value)} ({lengths.number(run.low)} to {lengths.number(run.high)})"


def _aside(fitted: FittedDay) -> list[str]:
    fit = fitted.fit
    lines = [f"Perhaps a mishit ({out_of_ten(one.probability)}): ball {one.id}." for one in fit.suspects]
    lines += [f"Left out: ball {one.id}, {one.reason}." for one in fit.set_aside]
    return ["", *lines] if lines else []
