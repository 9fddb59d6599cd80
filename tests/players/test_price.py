"""The price of a finish: benchmark strokes, edges of the green, outcomes, and speed of thought."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.ground.turf import CODES
from firstbounce.players.mishits import MISHITS_OF_LEVEL
from firstbounce.players.player import player_of_level
from firstbounce.players.putts import expected_putts
from firstbounce.players.recovery import BENCHMARK, BENCHMARK_YD, tour_leave_m
from firstbounce.players.skill import PUTTING_OF_LEVEL, TOUR_PUTTING
from firstbounce.players.spread import SPREAD_OF_LEVEL
from firstbounce.players.strokes import TURF_CODES, strokes_table, strokes_table_of
from firstbounce.shot.laws import OUTCOMES
from firstbounce.units import METRES_PER_FOOT, METRES_PER_YARD, stimp_to_deceleration
from firstbounce.words import Level, Outcome, TurfKind

TEN = stimp_to_deceleration(10)
EXPERT = Level.SCRATCH
levels = st.sampled_from(list(Level))
OFF_GREEN = [kind for kind in TurfKind if kind is not TurfKind.GREEN]


def priced(table, distances, kind=TurfKind.GREEN, outcome=Outcome.STOPPED, **more):
    distances = np.atleast_1d(np.asarray(distances, float))
    known = {"height_finish": 0.0, "height_hole": 0.0, "green_deceleration": TEN, "start_distance_m": 15.0}
    finish = np.column_stack([distances, np.zeros_like(distances)])
    return table.price(finish, OUTCOMES.index(outcome), TURF_CODES[kind], (0.0, 0.0), **(known | more))


def of(level):
    return strokes_table(player_of_level(level))


def test_turf_codes_are_those_of_the_ground():
    assert TURF_CODES == CODES


@pytest.mark.parametrize(
    ("kind", "column"),
    [(TurfKind.FAIRWAY, "fairway"), (TurfKind.LIGHT_ROUGH, "rough"), (TurfKind.BUNKER, "sand")],
)
def test_tour_player_meets_the_benchmark(kind, column):
    # Broadie (2012, 2014), from memory: high for 20, 40, 60 yd, medium for 10, 30, 50 yd.
    table = strokes_table_of(TOUR_PUTTING, SPREAD_OF_LEVEL[EXPERT], MISHITS_OF_LEVEL[EXPERT])
    for yards, strokes in zip(BENCHMARK_YD[:6], BENCHMARK[column], strict=False):
        assert table.off_green(kind, yards * METRES_PER_YARD) == pytest.approx(strokes, abs=0.02)


def test_tour_leaves_agree_with_our_notes():
    # Mean leaves solved from the same benchmark with the benchmark's own putts: 4.3, 7.5, 10.0, 12.2 ft.
    leaves = tour_leave_m("fairway", np.array([10, 20, 30, 40]) * METRES_PER_YARD) / METRES_PER_FOOT
    assert leaves == pytest.approx([4.3, 7.5, 10.0, 12.2], abs=0.4)


def test_amateur_chips_stand_where_the_anecdotes_put_them():
    # Press article, read as a copy, a low bound: up and down from 30 yd 11 % for handicap 10, <3 % for 30.
    # With 90-golfer putting 11 % means 25 % of the distance left on average: about 3.2 strokes.
    ten_handicap = of(Level.TEN_TO_EIGHTEEN).off_green(TurfKind.FAIRWAY, 30 * METRES_PER_YARD)
    thirty_handicap = of(Level.BEGINNER).off_green(TurfKind.FAIRWAY, 30 * METRES_PER_YARD)
    assert 3.0 < ten_handicap < 3.3
    assert 3.6 < thirty_handicap < 4.3


@settings(deadline=None, max_examples=60)
@given(level=levels, kind=st.sampled_from(list(TurfKind)), distance=st.floats(0.05, 60))
def test_further_is_never_cheaper(level, kind, distance):
    near, far = priced(of(level), [distance, 1.02 * distance], kind).strokes
    assert 1 <= near <= far + 1e-9


@settings(deadline=None, max_examples=60)
@given(level=levels, kind=st.sampled_from(OFF_GREEN), distance=st.floats(0.2, 25))
def test_off_the_green_is_never_cheaper_than_on_it(level, kind, distance):
    table = of(level)
    green, other = priced(table, distance).strokes[0], priced(table, distance, kind).strokes[0]
    step = {TurfKind.FRINGE: 0.35, TurfKind.TEMPORARY_GREEN: 0.45, TurfKind.FAIRWAY: 0.75}.get(kind, 2.5)
    assert green <= other <= green + step


def test_the_edge_of_the_green_is_no_cliff():
    table = of(Level.TEN_TO_EIGHTEEN)
    green, fringe = (priced(table, 5.0, kind).strokes[0] for kind in (TurfKind.GREEN, TurfKind.FRINGE))
    assert 0.02 < fringe - green < 0.2


@settings(deadline=None, max_examples=40)
@given(kind=st.sampled_from(list(TurfKind)), distance=st.floats(0.3, 40))
def test_a_worse_level_never_pays_less(kind, distance):
    costs = [priced(of(level), distance, kind).strokes[0] for level in Level]
    assert all(b >= a - 2e-3 for a, b in pairwise(costs))


def test_each_outcome_has_its_price():
    table = of(Level.SINGLE_FIGURE)
    price = {outcome: priced(table, 4.0, TurfKind.FAIRWAY, outcome).strokes[0] for outcome in OUTCOMES}
    assert price[Outcome.HOLED_ROLLING] == price[Outcome.HOLED_FLYING] == 0
    again = table.off_green(TurfKind.FAIRWAY, 15.0)
    assert price[Outcome.IN_WATER] == pytest.approx(1 + again)
    assert price[Outcome.STOPPED] < price[Outcome.PLUGGED] < price[Outcome.IN_WATER]
    assert price[Outcome.STOPPED] < price[Outcome.LEFT_MAP] == price[Outcome.CANNOT_STOP]


def test_price_on_a_slope_is_expected_putts_on_that_slope():
    table, skill = of(Level.SCRATCH), PUTTING_OF_LEVEL[Level.SCRATCH]
    above = priced(table, 5.0, height_finish=0.10).strokes[0]  # the ball above the hole putts downhill
    below = priced(table, 5.0, height_finish=-0.10).strokes[0]
    assert above == pytest.approx(expected_putts(skill, 5.0, green_deceleration=TEN, slope=-0.02), rel=1e-9)
    assert below == pytest.approx(expected_putts(skill, 5.0, green_deceleration=TEN, slope=0.02), rel=1e-9)
    aside = priced(table, 5.0, gradient=(0.0, 0.02)).strokes[0]
    assert aside == pytest.approx(
        expected_putts(skill, 5.0, green_deceleration=TEN, slope_across=0.02), rel=1e-9
    )
    assert below < above


def test_price_turns_with_the_scene():
    table = of(Level.TEN_TO_EIGHTEEN)
    rng = np.random.default_rng(4)
    finish, gradient, turn = rng.normal(0, 5, (50, 2)), np.array([0.02, -0.01]), 0.7
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    fixed = {"height_hole": 0.0, "green_deceleration": TEN, "start_distance_m": 12.0}
    one = table.price(finish, 0, 0, (0, 0), height_finish=finish @ gradient, gradient=gradient, **fixed)
    other = table.price(
        finish @ matrix.T, 0, 0, (0, 0), height_finish=finish @ gradient, gradient=matrix @ gradient, **fixed
    )
    np.testing.assert_allclose(one.strokes, other.strokes, atol=1e-9)


def test_chance_to_hole_the_next_one():
    table = of(Level.TEN_TO_EIGHTEEN)
    green = priced(table, [0.02, 0.5, 1.0, 2.0, 5.0, 10.0]).next_holes
    assert green[0] == pytest.approx(1, abs=1e-6)
    assert list(green) == sorted(green, reverse=True)
    rough = priced(table, [1.0, 5.0], TurfKind.LIGHT_ROUGH).next_holes
    assert np.all((rough > 0) & (rough < green[[2, 4]]))
    assert priced(table, 3.0, outcome=Outcome.HOLED_ROLLING).next_holes[0] == 0


def test_one_hole_or_many_one_green_speed_or_many():
    table = of(Level.SCRATCH)
    finish = np.random.default_rng(1).normal(0, 3, (20, 2))
    fixed = {"height_finish": 0.0, "height_hole": 0.0, "start_distance_m": 10.0}
    one = table.price(finish, 0, 0, (1.0, 2.0), green_deceleration=TEN, **fixed)
    many = table.price(
        finish, np.zeros(20, np.uint8), np.zeros(20, np.uint8), np.tile([1.0, 2.0], (20, 1)),
        green_deceleration=np.full(20, TEN), **fixed,
    )  # fmt: skip
    np.testing.assert_array_equal(one.strokes, many.strokes)


def test_wrong_shapes_and_codes_are_refused():
    table = of(Level.SCRATCH)
    fixed = {"height_finish": 0.0, "height_hole": 0.0, "green_deceleration": TEN, "start_distance_m": 10.0}
    with pytest.raises(ParameterError, match="finish_xy needs shape"):
        table.price(np.zeros((3, 3)), 0, 0, (0, 0), **fixed)
    with pytest.raises(ParameterError, match="Codes of turf"):
        table.price(np.zeros((3, 2)), 0, 99, (0, 0), **fixed)
    with pytest.raises(ParameterError, match="0 m or more"):
        table.off_green(TurfKind.FAIRWAY, -1)
