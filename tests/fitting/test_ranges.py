"""Chances of ranges: against counting, and against what must hold for any cloud."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.fitting.ranges import SECTORS, chance_between, chance_beyond, chance_within, cloud

places, sizes = st.floats(-3, 3), st.floats(0.4, 3)


@pytest.mark.parametrize("centre", [(0.0, 0.0), (1.0, 0.5), (-3.0, 1.0)])
def test_chances_agree_with_counting(centre):
    rng = np.random.default_rng(1)
    c = cloud(*centre, 1.2, 0.6)
    along, across = (np.array(centre) + rng.normal(size=(200_000, 2)) * [1.2, 0.6]).T
    out, angle = np.hypot(along, across) > 1, np.arctan2(across, along)
    assert chance_within(c, 1.0)[0] == pytest.approx(1 - out.mean(), abs=0.005)
    for low, high in SECTORS.values():
        turned = np.where(angle < low, angle + 2 * np.pi, angle)
        counted = (out & (turned >= low) & (turned < high)).mean()
        assert chance_beyond(c, 1.0, (low, high))[0] == pytest.approx(counted, abs=0.005)


def test_round_cloud_is_half_inside_the_median_circle():
    # CEP = 1.1774 sigma: Taub & Thomas; Elder 1986 (read)
    assert chance_within(cloud(0, 0, 2.0, 2.0), 1.1774 * 2.0)[0] == pytest.approx(0.5, abs=1e-4)


@given(a=places, c=places, sa=sizes, sc=sizes, radius=st.floats(0.2, 3))
def test_inside_and_four_sides_make_one(a, c, sa, sc, radius):
    whole = cloud(a, c, sa, sc)
    sides = sum(chance_beyond(whole, radius, SECTORS[s])[0] for s in ("long", "right", "short", "left"))
    assert chance_within(whole, radius)[0] + sides == pytest.approx(1, abs=0.001)


@given(a=places, c=places, sa=sizes, sc=sizes)
def test_turning_the_cloud_round_swaps_the_sides(a, c, sa, sc):
    there, back = cloud(a, c, sa, sc), cloud(-a, -c, sa, sc)
    for one, other in (("long", "short"), ("left", "right"), ("past", "not past")):
        assert chance_beyond(there, 1.0, SECTORS[one]) == pytest.approx(
            chance_beyond(back, 1.0, SECTORS[other]), abs=1e-9
        )


def test_between_stays_accurate_in_both_tails():
    low, high = chance_between([0.0, 0.0], 1.0, [6.0, -7.0], [7.0, -6.0])
    assert low == pytest.approx(9.8659e-10 - 1.2798e-12, rel=1e-3)  # normal tables, from memory
    assert low == pytest.approx(high, rel=1e-9)
