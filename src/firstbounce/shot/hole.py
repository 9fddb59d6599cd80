"""The hole: how fast a ball may pass it and still drop, and when a ball that flies in stays in.

See docs/shot/hole.md. On a slope the ball falls in the slope's frame: uphill the limit is a little higher.
"""

from __future__ import annotations

import math

import numpy as np

from firstbounce.errors import OutOfRange
from firstbounce.shot.compiler import compiled, inlined
from firstbounce.shot.laws import BALL_RADIUS, HOLE_RADIUS
from firstbounce.units import GRAVITY

STICK_REACH = 0.010  #: a path this near the centre meets the flagstick (choice) [m]


STEEPEST = 0.10  #: slope at a hole beyond which no published law reaches, and no hole is cut [-]


def capture_speed_holmes_1991(offset: float, rise: float = 0.0) -> float:
    """Highest speed [m/s] of a captured ball whose path passes `offset` [m] from the centre; 0 to 54 mm.

    Penner's fit (Can. J. Phys. 80 (2002) 83) to B. W. Holmes, Am. J. Phys. 59 (1991) 129; from memory.
    rise: slope along the ball's way at the hole, uphill positive, -0.10 to 0.10 [-] (choice: `on_slope`).
    """
    if not 0 <= offset <= HOLE_RADIUS:
        raise OutOfRange(f"The offset {offset:.4g} m must lie in 0..0.054 m, the radius of the hole.")
    return on_slope(_holmes(offset, HOLE_RADIUS), rise)


def capture_speed_free_fall(offset: float, rise: float = 0.0) -> float:
    """Highest speed [m/s] at which the path drops one radius before the far rim; offset 0 to 32.7 mm.

    rise: slope along the ball's way at the hole, uphill positive, -0.10 to 0.10 [-].
    """
    if not 0 <= offset <= HOLE_RADIUS - BALL_RADIUS:
        raise OutOfRange(
            f"The offset {offset:.4g} m must lie in 0..0.0327 m: beyond, free fall captures no ball."
        )
    reach = math.sqrt(HOLE_RADIUS**2 - offset**2) + math.sqrt((HOLE_RADIUS - BALL_RADIUS) ** 2 - offset**2)
    return on_slope(math.sqrt(GRAVITY / (2 * BALL_RADIUS)) * reach, rise)


def on_slope(level_limit: float, rise: float) -> float:
    """Capture speed [m/s] on a slope that rises by `rise` [-] along the ball's way, from that on the level.

    Exact for free fall in the slope's frame: gravity's part across the slope takes sqrt(2 r / (g cos)) to
    drop the ball one radius; its part along the slope brakes an uphill ball by sqrt(g r / (2 cos)) sin.
    """
    if not -STEEPEST <= rise <= STEEPEST:
        raise OutOfRange(f"The slope {rise:.3g} at the hole must lie in -0.10..0.10: no hole is cut on more.")
    return float(_sloped(level_limit, rise, 1.0 / math.sqrt(1 + rise * rise), GRAVITY, BALL_RADIUS))


@inlined
def _sloped(limit, rise, cos, gravity, radius):
    return limit * np.sqrt(cos) + rise * np.sqrt(0.5 * gravity * radius * cos)


@inlined
def _holmes(offset, hole_radius):
    return 1.63 * (1.0 - (offset / hole_radius) ** 2)


@inlined
def _free_fall(offset, c):
    inner = c.hole_radius - c.radius
    if offset > inner:
        return 0.0
    reach = np.sqrt(c.hole_radius**2 - offset * offset) + np.sqrt(inner * inner - offset * offset)
    return np.sqrt(c.gravity / (2.0 * c.radius)) * reach


@compiled
def capture_speed(law, offset, lip, rise, cos, c):
    """Limit [m/s] under the law with this code (CaptureLaw), the flagstick and the lip's standard normal.

    rise: sine of the ball's climb at the hole over `cos`, the cosine of the slope there [-].
    """
    limit = _holmes(offset, c.hole_radius) if law == 0 else _free_fall(offset, c)
    if offset < 0.010:
        limit *= c.stick_gain
    return _sloped(limit, rise, cos, c.gravity, c.radius) + lip * c.lip_width


@compiled
def flies_in(x, y, vx, vy, vz, hx, hy, c):
    """Whether a ball that comes down at (x, y) stays in the hole: one radius lower before the far rim.

    Free fall with the speed it arrives with, against ground with the gradient (hx, hy). The centre must come
    down within the rim, and the path must pass within R - r of the hole's centre; anything else meets the
    ground or the rim as turf.
    """
    if c.hole == 0.0:
        return False
    dx = x - c.hole_x
    dy = y - c.hole_y
    if dx * dx + dy * dy >= c.hole_radius * c.hole_radius:
        return False
    level = np.sqrt(vx * vx + vy * vy) + 1e-12
    along = (dx * vx + dy * vy) / level
    offset2 = max(dx * dx + dy * dy - along * along, 0.0)
    inner = c.hole_radius - c.radius
    if offset2 > inner * inner:
        return False
    t = (np.sqrt(c.hole_radius * c.hole_radius - offset2) - along) / level
    sunk = (hx * vx + hy * vy - vz) * t + 0.5 * c.gravity * t * t
    return sunk >= c.radius * np.sqrt(1.0 + hx * hx + hy * hy)
