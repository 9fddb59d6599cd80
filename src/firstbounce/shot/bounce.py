"""Bounce: the ball meets turf once and leaves with new velocity and spin. See docs/shot/bounce.md.

The pocket that the ball digs acts like a rigid plane tilted toward the incoming ball (Penner 2002, Haake
1989). On that plane one impulse: restitution along its normal, friction that grips or slides along it. The
slip is a vector in the plane, so side spin and slope need nothing extra.
"""

from __future__ import annotations

import numpy as np

from firstbounce.shot.compiler import compiled, inlined


@inlined
def tilt_penner_2002(speed, phi, c):
    """Tilt of the pocket [rad]: linear in speed [m/s] and angle from the normal [rad]; does not settle."""
    return c.tilt * (speed / 18.6) * (phi / 0.7749261878854823)


@inlined
def tilt_settling(speed, phi, c):
    """The same with the normal part of the speed: equal at Penner's point, 0 for a grazing ball (choice)."""
    return c.tilt * (speed * np.cos(phi) / 13.289192) * (phi / 0.7749261878854823)


@inlined
def tilt_grip(phi, c):
    """Constant pocket at 45 degrees, 0 for a vertical and for a grazing ball (choice)."""
    return c.grip_tilt * np.sin(2.0 * phi)


@inlined
def restitution_penner_2002(into, c):
    """Restitution [-] at a speed into the tilted plane [m/s]; quadratic up to 20 m/s, then constant."""
    if into > 20.0:
        return c.e_floor
    return max(c.e0 - c.e1 * into + c.e2 * into * into, 0.0)


@inlined
def restitution_grip(into, c):
    """Restitution [-] that falls steadily with speed into the plane [m/s] (choice)."""
    return c.e0 / (1.0 + into / c.grip_speed)


@compiled
def rebound(vx, vy, vz, wx, wy, wz, nx, ny, nz, law, firmness, e_gain, tilt_gain, friction, c):
    """Velocity [m/s] and spin [rad/s] after one bounce on ground with unit normal (nx, ny, nz).

    law: BounceLaw. firmness f: tilt goes with 1/f, restitution with f. e_gain, tilt_gain: factors of the turf
    and of the ground's scatter. A ball that is not moving into the ground is returned as it came.
    """
    into = -(vx * nx + vy * ny + vz * nz)
    if into <= 0.0:
        return vx, vy, vz, wx, wy, wz
    tx = vx + into * nx
    ty = vy + into * ny
    tz = vz + into * nz
    along = np.sqrt(tx * tx + ty * ty + tz * tz)
    speed = np.sqrt(into * into + along * along)
    phi = np.arctan2(along, into)
    if law == 0:
        tilt = tilt_settling(speed, phi, c)
    elif law == 1:
        tilt = tilt_penner_2002(speed, phi, c)
    else:
        tilt = tilt_grip(phi, c)
    tilt = min(tilt * tilt_gain / firmness, phi)
    # the tilted plane: its normal leans back toward the incoming ball
    cos = np.cos(tilt)
    lean = np.sin(tilt) / along if along > 0.0 else 0.0
    px = cos * nx - lean * tx
    py = cos * ny - lean * ty
    pz = cos * nz - lean * tz
    into = -(vx * px + vy * py + vz * pz)
    e = restitution_grip(into, c) if law == 2 else restitution_penner_2002(into, c)
    e = min(e * firmness * e_gain, c.e_cap)
    # velocity along the plane and slip of the contact point: v + w x (-r n)
    tx = vx + into * px
    ty = vy + into * py
    tz = vz + into * pz
    sx = tx + c.radius * (py * wz - pz * wy)
    sy = ty + c.radius * (pz * wx - px * wz)
    sz = tz + c.radius * (px * wy - py * wx)
    slip = np.sqrt(sx * sx + sy * sy + sz * sz)
    grip = (2.0 / 7.0) * (1.0 + (c.grip_restitution if law == 2 else 0.0)) * slip
    rub = min(grip, friction * (1.0 + e) * into) / slip if slip > 0.0 else 0.0
    turn = 2.5 * rub / c.radius
    ox = tx - rub * sx + e * into * px
    oy = ty - rub * sy + e * into * py
    oz = tz - rub * sz + e * into * pz
    # nothing leaves downwards: what would go into the ground is taken out
    down = min(ox * nx + oy * ny + oz * nz, 0.0)
    return (
        ox - down * nx,
        oy - down * ny,
        oz - down * nz,
        wx + turn * (py * sz - pz * sy),
        wy + turn * (pz * sx - px * sz),
        wz + turn * (px * sy - py * sx),
    )
