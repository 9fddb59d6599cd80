"""Published scores and check values, ellipses against SciPy and simulation."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from firstbounce.errors import CannotEstimate
from firstbounce.players.circle import circle_chance, circle_radius_m
from firstbounce.players.scores import RAYLEIGH_MEAN, RAYLEIGH_SD, mean_miss_standard_error
from firstbounce.review.progress import mean_miss
from firstbounce.review.reliability import (
    balls_for_change,
    smallest_change,
    typical_error,
    typical_error_of_limits,
)
from firstbounce.review.spread import (
    ball_ellipse,
    bivariate_variable_error,
    centroid_radial_error,
    ellipse_factor,
    mean_radial_error,
    mean_value,
    scores,
    sd_value,
)

misses = st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=2, max_size=30).map(np.array)


def test_worked_example_of_constant_and_variable_error():
    # Course notes (read): 93, 103, 99, 105, 96 about 100: CE -0.8, VE 4.40, E 4.472 (computed).
    xy = np.column_stack([np.array([93, 103, 99, 105, 96]) - 100.0, np.zeros(5)])
    found = scores(xy, np.random.default_rng(0))
    assert found.constant_along.value == pytest.approx(-0.8)
    assert centroid_radial_error(xy) == pytest.approx(0.8)
    assert bivariate_variable_error(xy) == pytest.approx(4.40, abs=0.005)
    assert found.total_along == pytest.approx(4.472, abs=0.001)
    assert found.absolute_along == pytest.approx((7 + 3 + 1 + 5 + 4) / 5)


@given(xy=misses)
def test_mean_square_is_centre_plus_spread(xy):
    # identity of Hancock, Butler and Fischman 1995 (from memory)
    total = np.mean((xy**2).sum(1))
    parts = centroid_radial_error(xy) ** 2 + bivariate_variable_error(xy) ** 2
    assert parts == pytest.approx(total, abs=1e-9)
    assert mean_radial_error(xy) <= math.sqrt(total) + 1e-12


@pytest.mark.parametrize(("share", "radius"), [(0.5, 1.1774), (0.7, 1.5518), (0.85, 1.9479)])
def test_radius_of_a_round_player(share, radius):
    # check values 5 (computed: sigma sqrt(-2 ln(1 - p)))
    assert circle_radius_m(share, along_m=1.0, across_m=1.0) == pytest.approx(radius, abs=1e-4)


def test_radius_of_an_uneven_player_and_chance_with_an_offset():
    # check values 6 and 7 (computed by quadrature; Rice)
    assert circle_radius_m(0.7, along_m=1.0, across_m=0.5) == pytest.approx(1.185, abs=5e-4)
    assert circle_chance(1.1774, along_m=1.0, across_m=1.0, bias_along_m=1.0) == pytest.approx(
        0.3524, abs=1e-4
    )


@pytest.mark.parametrize("ratio", [1.0, 0.6, 0.3])
def test_circle_agrees_with_quadrature_of_the_density(ratio):
    def density(r, angle):
        x, y = r * math.cos(angle) - 0.4, r * math.sin(angle) + 0.2
        return r * math.exp(-0.5 * (x**2 + (y / ratio) ** 2)) / (2 * math.pi * ratio)

    whole, _ = integrate.dblquad(density, 0, 2 * math.pi, 0, 1.3)
    ours = circle_chance(1.3, along_m=1.0, across_m=ratio, bias_along_m=0.4, bias_across_m=0.2)
    assert ours == pytest.approx(whole, abs=1e-6)


def test_mean_and_spread_of_a_round_miss():
    # check values 8 (Rayleigh): mean 1.2533, sd 0.6551, their ratio 0.5227
    assert pytest.approx(1.2533, abs=5e-5) == RAYLEIGH_MEAN
    assert pytest.approx(0.6551, abs=5e-5) == RAYLEIGH_SD
    assert pytest.approx(0.5227, abs=5e-5) == RAYLEIGH_SD / RAYLEIGH_MEAN
    assert mean_miss(np.array([1.0]), np.array([1.0]))[0] == pytest.approx(RAYLEIGH_MEAN)


@pytest.mark.parametrize("ratio", [0.9, 0.5, 0.1])
def test_mean_miss_of_an_uneven_player_by_simulation(ratio):
    xy = np.random.default_rng(1).standard_normal((200_000, 2)) * [1.0, ratio]
    assert mean_miss(np.array([1.0]), np.array([ratio]))[0] == pytest.approx(
        np.hypot(*xy.T).mean(), rel=0.005
    )


def test_reliability_values():
    # check values 17 (read: SEM 12.05 gives MDC 33.41), 18 (computed), 19 (limits 7.9: typical error 2.85)
    assert smallest_change(12.05) == pytest.approx(33.40, abs=0.01)
    assert mean_miss_standard_error(30) == pytest.approx(0.0954, abs=5e-5)
    assert typical_error_of_limits(7.9) == pytest.approx(2.85, abs=0.005)


@pytest.mark.parametrize(("change", "balls"), [(0.1, 389), (0.2, 89), (0.3, 36), (0.4, 19)])
def test_balls_for_a_change(change, balls):
    # coaching table 11.4 (computed), spread 0.52 of the mean miss
    assert balls_for_change(change, 0.5227) == pytest.approx(balls, abs=1)


def test_typical_error_by_hand_and_refusal():
    assert typical_error([1.0, -1.0]) == pytest.approx(math.sqrt(2) / math.sqrt(2))
    with pytest.raises(CannotEstimate, match="at least 3"):
        typical_error([1.0])


@pytest.mark.parametrize(("share", "square"), [(0.5, 1.386), (0.683, 2.296), (0.8, 3.219), (0.9, 4.605)])
def test_ellipse_of_many_balls_is_chi_squared(share, square):
    assert ellipse_factor(share) == pytest.approx(square, abs=0.003)  # coaching 4.4, from memory
    assert ellipse_factor(share) == pytest.approx(stats.chi2(2).ppf(share))
    assert ellipse_factor(share, 100_000) == pytest.approx(square, abs=0.01)


@pytest.mark.parametrize("n", [4, 6, 15])
def test_ellipse_of_few_balls_holds_the_next_one(n):
    rng = np.random.default_rng(n)
    hits, factor = 0, ellipse_factor(0.8, n)
    for _ in range(3000):
        xy = rng.normal(size=(n + 1, 2)) @ [[2.0, 0.3], [0.0, 0.5]]
        away = xy[n] - xy[:n].mean(0)
        hits += away @ np.linalg.solve(np.cov(xy[:n].T), away) <= factor
    assert hits / 3000 == pytest.approx(0.8, abs=0.03)


def test_an_ellipse_lies_along_its_balls():
    t = np.linspace(-1, 1, 9)
    one = ball_ellipse(np.column_stack([2.0 + t, 1.0 + 0.5 * t + 0.01 * t**2]))
    assert one.centre == pytest.approx((2.0, 1.0), abs=0.01)
    assert math.tan(one.turn) == pytest.approx(0.5, abs=0.02)


def test_intervals_of_mean_and_spread_hold_nine_times_in_ten():
    rng = np.random.default_rng(2)
    inside = np.zeros(2)
    for _ in range(2000):
        x = rng.normal(0.5, 2.0, 8)
        mean, sd = mean_value(x), sd_value(x)
        inside += [mean.low <= 0.5 <= mean.high, sd.low <= 2.0 <= sd.high]
    assert inside / 2000 == pytest.approx([0.9, 0.9], abs=0.025)
