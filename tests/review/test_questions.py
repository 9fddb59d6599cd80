"""Corrections, combined chances and the trimmed spread."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from firstbounce.review.questions import (
    WEIGHT,
    Question,
    balls_needed,
    correct,
    holm,
    mishit_tail,
    moderated,
    spread_chance,
    together,
    weighted,
)
from firstbounce.review.spread import may_be_mishits, trimmed_square

chance = st.floats(1e-6, 1.0)


def test_holm_by_hand():
    assert holm([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06])


def test_weighted_holm_by_hand():
    # 0.01 / 0.75 is the least: 0.01 x 1 / 0.75; then 0.02 x 0.25 / 0.25 = 0.02, not below the one before
    assert holm([0.01, 0.02], [0.75, 0.25]) == pytest.approx([0.01 / 0.75, 0.02])


@given(chances=st.lists(chance, min_size=1, max_size=8), data=st.data())
def test_correction_never_makes_a_chance_smaller_and_keeps_single_ones(chances, data):
    weights = data.draw(st.lists(st.floats(0.05, 1), min_size=len(chances), max_size=len(chances)))
    corrected = holm(chances, weights)
    assert all(c >= p * (1 - 1e-12) for c, p in zip(corrected, chances, strict=True))
    assert holm(chances[:1], weights[:1]) == pytest.approx(chances[:1])


def test_anything_at_all_is_called_in_five_of_a_hundred_sets():
    rng = np.random.default_rng(1)
    questions = list(Question)
    any_called = [min(correct(questions, rng.random(len(questions)).tolist())) <= 0.05 for _ in range(4000)]
    assert np.mean(any_called) == pytest.approx(0.05, abs=0.012)


def test_weights_are_shares():
    assert set(WEIGHT) == set(Question)
    assert sum(WEIGHT.values()) == pytest.approx(1.0)


def test_moderated_variance_lies_between_the_two_and_is_plain_without_a_usual_one():
    values = np.array([1.0, 3.0, 5.0, 7.0])
    mean = weighted(values, np.ones(4))
    assert (mean.value, mean.square, mean.n) == pytest.approx((4.0, values.var(ddof=1), 4.0))
    assert moderated(mean, 1.0, 0.0) == pytest.approx((values.var(ddof=1), 3.0))
    square, freedom = moderated(mean, 1.0, 5.0)
    assert 1.0 < square < values.var(ddof=1) and freedom == 8.0


def test_a_ball_of_no_weight_is_as_if_it_were_not_there():
    values = np.array([1.0, 3.0, 5.0, 90.0])
    some, all_but = weighted(values, np.array([1, 1, 1, 0.0])), weighted(values[:3], np.ones(3))
    assert (some.value, some.square, some.n) == pytest.approx((all_but.value, all_but.square, all_but.n))


def test_spread_chance_is_that_of_the_f_distribution():
    assert spread_chance(2.5, 9, 20) == pytest.approx(stats.f(9, 20).sf(2.5))


def test_two_equal_sets_give_what_one_of_both_would():
    # two equal normal scores of equal weight: the sum is root 2 times each
    z = 1.5
    p = 2 * stats.norm.sf(z)
    assert together(Question.PLAN, [(p, 1.0, 9), (p, 1.0, 9)]) == pytest.approx(
        2 * stats.norm.sf(z * np.sqrt(2))
    )
    assert together(Question.PLAN, [(p, 1.0, 9), (p, -1.0, 9)]) == pytest.approx(1.0)


def test_chance_of_no_mishit_or_more_is_one():
    assert mishit_tail(0, 12, 0.1, 10) == pytest.approx(1.0)
    assert mishit_tail(5, 12, 0.1, 1e6) == pytest.approx(stats.binom(12, 0.1).sf(4), rel=1e-3)


def test_more_balls_are_needed_for_a_smaller_effect():
    large, small = balls_needed(1.5, 0.5, 5), balls_needed(0.9, 0.5, 5)
    assert large is not None and small is not None and large < small
    assert balls_needed(0.01, 0.5, 5) is None


@pytest.mark.parametrize(("n", "dropped"), [(10, 2), (20, 3), (30, 5)])
def test_trimmed_spread_of_clean_balls_is_one_and_false_alarms_stay_below_five_percent(n, dropped):
    rng = np.random.default_rng(n)
    found = [trimmed_square(rng.standard_normal(n), dropped) for _ in range(3000)]
    assert np.mean([square for square, _ in found]) == pytest.approx(1.0, abs=0.03)
    assert np.mean([spread_chance(square, freedom, 1e6) <= 0.05 for square, freedom in found]) < 0.06


def test_a_trimmed_spread_does_not_move_with_the_mishits():
    rng = np.random.default_rng(4)
    z = rng.standard_normal(20)
    z[:2] = (9.0, -8.0)
    assert trimmed_square(z, 0)[0] > 6
    assert trimmed_square(z, 4)[0] < 3


def test_nothing_is_trimmed_from_tagged_balls():
    assert may_be_mishits(np.empty(0)) == 0
    assert may_be_mishits(np.full(20, 0.125)) == 5
