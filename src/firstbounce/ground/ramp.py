"""The standard ramp that releases a ball for a green-speed reading: how fast it rolls on the green."""

from __future__ import annotations

import math

from firstbounce.errors import OutOfRange
from firstbounce.units import GRAVITY, METRES_PER_INCH

RAMP_BALL_RADIUS = 0.84 * METRES_PER_INCH  #: half of 1.680 in [m]


def ramp_rolling_speed(
    length: float = 30 * METRES_PER_INCH,
    angle: float = math.radians(20),
    groove_half_width: float = 0.25 * METRES_PER_INCH,
) -> float:
    """Speed [m/s] at which a ball rolls on level ground after a ramp with a V-groove.

    Geometry of the USGA Stimpmeter booklet (read): 30 in from notch to end, released at about 20 degrees, the
    ball riding on two points 0.5 in apart. Rolling on these points turns the ball faster than on its full
    radius; the landing keeps the level part of the speed and the overspin, and skids to roll. Solid sphere.
    Angles from 5 to 45 degrees (OutOfRange).
    """
    if not (math.radians(5) <= angle <= math.radians(45) and 0 <= groove_half_width < RAMP_BALL_RADIUS):
        raise OutOfRange(
            f"A ramp needs an angle of 5 to 45 degrees and a groove narrower than the ball, got"
            f" {math.degrees(angle):.3g} degrees and {groove_half_width:.3g} m."
        )
    gearing = RAMP_BALL_RADIUS / math.sqrt(RAMP_BALL_RADIUS**2 - groove_half_width**2)
    end_speed = math.sqrt(2 * GRAVITY * length * math.sin(angle) / (1 + 0.4 * gearing**2))
    return (end_speed * math.cos(angle) + 0.4 * end_speed * gearing) / 1.4
