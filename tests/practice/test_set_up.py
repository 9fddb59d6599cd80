"""A drill set up for one player: numbers, what they rest on, words and drawing."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.fitting.fit import fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.circle import circle_chance
from firstbounce.players.player import Hand, player_of_level
from firstbounce.practice.landing import landing_of_fit, landing_of_player
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.runs import runs_of_chart, usual_runs
from firstbounce.practice.set_up import set_up
from firstbounce.practice.stick import stick_model
from firstbounce.services.practice import find_drill, shipped_drills
from firstbounce.units import LengthUnit
from firstbounce.words import Ball, Level, Lie, Point

DRILLS = shipped_drills()
LEVELS = tuple(Level)
SVG = "{http://www.w3.org/2000/svg}"
TODAY = GreenToday.of_words("medium", "medium")


def drill(name):
    return find_drill(DRILLS, name)


def logged(n, *, sd=0.4, bias=0.0, carry=9.0, seed=3):
    """Clean balls at one spot, by a player with this spread and bias along [m]."""
    rng = np.random.default_rng(seed)
    along, across = carry + bias + sd * rng.normal(size=n), 0.3 * rng.normal(size=n)
    return [
        Ball(
            id=f"{k}",
            club="PW",
            lie=Lie(),
            start=Point(0, 0),
            hole=Point(0, 20),
            aim=Point(0, carry),
            landed=Point(float(x), float(y)),
            landed_sd_m=0.05,
        )
        for k, (y, x) in enumerate(zip(along, across, strict=True))
    ]


@pytest.fixture(scope="module")
def learned():
    player = player_of_level(Level.NINETEEN_TO_TWENTY_EIGHT)
    return fit(logged(40), today=TODAY, ground=Ground.level(), player=player)


@pytest.mark.parametrize("one", DRILLS, ids=lambda d: d.name)
@pytest.mark.parametrize("level", LEVELS)
def test_every_drill_can_be_set_up_for_every_level(one, level):
    shown = set_up(one, player_of_level(level))
    assert one.carry_m[0] - 0.3 <= shown.carry_m <= one.carry_m[1] + 0.3
    assert "{" not in shown.text + shown.caution + shown.easier + shown.harder and shown.caution
    root = ElementTree.fromstring(shown.drawing)
    said = root.findtext(f"{SVG}desc")
    assert root.get("role") == "img" and "Caution" in said and len(said) > 60


@settings(max_examples=60, deadline=None)
@given(
    one=st.sampled_from(DRILLS),
    level=st.sampled_from(LEVELS),
    carry=st.floats(0.5, 60),
    unit=st.sampled_from(list(LengthUnit)),
    hand=st.sampled_from(list(Hand)),
    pace=st.floats(0.6, 1.1),
    shoe=st.floats(0.2, 0.35),
)
def test_no_drill_needs_a_tape(one, level, carry, unit, hand, pace, shoe):
    """Every length is whole clubs, shoes, hands or fingers, or half paces, and near what was wanted."""
    sticks = Yardsticks(unit=unit, pace_m=pace, shoe_m=shoe)
    shown = set_up(one, player_of_level(level, hand=hand), carry_m=carry, yardsticks=sticks)
    for number in shown.numbers:
        steps = number.words.split(" (")[0]
        assert re.fullmatch(
            r"(\d+½?|0½) paces?|\d+ (club|shoe|hand|finger)s?( and \d+ (shoe|hand)s?)?", steps
        )
        assert number.length_m == pytest.approx(number.exact_m, abs=max(0.26 * pace, 0.6 * shoe, 0.06))
    assert not re.search(r"\b(cm|mm|inch)", re.sub(r"\([^)]*\)", "", shown.text))


def test_the_circle_is_hit_as_often_as_it_says():
    player = player_of_level(Level.SINGLE_FIGURE)
    shown = set_up(drill("Landing circle"), player, carry_m=12)
    radius, carry = shown.number("circle").length_m, shown.carry_m
    chance = (1 - player.mishits.share) * circle_chance(
        radius,
        along_m=float(player.spread.along_m(carry)),
        across_m=float(player.spread.across_m(carry)),
    )
    assert shown.expected == pytest.approx(chance, abs=1e-9)
    assert shown.expected == pytest.approx(0.7, abs=0.05)  # the rounding of the rope


def test_own_balls_replace_the_level_and_narrow_the_interval(learned):
    typical = set_up(drill("Landing circle"), learned.player, carry_m=9).number("circle")
    own = set_up(drill("Landing circle"), learned.player, carry_m=9, fit=learned).number("circle")
    assert typical.rests_on == "typical for the level" and typical.n == 0
    assert own.rests_on == "learned from 40 balls" and own.n == 40
    assert own.exact_m < 0.6 * typical.exact_m  # spread 0.4 m in place of about 1.6 m
    assert own.high_m / own.low_m < typical.high_m / typical.low_m


def test_a_usual_miss_widens_the_circle_about_the_spot_only():
    player = player_of_level(Level.SINGLE_FIGURE)
    missed = fit(logged(40, bias=1.2), today=TODAY, ground=Ground.level(), player=player)
    spot = set_up(drill("Landing circle"), player, carry_m=9, fit=missed).number("circle")
    own = set_up(drill("Landing circle"), player, carry_m=9, fit=missed, own_centre=True).number("circle")
    assert spot.exact_m > 1.3 * own.exact_m
    assert "own centre" in own.what and "spot" in spot.what


def test_interval_of_the_circle_holds_the_truth():
    """Players whose spread the level's prior describes: nine in ten of the intervals hold the true radius."""
    player = player_of_level(Level.TEN_TO_EIGHTEEN)
    landing = landing_of_player(player)
    rng, held = np.random.default_rng(8), 0
    size = landing.circle(0.7, 10.0, about_spot=False)
    root = np.linalg.cholesky(np.array(landing.covariance))
    for _ in range(300):
        step = root @ rng.normal(size=5)
        grown = replace(
            player.spread,
            floor_m=player.spread.floor_m * np.exp(step[0]),
            share=player.spread.share * np.exp(step[1]),
            direction_deg=player.spread.direction_deg * np.exp(step[2]),
        )
        truth = landing_of_player(replace(player, spread=grown)).circle(0.7, 10.0, about_spot=False).value
        held += size.low <= truth <= size.high
    assert 0.84 <= held / 300 <= 0.96


def test_without_a_landed_ball_the_level_stands(learned):
    unseen = fit(
        [replace(ball, landed=None, finished=Point(0, 17)) for ball in logged(3)],
        today=TODAY,
        ground=Ground.level(),
        player=learned.player,
    )
    assert landing_of_fit(unseen).n == 0


def test_the_stick_learns_from_logged_balls():
    stick = drill("Stick for the finish")
    usual = set_up(stick, player_of_level(Level.BEGINNER), carry_m=10).number("stick")
    sticks = stick_model([(0.5, 10.0)] * 10)
    own = set_up(stick, player_of_level(Level.BEGINNER), carry_m=10, sticks=sticks).number("stick")
    assert own.exact_m == pytest.approx(0.5, abs=0.03) and own.n == 10
    assert own.high_m - own.low_m < usual.high_m - usual.low_m


def test_low_and_high_club_stop_at_the_same_hole():
    player = player_of_level(Level.TEN_TO_EIGHTEEN)
    shown, runs = set_up(drill("Low, high, low, high"), player, carry_m=9), usual_runs(player.bag)
    low, high, hole = (shown.number(name).exact_m for name in ("low", "carry", "distance"))
    assert low < high < hole
    assert runs.nearest(38).total_m(low) == pytest.approx(hole, rel=1e-6)
    assert runs.nearest(56).total_m(high) == pytest.approx(hole, rel=1e-6)


def test_usual_runs_are_those_of_the_model():
    from firstbounce.planning.chart import chart

    player = player_of_level(Level.TEN_TO_EIGHTEEN)
    rows = chart(player, TODAY, carries_m=(4, 8, 14))
    usual, fitted = usual_runs(player.bag), runs_of_chart(rows)
    for row in rows.rows:
        for runs, near in ((usual, 0.2), (fitted, 0.1)):  # the usual ones say where a hole goes, no more
            law = next(law for law in runs.laws if law.club == row.club)
            assert law.total_m(row.carry_m) == pytest.approx(row.total_m, rel=near), row


def test_left_handed_is_the_mirror_image():
    one = drill("Stick for the finish")
    right, left = (
        set_up(one, player_of_level(Level.SINGLE_FIGURE, hand=hand)).picture
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    for a, b in zip(right.signs + right.near, left.signs + left.near, strict=True):
        assert (a.x, a.to_x) == (-b.x, -b.to_x) and (a.y, a.to_y) == (b.y, b.to_y)
    assert left.figure.mirrored and not right.figure.mirrored
    assert "to the left" in " ".join(sign.said for sign in left.near)


def test_what_is_outside_the_drill_is_said():
    shown = set_up(drill("Towel under both arms"), player_of_level(Level.BEGINNER), carry_m=25)
    assert shown.carry_m == pytest.approx(9.9) and "meant for carries" in shown.remarks[0]


@pytest.mark.parametrize("more", [{"carry_m": 0.1}, {"carry_m": 100}, {"success": 0.99}, {"circle_m": 50}])
def test_nonsense_is_refused(more):
    with pytest.raises(ParameterError, match=r"got"):
        set_up(drill("Landing circle"), player_of_level(Level.BEGINNER), **more)
