"""Error scores against a worked example, and the precision of a mean miss against simulation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import CannotEstimate
from firstbounce.players import scores


def test_worked_example_of_the_course_notes():
    # read: motor-control course notes (CE -0.8, VE 4.4); E from the same five numbers, exact
    outcomes = [93, 103, 99, 105, 96]
    assert scores.constant_error(outcomes, 100) == pytest.approx(-0.8)
    assert scores.variable_error(outcomes, 100) == pytest.approx(4.40, abs=0.005)
    assert scores.total_error(outcomes, 100) == pytest.approx(4.472, abs=0.0005)


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=40), st.floats(-1e3, 1e3))
def test_total_is_constant_and_variable_in_quadrature(outcomes, target):
    parts = scores.constant_error(outcomes, target) ** 2 + scores.variable_error(outcomes, target) ** 2
    assert scores.total_error(outcomes, target) ** 2 == pytest.approx(parts, rel=1e-6, abs=1e-6)


def test_standard_error_of_a_mean_miss_equals_simulation():
    misses = np.hypot(*np.random.default_rng(3).normal(size=(2, 20_000, 30))).mean(axis=1)
    assert scores.mean_miss_standard_error(30) == pytest.approx(misses.std() / misses.mean(), rel=0.02)


def test_one_ball_has_no_precision():
    with pytest.raises(CannotEstimate, match="Not enough balls yet"):
        scores.mean_miss_standard_error(1)
    with pytest.raises(CannotEstimate, match="no balls"):
        scores.constant_error([], 0)
