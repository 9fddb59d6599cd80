"""Tallies: counts and ranges, never invented points; a tally is a placed ball seen through a grid."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from review_sets import FIT, GROUND, reviewed, some_balls, some_tallies
from scipy import stats

from firstbounce.review.questions import Question
from firstbounce.review.tallied import allowed, sign_chance, tally_answers, tally_set
from firstbounce.review.verdict import Call
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Lie, Point, Strike


def answers_of(tallies):
    seen = tally_set(tallies, FIT, GROUND, AirSpec(), Laws(), ())
    return {answer.question: answer for answer in tally_answers(seen, FIT)}


@given(k=st.integers(0, 30), m=st.integers(0, 30))
def test_sign_test_is_the_exact_binomial(k, m):
    expected = (
        1.0
        if k + m == 0
        else min(1.0, 2 * min(stats.binom(k + m, 0.5).cdf(k), stats.binom(k + m, 0.5).sf(k - 1)))
    )
    assert sign_chance(k, m) == pytest.approx(expected)


def test_range_of_a_normal_likelihood_is_ninety_percent():
    grid = np.linspace(-10, 10, 4001)
    best, low, high = allowed(grid, -0.5 * ((grid - 1) / 0.5) ** 2)
    assert (best, low, high) == pytest.approx((1.0, 1 - 1.645 * 0.5, 1 + 1.645 * 0.5), abs=0.01)


def test_counts_that_only_bound_give_the_bound_and_an_open_end():
    grid = np.linspace(-10, 10, 401)
    best, low, high = allowed(grid, stats.norm.logcdf((grid - 2) / 0.5))
    assert math.isinf(high) and best == low and 1.5 < low < 3


def test_balls_in_the_circle_that_all_run_past_call_the_plan():
    seen = reviewed([], some_tallies(("in", "further, past", 12)))
    assert seen.verdict.call is Call.CHANGE_PLAN
    assert "at least" in seen.verdict.sentence and "shorter" in seen.verdict.sentence
    assert seen.verdict.answer is not None and seen.verdict.answer.tallied == 12 and seen.verdict.n == 12


def test_tallies_half_past_and_half_short_say_nothing_is_wrong_with_the_plan():
    found = answers_of(
        some_tallies(("in", "further, past", 5), ("in", "further, short", 5), ("in", "given", 3))
    )
    assert found[Question.PLAN].chance == 1.0 and found[Question.PLAN].effect == 0.0


def test_landings_all_long_call_the_strike_and_not_the_plan():
    seen = reviewed([], some_tallies(("long", "not seen", 12), ("in", "not seen", 2), strike=Strike.CLEAN))
    assert seen.verdict.call is Call.PRACTISE_STRIKE
    assert "long" in seen.verdict.sentence


def test_many_misses_of_a_wide_circle_are_scatter_and_few_of_a_narrow_one_are_not():
    kinds = (("short", "not seen", 6), ("long", "not seen", 6), ("in", "not seen", 4))
    wide = answers_of(some_tallies(*kinds, radius=2.0, strike=Strike.CLEAN))[Question.DISTANCE_SPREAD]
    narrow = answers_of(some_tallies(*kinds, radius=0.5, strike=Strike.CLEAN))[Question.DISTANCE_SPREAD]
    assert wide.chance < 0.05 < narrow.chance
    assert wide.low <= wide.effect < wide.high and wide.low > 0


def test_placed_and_tallied_balls_are_put_together():
    placed = some_balls(6, hole=17.0)
    tallies = [replace(t, hole=Point(0, 17.0)) for t in some_tallies(("in", "further, short", 6))]
    alone, both = reviewed(placed), reviewed(placed, tallies)
    plan = [next(a for a in r.answers if a.question is Question.PLAN) for r in (alone, both)]
    assert plan[1].chance < plan[0].chance and plan[1].tallied == 6 and plan[1].n == 6
    assert plan[1].effect == plan[0].effect  # the tallies move no point
    assert both.counts.balls == 12


def test_mishits_among_the_tallies_count_for_contact_only():
    tallies = some_tallies(("short", "not seen", 8), strike=Strike.HEAVY)
    seen = reviewed(some_balls(4), tallies)
    assert seen.verdict.call is Call.PRACTISE_STRIKE and "mostly heavy" in seen.verdict.sentence
    assert not any(a.tallied for a in seen.answers if a.question is Question.DISTANCE_BIAS)


def test_unusable_tallies_are_named():
    good = some_tallies(("in", "given", 4))
    bad = replace(good[0], id="wet one", lie=Lie(wet=True))
    seen = reviewed([], [*good, bad])
    assert [(one.id, one.reason) for one in seen.left_out] == [
        ("wet one", "its lie is wet and the day is dry")
    ]


def test_two_tallies_are_not_enough():
    said = reviewed([], some_tallies(("in", "given", 2))).verdict
    assert said.call is Call.NOT_ENOUGH and said.more_balls == 1
