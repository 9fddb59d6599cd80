"""The split is exact, and turning or mirroring the station turns or mirrors the answer."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from review_sets import FIT, GROUND, some_balls

from firstbounce.errors import ParameterError
from firstbounce.fitting.fit import fit
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Plane
from firstbounce.review.split import Split, split
from firstbounce.words import Ball, Lie, Point

NOW = fit(some_balls(16, seed=5), today=FIT.today, ground=GROUND, player=FIT.player)
SLOPED = Ground(
    surface=Plane((0.0, 0.0, 0.0), 1.5, 70.0), around=GROUND.around, bounds=(-40.0, 40.0, -40.0, 40.0)
)
metre = st.floats(-4, 4)


def parts(balls, ground=GROUND, now=None) -> Split:
    return split(balls, then=FIT, now=now, ground=ground)[0]


@settings(max_examples=25)
@given(landed=st.tuples(metre, metre), finished=st.tuples(metre, metre), spot=metre, hole=metre)
def test_the_four_parts_add_up_to_the_miss(landed, finished, spot, hole):
    ball = Ball(
        id="a", club="SW", lie=Lie(), start=Point(0, 0), hole=Point(1, 15 + hole), aim=Point(spot, 8),
        landed=Point(landed[0], 8 + landed[1]), finished=Point(finished[0], 14 + finished[1]),
    )  # fmt: skip
    for ground in (GROUND, SLOPED):
        s = parts([ball], ground, NOW)
        assert np.abs(s.plan + s.reading + s.landing + s.run - s.total).max() < 1e-12


@settings(max_examples=10)
@given(turn=st.floats(-3.1, 3.1))
def test_a_turned_station_gives_the_same_parts(turn):
    one, other = parts(some_balls(6), now=NOW), parts(some_balls(6, turn=turn), now=NOW)
    for name in ("total", "plan", "reading", "landing", "run", "missed"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=0.02)


@settings(max_examples=10)
@given(seed=st.integers(0, 99))
def test_a_mirrored_station_mirrors_the_parts(seed):
    one, other = parts(some_balls(6, seed=seed)), parts(some_balls(6, seed=seed, mirror=-1.0))
    for name in ("total", "landing", "run", "missed"):
        assert getattr(one, name) == pytest.approx(getattr(other, name) * [1, -1], abs=0.02)


def test_a_station_turned_with_its_slope_gives_the_same_parts():
    turn = 0.7
    turned = Ground(
        surface=Plane((0.0, 0.0, 0.0), 1.5, 70.0 + math.degrees(turn)),
        around=GROUND.around,
        bounds=(-40.0, 40.0, -40.0, 40.0),
    )
    one, other = parts(some_balls(6), SLOPED), parts(some_balls(6, turn=turn), turned)
    for name in ("plan", "landing", "run"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=0.02)


def test_a_ball_played_alone_has_the_same_parts_as_in_a_set():
    balls = some_balls(7)
    alone, together = parts(balls[3:4], now=NOW), parts(balls, now=NOW)
    assert alone.landing[0] == pytest.approx(together.landing[3], abs=1e-9)
    assert alone.run[0] == pytest.approx(together.run[3], abs=1e-9)


@pytest.mark.parametrize(
    ("missing", "reason"),
    [
        ({"aim": None}, "no landing spot was set for it"),
        ({"hole": None}, "no hole was set for it"),
        ({"landed": None}, "nobody placed where it landed"),
        ({"finished": None}, "nobody placed where it finished"),
        ({"lie": Lie(wet=True)}, "its lie is wet and the day is dry"),
        ({"club": "putter"}, "a putt has no landing"),
        ({"hole": Point(0.1, 0.1)}, "it was hit from beside the hole"),
        ({"landed": Point(0.1, 0.1)}, "it carried less than half a metre"),
    ],
)
def test_every_unusable_ball_is_named_with_its_reason(missing, reason):
    from dataclasses import replace

    good = some_balls(4)
    bad = replace(good[0], id="odd", **missing)
    kept, out = split([*good, bad], then=FIT, ground=GROUND)
    assert [(one.id, one.reason) for one in out] == [("odd", reason)]
    assert len(kept) == 4


def test_a_holed_ball_has_a_landing_and_no_finish():
    from dataclasses import replace

    s = parts([*some_balls(3), replace(some_balls(1)[0], id="in", holed=True, finished=None)])
    assert s.finished.tolist() == [True, True, True, False]
    assert np.isfinite(s.missed).all() and np.isfinite(s.landing).all()


def test_balls_of_another_green_are_refused():
    far = Ball(
        id="far", club="PW", lie=Lie(), start=Point(100, 100), hole=Point(100, 112), aim=Point(100, 106),
        landed=Point(100, 106), finished=Point(100, 111),
    )  # fmt: skip
    with pytest.raises(ParameterError, match=r"Ball far lies outside.*one green at a time"):
        split([*some_balls(3), far], then=FIT, ground=GROUND)
