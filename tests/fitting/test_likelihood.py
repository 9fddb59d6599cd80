"""Likelihood of finishes: against SciPy, and slopes against differences."""

import numpy as np
import pytest
from scipy.stats import multivariate_t

from firstbounce.fitting.assumptions import Assumptions
from firstbounce.fitting.likelihood import (
    GIVEN,
    HOLED,
    NOTHING,
    PAST,
    POINT,
    SHORT,
    TWO_PACES,
    Finishes,
    log_chances,
    log_student,
    pull,
    spreads,
)

ASSUMED = Assumptions()


def finishes(*kinds):
    n = len(kinds)
    return Finishes(
        np.array(kinds), np.full(n, 0.25), np.full(n, 0.25), np.full(n, 0.25), np.full(n, 2.4), np.zeros(n)
    )


def spread(seen, ln_scatter=-2.0, run=8.0):
    n = len(seen.kind)
    return spreads(
        seen, np.full(n, run), np.full(n, 6.0), (np.ones(n), np.ones(n)), np.array(ln_scatter), ASSUMED
    )


def test_student_is_the_two_dimensional_t():
    ours = log_student(np.array([0.7]), np.array([-0.4]), np.array([1.2]), np.array([0.5]), 5.0)
    theirs = multivariate_t(shape=np.diag([1.2**2, 0.5**2]), df=5).logpdf([0.7, -0.4])
    assert ours[0] == pytest.approx(theirs, rel=1e-12)


def test_scatter_grows_with_the_run_and_never_below_the_placing():
    seen = finishes(POINT)
    assert spread(seen, run=16.0).along[0] > spread(seen, run=8.0).along[0]
    assert spread(seen, ln_scatter=-20.0).along[0] == pytest.approx(np.hypot(0.25, 0.25))


@pytest.mark.parametrize("kind", [POINT, HOLED, GIVEN, TWO_PACES, SHORT, PAST])
@pytest.mark.parametrize("along", [-3.0, 0.4, 2.5])
def test_pull_is_the_slope_of_the_likelihood_of_a_clean_strike(kind, along):
    seen, here, across = finishes(kind), np.array([along]), np.array([0.3])
    s, certain = spread(seen), np.array([-50.0])
    h = 1e-4
    up, down = (log_chances(seen, here + d, across, s, ASSUMED)[0][0] for d in (h, -h))
    assert pull(seen, here, across, s, certain, ASSUMED).along[0] == pytest.approx(
        (up - down) / (2 * h), abs=0.03
    )


def test_a_finish_that_nobody_saw_pulls_at_nothing():
    seen = finishes(NOTHING)
    p = pull(seen, np.array([5.0]), np.array([1.0]), spread(seen), np.zeros(1), ASSUMED)
    assert p.along[0] == p.across[0] == p.curve_along[0] == p.curve_across[0] == 0


def test_a_far_ball_is_called_a_mishit_and_pulls_little():
    seen, across = finishes(POINT), np.zeros(1)
    s, odds = spread(seen), np.array([np.log(0.1 / 0.9)])
    near = pull(seen, np.array([0.8]), across, s, odds, ASSUMED)
    far = pull(seen, np.array([8.0]), across, s, odds, ASSUMED)
    assert near.clean[0] > 0.9 and far.clean[0] < 0.3
    assert abs(far.along[0]) < abs(near.along[0])


def test_many_scales_at_once_are_the_same_as_one_by_one():
    seen = finishes(POINT, HOLED, GIVEN, PAST)
    along, across, odds = np.array([0.5, 1.0, 0.2, 2.0]), np.zeros(4), np.full(4, -2.0)
    grid = np.array([-2.5, -1.5])
    both = spreads(seen, np.full(4, 8.0), np.full(4, 6.0), (np.ones(4), np.ones(4)), grid[:, None], ASSUMED)
    many = log_chances(seen, along, across, both, ASSUMED)[0]
    for row, value in zip(many, grid, strict=True):
        assert row == pytest.approx(log_chances(seen, along, across, spread(seen, value), ASSUMED)[0])
    assert pull(seen, along, across, both, odds, ASSUMED).along.shape == (2, 4)
