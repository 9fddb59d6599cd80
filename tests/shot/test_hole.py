"""The hole: capture limits, passes, fly-ins, the flagstick."""

import math

import numpy as np
import pytest
from shot_scenes import A10, ground

from firstbounce.errors import OutOfRange
from firstbounce.shot.hole import capture_speed_free_fall, capture_speed_holmes_1991
from firstbounce.shot.laws import N_SCATTER, SCATTER_LIP, CaptureLaw, HoleSpec, Laws
from firstbounce.shot.play import play, roll
from firstbounce.words import Outcome

LEVEL = ground()
HOLE = HoleSpec(0.0, 3.0)


@pytest.mark.parametrize(
    "mm, free, holmes", [(0, 1.314, 1.630), (10, 1.276, 1.574), (20, 1.152, 1.406), (30, 0.877, 1.127)]
)
def test_capture_speeds(mm, free, holmes):
    # free fall: identity; Penner's fit to Holmes 1991: from memory
    assert capture_speed_free_fall(mm / 1000) == pytest.approx(free, abs=2e-3)
    assert capture_speed_holmes_1991(mm / 1000) == pytest.approx(holmes, abs=2e-3)


def test_offsets_beyond_the_hole_are_refused():
    with pytest.raises(OutOfRange):
        capture_speed_holmes_1991(0.06)
    with pytest.raises(OutOfRange):
        capture_speed_free_fall(0.04)


def putt(speed_at_hole, offset=0.0, **how):
    start = math.sqrt(speed_at_hole**2 + 2 * A10 * 3.0)
    return roll((offset, 0), (0, start), ground=LEVEL, green_deceleration=A10, hole=HOLE, **how)


@pytest.mark.parametrize("law, limit", [(CaptureLaw.HOLMES_1991, 1.63), (CaptureLaw.FREE_FALL, 1.314)])
@pytest.mark.parametrize("offset", [0.0, 0.02])
def test_capture_limit_when_rolling(law, limit, offset):
    if offset:
        limit = capture_speed_holmes_1991(offset) if law is CaptureLaw.HOLMES_1991 else 1.152
    slow, fast = (putt(limit + step, offset, laws=Laws(capture=law)) for step in (-0.01, 0.01))
    assert slow.outcomes() == [Outcome.HOLED_ROLLING]
    assert tuple(slow.finished[0, :2]) == (0.0, 3.0)
    assert fast.outcomes() == [Outcome.STOPPED]
    assert slow.hole_margin[0] == pytest.approx(0.01, abs=2e-3)
    assert fast.hole_distance[0] == pytest.approx(offset, abs=1e-3)


def test_a_missed_hole_lets_the_ball_run_as_if_covered():
    # identity: 1.63 m/s at a covered hole rolls 2.42 m past on Stimp 10
    out = putt(1.63 + 1e-6)
    assert out.finished[0, 1] - 3.0 == pytest.approx(2.42, rel=1e-2)


def test_wide_and_dying_balls():
    assert putt(0.3, 0.06).outcomes() == [Outcome.STOPPED]
    assert putt(0.05, 0.05).outcomes() == [Outcome.HOLED_ROLLING]
    start = math.sqrt(2 * A10 * 2.97)  # would stop 30 mm before the centre: over the hole
    out = roll((0, 0), (0, start), ground=LEVEL, green_deceleration=A10, hole=HOLE)
    assert out.outcomes() == [Outcome.HOLED_ROLLING]
    start = math.sqrt(2 * A10 * 2.94)  # 60 mm before the centre: on the grass
    out = roll((0, 0), (0, start), ground=LEVEL, green_deceleration=A10, hole=HOLE)
    assert out.outcomes() == [Outcome.STOPPED]
    assert out.hole_distance[0] == pytest.approx(0.06, abs=1e-4)


def test_lip_is_a_smooth_boundary():
    scatter = np.zeros((2, N_SCATTER))
    scatter[:, SCATTER_LIP] = (-1, 1)
    start = math.sqrt(1.63**2 + 2 * A10 * 3.0)
    out = roll((0, 0), (0, start), ground=LEVEL, green_deceleration=A10, hole=HOLE, scatter=scatter)
    assert out.outcomes() == [Outcome.STOPPED, Outcome.HOLED_ROLLING]


def test_flagstick_helps_only_a_central_ball():
    stick = HoleSpec(0.0, 3.0, flagstick=True)
    fast = math.sqrt(2.0**2 + 2 * A10 * 3.0)
    out = roll([(0, 0), (0.015, 0)], [(0, fast)] * 2, ground=LEVEL, green_deceleration=A10, hole=stick)
    assert out.outcomes() == [Outcome.HOLED_ROLLING, Outcome.STOPPED]


def test_flies_in_when_steep_and_not_when_shallow():
    for angle, level_speed, outcome in ((70, 1.5, Outcome.HOLED_FLYING), (20, 6.0, Outcome.STOPPED)):
        t = 2 * level_speed * math.tan(math.radians(angle)) / 9.81
        v = (0.0, level_speed, level_speed * math.tan(math.radians(angle)))
        out = play((0, 3 - level_speed * t * 0.99, 0), v, (0, 0, 0), ground=LEVEL, green_deceleration=A10)
        hole = HoleSpec(0.0, float(out.landed[0, 1]))
        start = (0, 3 - level_speed * t * 0.99, 0)
        out = play(start, v, (0, 0, 0), ground=LEVEL, green_deceleration=A10, hole=hole)
        assert out.outcomes() == [outcome]


def test_no_hole_means_covered():
    out = roll((0, 0), (0, 2.0), ground=LEVEL, green_deceleration=A10)
    assert out.hole_distance[0] == math.inf and out.hole_margin[0] == -math.inf
