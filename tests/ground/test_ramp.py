"""The ramp: published rolling speed, and what the groove does."""

import math

import pytest

from firstbounce.errors import OutOfRange
from firstbounce.ground.ramp import ramp_rolling_speed
from firstbounce.units import STIMP_RELEASE_SPEED


def test_standard_ramp_rolls_at_six_feet_a_second():
    # USGA Stimpmeter booklet (read): 6.00 ft/s accepted on the green
    assert ramp_rolling_speed() == pytest.approx(6.00 * 0.3048, abs=0.005)
    assert ramp_rolling_speed() == pytest.approx(STIMP_RELEASE_SPEED, abs=0.005)


def test_without_a_groove_the_ball_rolls_as_on_a_plane_and_skids_to_the_level_part():
    # solid sphere on a plane: v^2 = (10/7) g L sin; landing keeps (v cos + 0.4 v)/1.4
    speed = math.sqrt(10 / 7 * 9.81 * 0.762 * math.sin(math.radians(20)))
    assert ramp_rolling_speed(groove_half_width=0.0) == pytest.approx(
        speed * (math.cos(math.radians(20)) + 0.4) / 1.4
    )


def test_a_ramp_that_is_none_is_refused():
    with pytest.raises(OutOfRange, match="5 to 45 degrees"):
        ramp_rolling_speed(angle=math.radians(80))
