"""The compiled twin of `launch`, and the kernel that finds the strike for a wanted landing spot."""

from __future__ import annotations

import numpy as np

from firstbounce.shot.chain import GROUND, NUMBERS
from firstbounce.shot.compiler import FLOAT, INT, compiled, kernel, read_only, writable
from firstbounce.shot.flight import fly
from firstbounce.shot.terrain import slope_at

#: Columns of the delivery of one ball, as the kernel reads it.
LOFT, ATTACK, FACE_TO_PATH, FRICTION, SPEED_FACTOR, GRIP, MASS_RATIO, E_REST, E_FALL = range(9)
N_DELIVERY = 9


@compiled
def strike(speed, azimuth, d, radius):
    """Velocity [m/s] and spin [rad/s] off the face: the law of `launch` for one ball, d its delivery row."""
    q = d[6]
    face = azimuth + d[2]
    nx = np.cos(d[0]) * np.sin(face)
    ny = np.cos(d[0]) * np.cos(face)
    nz = np.sin(d[0])
    px = np.cos(d[1]) * np.sin(azimuth)
    py = np.cos(d[1]) * np.cos(azimuth)
    pz = np.sin(d[1])
    cos = max(nx * px + ny * py + nz * pz, 0.0)
    tx = px - cos * nx
    ty = py - cos * ny
    tz = pz - cos * nz
    sin = np.sqrt(tx * tx + ty * ty + tz * tz)
    closing = speed * cos
    u_n = d[4] * (1.0 + d[7] - d[8] * closing) * closing / (1.0 + q)
    rub = min((1.0 + d[5]) * speed * sin / (3.5 + q), d[3] * u_n)
    share = rub / sin if sin > 0.0 else 0.0
    tx, ty, tz = share * tx, share * ty, share * tz
    turn = 2.5 / radius
    return (
        u_n * nx + tx,
        u_n * ny + ty,
        u_n * nz + tz,
        turn * (ty * nz - tz * ny),
        turn * (tz * nx - tx * nz),
        turn * (tx * ny - ty * nx),
    )


@compiled
def _first_speed(dx, dy, rise, d, radius):
    """A first guess of the club speed [m/s] from a parabola, carry shortened by drag; 0 if out of reach."""
    far = np.sqrt(dx * dx + dy * dy)
    ux, uy, uz, _, _, _ = strike(5.0, 0.0, d, radius)
    level = np.sqrt(ux * ux + uy * uy)
    room = far * uz / level - rise if level > 0.0 else -1.0
    if room <= 1e-6:
        return 0.0
    ball = far * np.sqrt(9.81 / (2.0 * room))
    return 5.0 * ball / level * np.sqrt(1.0 + 0.005 * far)


@compiled
def aim_one(x, y, z, spot_x, spot_y, d, aero_law, g, c, trail):
    """Club speed and azimuth whose first landing is the spot, with the flight it gives.

    Returns speed, azimuth, miss [m], velocity and spin at the start, the landing (place, motion, time).
    """
    dx = spot_x - x
    dy = spot_y - y
    far = np.sqrt(dx * dx + dy * dy)
    heading = np.arctan2(dx, dy)
    azimuth = heading
    speed = _first_speed(dx, dy, slope_at(spot_x, spot_y, g)[0] - z, d, c.radius)
    reachable = speed > 0.0
    if not reachable:
        speed = 5.0
    power = 2.0 / (1.0 + 0.008 * far)
    last_speed = last_far = 0.0
    for k in range(15):
        vx, vy, vz, wx, wy, wz = strike(speed, azimuth, d, c.radius)
        spin = np.sqrt(wx * wx + wy * wy + wz * wz)
        scale = 1.0 / spin if spin > 0.0 else 0.0
        lx, ly, lz, ux, uy, uz, w, _, _, t, _ = fly(
            x, y, z, vx, vy, vz, spin, wx * scale, wy * scale, wz * scale, g, aero_law, c, 0.0, trail, 0
        )
        miss = np.sqrt((lx - spot_x) ** 2 + (ly - spot_y) ** 2)
        got = np.sqrt((lx - x) ** 2 + (ly - y) ** 2)
        if miss < 2e-4 or not reachable or got < 1e-6 or k == 14:
            break
        if last_far > 0.0 and abs(got - last_far) > 1e-9 and abs(speed - last_speed) > 1e-12:
            slope = np.log(got / last_far) / np.log(speed / last_speed)
            if 0.3 < slope < 4.0:
                power = slope
        last_speed = speed
        last_far = got
        speed = min(max(speed * (far / got) ** (1.0 / power), 0.7 * speed), 1.4 * speed)
        turn = heading - np.arctan2(lx - x, ly - y)
        azimuth += turn - 2.0 * np.pi * np.round(turn / (2.0 * np.pi))
    w *= scale
    return speed, azimuth, miss, (vx, vy, vz, wx, wy, wz), (lx, ly, lz, ux, uy, uz, w * wx, w * wy, w * wz, t)


@kernel(
    INT,
    INT,
    read_only(FLOAT, 1),
    read_only(FLOAT, 2),
    read_only(FLOAT, 2),
    INT,
    GROUND,
    NUMBERS,
    writable(FLOAT, 2),
)
def aim_chunk(start, stop, position, spots, delivery, aero_law, g, c, out):
    """Aim balls start..stop. Spots have n rows or one."""
    trail = np.empty((0, 5))
    many = spots.shape[0] > 1
    for i in range(start, stop):
        speed, azimuth, miss, strike_state, landing = aim_one(
            position[0],
            position[1],
            position[2],
            spots[i if many else 0, 0],
            spots[i if many else 0, 1],
            delivery[i],
            aero_law,
            g,
            c,
            trail,
        )
        out[i, 0] = speed
        out[i, 1] = azimuth
        out[i, 2] = miss
        for k in range(6):
            out[i, 3 + k] = strike_state[k]
        for k in range(10):
            out[i, 9 + k] = landing[k]
