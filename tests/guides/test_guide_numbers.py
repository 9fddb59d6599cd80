"""Numbers of a guide are those of the plan, the chart and the drills that it was made from."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import guide_pdf
import pytest

from firstbounce import files
from firstbounce.guides.blocks import Kind, Table, blocks_of
from firstbounce.guides.card import thinned
from firstbounce.guides.coach import Coach
from firstbounce.guides.lengths import Lengths, date_words
from firstbounce.guides.parts import chart_table
from firstbounce.planning.result import Span
from firstbounce.planning.sentences import club_text
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.guide import Ask, content_of, printed
from firstbounce.units import LengthUnit
from firstbounce.words import Ball, Point

DEMO = Path(files.__file__).parent / "demo"
COACH = Coach(name="Mara Quill", pace_m=0.8)


def halves_or_whole(value: float) -> str:
    """As plans say lengths: halves below 5, whole numbers above (docs/plan.md)."""
    return f"{round(value * 2) / 2 if value < 5 else round(value):g}"


def said(length_m: float, unit: LengthUnit) -> str:
    if unit is LengthUnit.METRES:
        return f"{halves_or_whole(length_m)} m"
    words = halves_or_whole(length_m / 0.9144)
    return f"{words} yard" if words == "1" else f"{words} yards"


@pytest.fixture(scope="module")
def day():
    return load_day(DEMO / "green.toml")


@pytest.fixture(scope="module")
def logged(day):
    return load_balls(DEMO / "balls.csv", day)


@pytest.fixture(
    scope="module", params=[LengthUnit.METRES, pytest.param(LengthUnit.YARDS, marks=pytest.mark.slow)]
)
def told(request, day, logged):
    ask = Ask(
        green=DEMO / "green.toml", coach=COACH, unit=request.param, drills=("Landing circle", "Line brush")
    )
    content = content_of(ask, day, logged)
    return ask, content, printed(ask, content)


def test_the_shot_says_the_numbers_of_the_plan(told):
    ask, content, made = told
    first = content.shot.plan.first
    found = guide_pdf.bare(guide_pdf.text_of(made.pdf))
    if not first.is_putt:
        carry, run = first.carry_m.value, first.mean_run_m.value
        for wanted in (said(carry, ask.unit), said(run, ask.unit), f"{carry / 0.8:.0f} paces"):
            assert guide_pdf.bare(wanted) in found, wanted
    assert guide_pdf.bare(content.shot.plan.reason) in found
    assert (
        guide_pdf.bare(f"Learned from {content.shot.plan.learned_from} balls of yours on 14 May 2026")
        in found
    )


def test_every_cell_of_the_chart_is_the_run_of_the_chart(told):
    ask, content, made = told
    chart = content.charted.chart
    found = guide_pdf.bare(guide_pdf.text_of(made.pdf))
    table = next(one for one in blocks_of(made.guide.blocks, Table) if one.label.startswith("Run of each"))
    cells = {}
    carries = sorted({row.carry_m for row in chart.rows})
    for row in table.rows:
        for carry, cell in zip(carries, row[1:], strict=True):
            cells[row[0][0].lower(), carry] = cell
    for row in chart.rows:
        cell = cells[club_text(row.club).lower(), row.carry_m]
        assert cell[0] == said(row.run_m.value, ask.unit)
        assert float(cell[1].split()[0].replace("half", "0.5")) == pytest.approx(
            row.run_m.value / 0.8, abs=0.51
        )
        assert guide_pdf.bare("".join(cell)) in found
    assert guide_pdf.bare(f"Green speed {chart.stimp_ft.value:.1f} ft") in found


def test_a_drill_says_the_numbers_of_its_set_up(told):
    _, content, made = told
    found = guide_pdf.bare(guide_pdf.text_of(made.pdf))
    for one in content.drills:
        assert guide_pdf.bare(one.text) in found
        assert guide_pdf.bare(f"{one.drill.passes} of {one.drill.out_of}") in found
        for number in one.numbers:
            paced, _, length = number.words.partition(" (")
            assert guide_pdf.bare(paced) in found and guide_pdf.bare(length.removesuffix(")")) in found


def test_the_card_says_the_same_runs_in_both_units(told):
    ask, content, _ = told
    made = printed(replace(ask, kind=Kind.CARD), content)
    carries = thinned(sorted({row.carry_m for row in content.charted.chart.rows}))
    runs = {(row.club, row.carry_m): row.run_m.value for row in content.charted.chart.rows}
    for unit, table in zip(LengthUnit, blocks_of(made.guide.blocks, Table), strict=True):
        assert str(unit) in table.label
        assert [head[0] for head in table.head[1:]] == [said(carry, unit).split()[0] for carry in carries]
        for club, *cells in table.rows:
            shown = [cell[0].split()[0] for cell in cells]
            assert shown == [said(runs[club[0], carry], unit).split()[0] for carry in carries]


def many(logged, count: int):
    """Invented: the demo's balls again and again, moved a little so that no two are the same."""
    balls: list[Ball] = []
    while len(balls) < count:
        k = len(balls)
        ball = logged.balls[k % len(logged.balls)]
        moved = [
            None
            if place is None
            else Point(place.x_m + 0.11 * ((k * 7) % 11 - 5), place.y_m + 0.09 * (k % 9 - 4))
            for place in (ball.landed, ball.finished)
        ]
        balls.append(replace(ball, id=f"{ball.id}-{k}", landed=moved[0], finished=moved[1]))
    return replace(logged, balls=tuple(balls), tallies=())


@pytest.mark.slow
@pytest.mark.parametrize("count", [30, 2000])
def test_thirty_balls_and_two_thousand(day, logged, count):
    content = content_of(Ask(coach=COACH), day, many(logged, count))
    made = printed(Ask(coach=COACH), content)
    assert content.basis.balls == pytest.approx(count, rel=0.1)
    assert guide_pdf.bare(f"Learned from {content.basis.balls:,} balls") in guide_pdf.bare(
        guide_pdf.text_of(made.pdf)
    )


def test_no_data_at_all_is_said_and_still_gives_a_chart():
    content = content_of(Ask(player="Tom", coach=COACH), None, None)
    made = printed(Ask(player="Tom", coach=COACH), content)
    found = guide_pdf.text_of(made.pdf)
    assert "No balls of yours yet: typical for your level (10 to 18)" in found.replace("\n", " ")
    assert content.shot is None and len(content.charted.chart.rows) > 10
    assert "usual value, not measured" in found.replace("\n", " ")


@pytest.mark.parametrize(
    "half, words",
    [
        (0.1, "give or take half a step"),
        (0.8, "give or take 1 step"),
        (1.7, "give or take 2 steps"),
        (3.0, "give or take 4 steps"),
        (7.0, "a rough guess"),
    ],
)
def test_give_or_take_in_steps(half, words):
    """A pace of 0.8 m and a value of 10 m; never fewer steps than the length says, but for a quarter."""
    assert Lengths(pace_m=0.8).steps(Span(value=10, low=10 - half, high=10 + half)) == words


def test_small_lengths_and_dates():
    metric, imperial = Lengths(), Lengths(unit=LengthUnit.YARDS)
    assert [metric.near(x) for x in (0.3, 0.97, 1.0, 2.26)] == ["30 cm", "95 cm", "1 m", "2.3 m"]
    assert [imperial.near(x) for x in (0.1, 0.3048, 1.0)] == ["4 in", "1 ft", "3 ft 3 in"]
    assert date_words(datetime.date(2026, 5, 4)) == "4 May 2026" and date_words(None) == ""
    assert "0.9 m" in metric.pace_words() and "35 inches" in imperial.pace_words()


def test_a_carry_too_long_for_a_club_says_so(told):
    _, content, _ = told
    chart = content.charted.chart
    fewer = replace(chart, rows=tuple(row for row in chart.rows if (row.club, row.carry_m) != ("7i", 3.5)))
    table = chart_table(fewer, Lengths())
    assert ("too far",) in table.rows[0]
