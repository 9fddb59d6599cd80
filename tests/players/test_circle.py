"""Landing circles against published multipliers and independent distributions."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from firstbounce.errors import ParameterError
from firstbounce.players.circle import circle_chance, circle_radius_m, landing_circle_m
from firstbounce.players.player import player_of_level
from firstbounce.words import Level

sds = st.floats(0.05, 5)


@pytest.mark.parametrize(
    ("success", "radius"),
    # Taub & Thomas (NSWC TR 83-205), Elder (1986), read: 50 % is 1.1774 sd; the rest by the same formula.
    [(0.5, 1.1774), (0.7, 1.5518), (0.85, 1.9479), (0.95, 2.4477)],
)
def test_round_unbiased_circle(success, radius):
    assert circle_radius_m(success, along_m=1, across_m=1) == pytest.approx(radius, abs=1e-4)
    assert circle_radius_m(success, along_m=1, across_m=1) == pytest.approx(
        stats.rayleigh.ppf(success), abs=1e-6
    )


def test_unequal_spreads():
    # By quadrature in our notes: ratio 0.5, 70 % -> 1.185 of the larger sd; ratio 0.3, 50 % -> 0.750.
    assert circle_radius_m(0.7, along_m=2, across_m=1) == pytest.approx(2 * 1.185, abs=1e-3)
    assert circle_radius_m(0.5, along_m=1, across_m=0.3) == pytest.approx(0.750, abs=5e-4)


def test_bias_of_one_sd_drops_a_50_percent_circle_to_35():
    # Rice distribution; 0.3524 in our notes, and SciPy's rice as the independent referee.
    chance = circle_chance(1.1774, along_m=1, across_m=1, bias_along_m=1.0)
    assert chance == pytest.approx(0.3524, abs=1e-4)
    assert chance == pytest.approx(stats.rice.cdf(1.1774, 1.0), abs=1e-8)


def test_rayleigh_mean_sd_and_variation():
    # Round spread: mean miss 1.2533 sd, sd 0.6551, variation 0.5227; from the circle chances themselves.
    step = 0.001
    radius = np.arange(step / 2, 8, step)
    outside = np.array([1 - circle_chance(r, along_m=1, across_m=1) for r in radius])
    mean, square = outside.sum() * step, 2 * (radius * outside).sum() * step
    sd = math.sqrt(square - mean**2)
    assert (mean, sd, sd / mean) == pytest.approx((1.2533, 0.6551, 0.5227), abs=2e-4)


@settings(deadline=None, max_examples=40)
@given(r=st.floats(0.1, 8), s=sds, t=sds, b=st.floats(-4, 4), c=st.floats(-4, 4))
def test_turning_the_line_a_quarter_changes_nothing(r, s, t, b, c):
    one = circle_chance(r, along_m=s, across_m=t, bias_along_m=b, bias_across_m=c)
    other = circle_chance(r, along_m=t, across_m=s, bias_along_m=-c, bias_across_m=b)
    assert one == pytest.approx(other, abs=2e-6)


@settings(deadline=None, max_examples=40)
@given(p=st.floats(0.02, 0.98), s=sds, t=sds, b=st.floats(-3, 3))
def test_radius_and_chance_are_inverse(p, s, t, b):
    radius = circle_radius_m(p, along_m=s, across_m=t, bias_along_m=b)
    assert circle_chance(radius, along_m=s, across_m=t, bias_along_m=b) == pytest.approx(p, abs=1e-6)


def test_against_a_million_drawn_balls():
    rng = np.random.default_rng(11)
    x, y = rng.normal(0.4, 0.7, 1_000_000), rng.normal(-0.8, 1.6, 1_000_000)
    share = np.mean(np.hypot(x, y) < 1.5)
    assert circle_chance(
        1.5, along_m=1.6, across_m=0.7, bias_along_m=-0.8, bias_across_m=0.4
    ) == pytest.approx(share, abs=0.002)


def test_a_better_player_has_a_smaller_circle():
    players = [player_of_level(level) for level in Level]
    radii = [landing_circle_m(0.6, spread=p.spread, mishits=p.mishits, carry_m=12.0) for p in players]
    assert radii == sorted(radii)


def test_impossible_wishes_are_refused():
    with pytest.raises(ParameterError, match="between 0 and 1"):
        circle_radius_m(1.0, along_m=1, across_m=1)
    with pytest.raises(ParameterError, match="above 0 m"):
        circle_chance(1.0, along_m=0, across_m=1)
