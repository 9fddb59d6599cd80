"""The worth of knowing: against two-choice problems with a known answer."""

import math

import numpy as np
import pytest

from firstbounce.errors import ParameterError
from firstbounce.planning.draws import generator
from firstbounce.planning.information import expected_once_known, worth_of_knowing

N = 4096
X = generator(1).standard_normal((N, 2))
NOISE = generator(2).standard_normal(N)


def test_known_answer_for_a_normal_difference():
    # Two choices that differ by s x, x standard normal: knowing x saves s E[max(x, 0)] = s / sqrt(2 pi).
    costs = np.column_stack([2 + NOISE, 2 + NOISE + 0.3 * X[:, 0]])
    assert worth_of_knowing(costs, X[:, 0]) == pytest.approx(0.3 / math.sqrt(2 * math.pi), rel=0.1)


def test_knowing_what_does_not_matter_is_worth_nothing():
    costs = np.column_stack([2 + NOISE, 2.05 + NOISE + 0.3 * X[:, 0]])
    assert worth_of_knowing(costs, X[:, 1]) < 0.01


def test_a_choice_that_always_wins_leaves_nothing_to_learn():
    costs = np.column_stack([2 + NOISE, 3 + NOISE + 0.1 * X[:, 0]])
    assert worth_of_knowing(costs, X[:, 0]) == 0


def test_knowing_both_is_worth_at_least_as_much_as_one():
    costs = np.column_stack([2 + NOISE, 2 + NOISE + 0.2 * X[:, 0] + 0.2 * X[:, 1]])
    assert worth_of_knowing(costs, X) > worth_of_knowing(costs, X[:, 0])


def test_expected_value_follows_the_curve_and_not_the_noise():
    values = (X[:, 0] ** 2 + NOISE)[:, None]
    fitted = expected_once_known(values, X[:, 0])[:, 0]
    middle = np.abs(X[:, 0]) < 1.5
    assert np.abs(fitted - X[:, 0] ** 2)[middle].max() < 0.3


def test_an_input_that_is_known_already_is_no_trouble():
    costs = np.column_stack([2 + NOISE, 2.1 + NOISE])
    assert worth_of_knowing(costs, np.full(N, 3.0)) == 0


def test_too_few_draws_are_refused():
    with pytest.raises(ParameterError, match="at least 64"):
        worth_of_knowing(np.zeros((10, 2)), np.zeros(10))
