"""Numbers of a guide are those of the plan, the chart and the drills that it was made from."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import guide_pdf
import guide_scenes
import pytest

from firstbounce import files
from firstbounce.guides.blocks import Kind, Table, blocks_of
from firstbounce.guides.card import thinned
from firstbounce.guides.coach import Coach
from firstbounce.guides.lengths import Lengths, date_words
from firstbounce.guides.parts import chart_table, shot_facts
from firstbounce.planning.result import Span
from firstbounce.planning.sentences import club_text
from firstbounce.players.player import Hand, player_of_level
from firstbounce.services import once
from firstbounce.services.chart import chart_day
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.fit import fit_day
from firstbounce.services.guide import Ask, content_of, make, printed
from firstbounce.services.plan import first_station, plan_station
from firstbounce.units import LengthUnit, out_of_ten
from firstbounce.words import Ball, Level, Point

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
    assert len(content.charted.chart.rows) > 10
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


def test_what_a_player_has_rests_on_one_fit_and_one_plan(monkeypatch):
    """Guide, log sheet and card of one player: learned once and planned once; other balls, once more."""
    worked: list[str] = []
    for name in ("fit_day", "plan_station"):
        real = getattr(once, name)

        def noted(*more, real=real, name=name, **even_more):
            worked.append(name)
            return real(*more, **even_more)

        monkeypatch.setattr(once, name, noted)
    once.forget()
    ask = Ask(green=DEMO / "green.toml", balls=DEMO / "balls.csv", coach=COACH, drills=("Line brush",))
    made = [make(replace(ask, kind=kind)) for kind in (Kind.PLAYER, Kind.LOG_SHEET, Kind.CARD)]
    assert worked == ["fit_day", "plan_station"] and all(one.pdf for one in made)
    make(replace(ask, level=Level.BEGINNER, kind=Kind.LOG_SHEET))  # another player: nothing kept fits
    assert worked == ["fit_day", "plan_station"] * 2


def test_a_guide_says_the_plan_and_the_fit_that_the_commands_say(day, logged, told):
    """One way to a number: the name on the guide changes none, a kept plan is the plan made anew."""
    ask, content, _ = told
    fitted = fit_day(day, logged)
    planned = plan_station(day, first_station(day), fit=fitted, unit=ask.unit)
    again = content_of(replace(ask, player="Another Name"), day, logged)
    assert again.shot.plan == planned == content.shot.plan
    assert again.charted.chart == chart_day(day, fitted) == content.charted.chart
    assert again.player == "Another Name"


def test_the_hand_and_level_of_the_guide_are_those_that_are_learned_from(day, logged):
    ask = Ask(coach=COACH, hand=Hand.LEFT, level=Level.BEGINNER, kind=Kind.CARD)
    content = content_of(ask, day, logged)
    left = replace(
        day, player=player_of_level(Level.BEGINNER, name="R. T.", hand=Hand.LEFT, bag=day.player.bag)
    )
    assert content.charted.chart == chart_day(left, fit_day(left, logged))
    assert content.level is Level.BEGINNER


def test_without_a_green_the_shot_is_planned_on_a_usual_one_and_said():
    ask = Ask(player="Tom", coach=COACH, drills=("Landing circle",))
    content = content_of(ask, None, None)
    made = printed(ask, content)
    found = guide_pdf.bare(guide_pdf.text_of(made.pdf))
    first = content.shot.plan.first
    assert guide_pdf.bare("Your shot: a usual green") in found
    assert guide_pdf.bare("A usual green, not yours: level, 6 paces from ball to edge") in found
    assert guide_pdf.bare(said(first.carry_m.value, LengthUnit.METRES)) in found
    assert content.drills[0].carry_m == pytest.approx(first.carry_m.value, abs=0.5)
    assert content.basis.day is None and guide_pdf.bare("2000") not in found


def test_a_small_chance_is_said_as_everywhere():
    putt = replace(guide_scenes.choice(LengthUnit.METRES), is_putt=True, circle=None, up_and_down=0.02)
    assert shot_facts(putt, Lengths())[1].value == out_of_ten(0.02) == "2 in 100"
