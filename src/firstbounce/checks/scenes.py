"""Small scenes that the checks play: level and tilted greens, a ball on its way, one bounce."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from firstbounce.ground.arrays import GroundArrays
from firstbounce.ground.ground import Ground
from firstbounce.shot.bounce import rebound
from firstbounce.shot.laws import BALL_RADIUS, NO_AIR, SOLID_SPHERE, BounceLaw, Laws, Steps, numbers
from firstbounce.shot.play import Played, TrailPoint, trace
from firstbounce.units import rad_per_s_to_rpm, rpm_to_rad_per_s, stimp_to_deceleration

AHEAD = (-200.0, 200.0, -50.0, 350.0)  #: a map that no shot of these checks leaves [m]


@cache
def level_green() -> GroundArrays:
    """A level green without end."""
    return Ground.level(AHEAD).compiled()


@cache
def tilted_green(slope_percent: float) -> GroundArrays:
    """A green that rises along +y."""
    return Ground.level(AHEAD, slope_percent=slope_percent, downhill_deg=180.0).compiled()


def one_bounce(
    speed: float,
    descent_deg: float,
    backspin_rpm: float,
    *,
    law: BounceLaw,
    friction: float = 0.40,
    firmness: float = 1.0,
) -> tuple[float, float, float]:
    """Forward speed, upward speed [m/s] and backspin [rpm] after one bounce on level ground."""
    descent = math.radians(descent_deg)
    after = rebound(
        0.0,
        speed * math.cos(descent),
        -speed * math.sin(descent),
        rpm_to_rad_per_s(backspin_rpm),
        0.0,
        0.0,
        0.0,
        0.0,
        1.0,
        int(law),
        firmness,
        1.0,
        1.0,
        friction,
        numbers(Laws(), NO_AIR, None, Steps()),
    )
    return after[1], after[2], rad_per_s_to_rpm(after[3])


def bounce_energy(velocity: np.ndarray, spin: np.ndarray) -> float:
    """Kinetic energy of flight and spin over half the mass [m2/s2]."""
    return float(velocity @ velocity + SOLID_SPHERE * BALL_RADIUS**2 * spin @ spin)


def slide(speed: float, backspin_rpm: float = 0.0, stimp_ft: float = 10.0) -> tuple[Played, list[TrailPoint]]:
    """A ball set down on a level green with a forward speed [m/s] and backspin [rpm]: skid, then roll."""
    return trace(
        (0.0, 0.0, 0.0),
        (0.0, speed, -1e-9),
        (rpm_to_rad_per_s(backspin_rpm), 0.0, 0.0),
        ground=level_green(),
        green_deceleration=stimp_to_deceleration(stimp_ft),
        air=NO_AIR,
        begin=1,
        step_s=0.005,
    )


def rolling_start(points: list[TrailPoint]) -> TrailPoint:
    """Where the skid ends and the roll begins: the last point that is not of the roll."""
    return [point for point in points if point.phase != "roll"][-1]


def rolling_speed(points: list[TrailPoint], stimp_ft: float = 10.0) -> float:
    """Speed along +y at the start of the roll [m/s], from how far the ball then rolls on level ground."""
    distance = points[-1].y_m - rolling_start(points).y_m
    return math.copysign(math.sqrt(2 * stimp_to_deceleration(stimp_ft) * abs(distance)), distance)
