"""Scores, ellipses and the correction for several questions."""

import numpy as np
import pytest

from firstbounce.review.questions import holm, mishit_tail
from firstbounce.review.spread import (
    bivariate_variable_error,
    centroid_radial_error,
    ellipse_factor,
    scores,
)


def test_worked_example_of_constant_and_variable_error():
    # Course notes (read): 93, 103, 99, 105, 96 about 100: CE -0.8, VE 4.40, E 4.472 (computed).
    xy = np.column_stack([np.array([93, 103, 99, 105, 96]) - 100.0, np.zeros(5)])
    assert centroid_radial_error(xy) == pytest.approx(0.8)
    assert bivariate_variable_error(xy) == pytest.approx(4.40, abs=0.005)
    assert scores(xy, np.random.default_rng(0)).total_along == pytest.approx(4.472, abs=0.001)


def test_mean_square_is_centre_plus_spread():
    xy = np.random.default_rng(2).normal(0.4, 1.0, (20, 2))
    total = np.mean((xy**2).sum(1))
    assert total == pytest.approx(centroid_radial_error(xy) ** 2 + bivariate_variable_error(xy) ** 2)


def test_ellipse_of_many_balls_is_chi_squared():
    assert ellipse_factor(0.9) == pytest.approx(4.605, abs=0.001)  # from memory, equals -2 ln(1 - p)
    assert ellipse_factor(0.9, 100_000) == pytest.approx(4.605, abs=0.01)


def test_ellipse_of_few_balls_holds_the_next_one():
    rng = np.random.default_rng(3)
    hits, factor = 0, ellipse_factor(0.8, 6)
    for _ in range(4000):
        xy = rng.normal(size=(7, 2))
        away = xy[6] - xy[:6].mean(0)
        hits += away @ np.linalg.solve(np.cov(xy[:6].T), away) <= factor
    assert hits / 4000 == pytest.approx(0.8, abs=0.03)


def test_holm_by_hand():
    assert holm([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06])


def test_chance_of_no_mishit_or_more_is_one():
    assert mishit_tail(0, 12, 0.1, 10) == pytest.approx(1.0)
