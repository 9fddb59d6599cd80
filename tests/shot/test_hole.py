"""The hole: capture limits, passes, fly-ins, the flagstick."""

import math

import numpy as np
import pytest
from shot_scenes import A10, ground

from firstbounce.errors import OutOfRange
from firstbounce.shot.hole import capture_speed_free_fall, capture_speed_holmes_1991, flies_in
from firstbounce.shot.laws import (
    BALL_RADIUS,
    HOLE_RADIUS,
    N_SCATTER,
    SCATTER_LIP,
    AirSpec,
    CaptureLaw,
    HoleSpec,
    Laws,
    Steps,
    numbers,
)
from firstbounce.shot.play import play, roll
from firstbounce.shot.referee import Roller
from firstbounce.shot.referee_world import Surface, World
from firstbounce.units import GRAVITY
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


@pytest.mark.parametrize("slope", [-0.06, -0.03, 0.03, 0.06])
def test_on_a_slope_the_ball_falls_in_the_frame_of_the_slope(slope):
    # derived anew, in the level frame: a point thrown along the slope, one radius below it at the far rim
    limit = capture_speed_free_fall(0.0, rise=slope)
    angle, reach = math.atan(slope), HOLE_RADIUS + HOLE_RADIUS - BALL_RADIUS
    along, normal = (
        np.array([math.cos(angle), math.sin(angle)]),
        np.array([-math.sin(angle), math.cos(angle)]),
    )
    t = math.sqrt(2 * BALL_RADIUS / (GRAVITY * math.cos(angle)))
    place = limit * t * along - np.array([0, GRAVITY * t * t / 2])
    assert place @ normal == pytest.approx(-BALL_RADIUS, rel=1e-12)
    assert place @ along == pytest.approx(reach, rel=1e-12)


def test_uphill_takes_a_faster_ball_by_a_third_of_the_slope():
    # sqrt(g r / 2) = 0.3235 m/s: 4 percent uphill adds 13 mm/s to 1.63 m/s
    gain = capture_speed_holmes_1991(0.0, rise=0.04) - capture_speed_holmes_1991(0.0)
    assert gain == pytest.approx(0.04 * 0.3235, abs=1e-3)
    with pytest.raises(OutOfRange, match="no hole is cut"):
        capture_speed_holmes_1991(0.0, rise=0.2)


@pytest.mark.parametrize("slope", [-0.04, 0.04])
@pytest.mark.parametrize("step, outcome", [(-0.004, Outcome.HOLED_ROLLING), (0.004, Outcome.STOPPED)])
def test_kernel_and_referee_know_the_slope_at_the_hole(slope, step, outcome):
    on, steep = ground(lambda x, y: slope * y), math.sqrt(1 + slope**2)
    pull = (5 / 7 * GRAVITY * slope + A10 * steep) / steep**2  # level deceleration along y
    wanted = (capture_speed_holmes_1991(0.0, rise=slope) + step) / steep
    start = math.sqrt(wanted**2 + 2 * pull * 3.0)
    out = roll((0, 0), (0, start), ground=on, green_deceleration=A10, hole=HOLE)
    assert out.outcomes() == [outcome]
    world = World(ground=on, green_deceleration=A10, hole=HOLE)
    end, judged = Roller(world, Surface(on)).run(np.array([0.0, 0.0]), np.array([0.0, start]))
    assert judged is outcome
    assert end[1] == pytest.approx(out.finished[0, 1], abs=1e-3)


def test_flying_in_is_judged_against_the_slope():
    # a ball that skims at the slope's own angle never sinks into an uphill hole as fast as into a level one
    down, up = (
        flies_in(0.0, 2.98, 0.0, 1.6, -0.4, 0.0, slope, numbers(Laws(), AirSpec(), HOLE, Steps()))
        for slope in (-0.20, 0.20)
    )
    assert (down, up) == (False, True)


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
