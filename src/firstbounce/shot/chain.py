"""The chain of one shot: flight, bounces, skid, roll, hole. One compiled kernel over many balls."""

from __future__ import annotations

import numpy as np

from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot.bounce import rebound
from firstbounce.shot.compiler import CODE, FLOAT, INT, compiled, kernel, read_only, record, three, writable
from firstbounce.shot.flight import fly
from firstbounce.shot.hole import flies_in
from firstbounce.shot.laws import Numbers
from firstbounce.shot.roll import roll, slide
from firstbounce.shot.terrain import slope_at, turf_at
from firstbounce.shot.trail import note

#: Where a ball's journey begins.
FROM_STRIKE, FROM_LANDING, FROM_ROLL = 0, 1, 2


#: Types of a ground and of the constants, as the kernels know them.
GROUND = record(
    GroundArrays,
    read_only(FLOAT, 2),
    *[FLOAT] * 3,
    read_only(CODE, 2),
    *[FLOAT] * 3,
    read_only(FLOAT, 2),
    *[FLOAT] * 5,
)
NUMBERS = record(Numbers)


@compiled
def _unit(x, y, z):
    size = np.sqrt(x * x + y * y + z * z)
    if size == 0.0:
        return 0.0, 1.0, 0.0, 0.0
    return size, x / size, y / size, z / size


@compiled
def ground_normal(vx, vy, hx, hy, along, across):
    """Unit normal of the ground, tilted by its own scatter: `along` and `across` the flight [rad]."""
    if along != 0.0 or across != 0.0:
        level = np.sqrt(vx * vx + vy * vy)
        fx = vx / level if level > 0.0 else 0.0
        fy = vy / level if level > 0.0 else 1.0
        hx = hx + along * fx - across * fy
        hy = hy + along * fy + across * fx
    _, nx, ny, nz = _unit(-hx, -hy, 1.0)
    return nx, ny, nz


@compiled
def play_one(  # noqa: PLR0912, PLR0915  (one ball's whole life, kept in registers)
    x, y, z, vx, vy, vz, wx, wy, wz, green, firmness, ln_run, scatter, begin, laws, clear, g, c, trail
):
    """One ball from strike (or landing, or roll) to rest.

    Returns the first landing (x, y, z, velocity, spin vector, hang time), the finish (x, y, z), outcome code,
    number of bounces, whole time, nearest approach and margin at the hole, points of the trail used.
    """
    bounce_law, aero_law, capture = laws
    used = note(trail, 0, 0, 0.0, x, y, z)
    nearest = np.inf
    margin = -np.inf
    t = 0.0
    hang = 0.0
    bounces = 0
    outcome = -1
    _, hx, hy = slope_at(x, y, g)
    if begin == 2:
        vz = hx * vx + hy * vy
    spin, ax, ay, az = _unit(wx, wy, wz)
    if begin == 0:
        x, y, z, vx, vy, vz, spin, hx, hy, hang, used = fly(
            x, y, z, vx, vy, vz, spin, ax, ay, az, g, aero_law, c, t, trail, used
        )
        t = hang
    wx = spin * ax
    wy = spin * ay
    wz = spin * az
    landing = (x, y, z, vx, vy, vz, wx, wy, wz, hang)
    mu = 0.4
    while begin < 2:
        kind = turf_at(x, y, g)
        if flies_in(x, y, vx, vy, vz, hx, hy, c):
            x, y, outcome, nearest, margin = c.hole_x, c.hole_y, 2, 0.0, np.inf
            break
        if kind == 255:
            outcome = 4
            break
        if g.turf_props[kind, 6] != 0.0:
            outcome = 5
            break
        first = bounces * 3
        noisy = bounces < 2
        nx, ny, nz = ground_normal(
            vx, vy, hx, hy, scatter[first] if noisy else 0.0, scatter[first + 1] if noisy else 0.0
        )
        into = -(vx * nx + vy * ny + vz * nz)
        if into > g.turf_props[kind, 5] * firmness:
            outcome = 6
            break
        lift = np.exp(scatter[first + 2]) if noisy and scatter[first + 2] != 0.0 else 1.0
        vx, vy, vz, wx, wy, wz = rebound(
            vx,
            vy,
            vz,
            wx,
            wy,
            wz,
            nx,
            ny,
            nz,
            bounce_law,
            firmness,
            lift * g.turf_props[kind, 1],
            g.turf_props[kind, 2],
            g.turf_props[kind, 3],
            c,
        )
        if bounces == 0 and ln_run != 0.0:
            gain = np.exp(0.5 * ln_run)
            vx, vy, vz = gain * vx, gain * vy, gain * vz
            wx, wy, wz = gain * wx, gain * wy, gain * wz
        bounces += 1
        used = note(trail, used, 1, t, x, y, z)
        nx, ny, nz = ground_normal(vx, vy, hx, hy, 0.0, 0.0)
        up = vx * nx + vy * ny + vz * nz
        if up < 0.0:  # the scattered plane sent it into the true ground
            vx, vy, vz, up = vx - up * nx, vy - up * ny, vz - up * nz, 0.0
        if up * up < 2.0 * c.gravity * c.last_apex or bounces >= 20:
            break
        spin, ax, ay, az = _unit(wx, wy, wz)
        x, y, z, vx, vy, vz, spin, hx, hy, hop, used = fly(
            x, y, z, vx, vy, vz, spin, ax, ay, az, g, aero_law, c, t, trail, used
        )
        t += hop
        wx, wy, wz = spin * ax, spin * ay, spin * az
    if outcome < 0:
        kind = turf_at(x, y, g)
        if kind != 255:
            mu = g.turf_props[kind, 4]
        nx, ny, nz = ground_normal(vx, vy, hx, hy, 0.0, 0.0)
        up = vx * nx + vy * ny + vz * nz
        vx, vy, vz = vx - up * nx, vy - up * ny, vz - up * nz
        sx = vx + c.radius * (ny * wz - nz * wy)
        sy = vy + c.radius * (nz * wx - nx * wz)
        sz = vz + c.radius * (nx * wy - ny * wx)
        if begin == 2:  # set rolling by the putter
            sx = sy = sz = 0.0
        slip = slide(vx, vy, vz, sx, sy, sz, hx, hy, mu, c)
        brake = green * np.exp(scatter[7]) if scatter[7] != 0.0 else green
        x, y, outcome, rolled, nearest, margin, used = roll(
            x, y, vx, vy, slip, brake, scatter[6], scatter[8], capture, clear, g, c, t, trail, used
        )
        t += rolled
        z = slope_at(x, y, g)[0]
        used = note(trail, used, 3, t, x, y, z)
    return landing, (x, y, z), outcome, bounces, t, nearest, margin, used


@kernel(
    INT,
    INT,
    INT,
    three(INT),
    *[read_only(FLOAT, 2)] * 3,
    *[read_only(FLOAT, 1)] * 3,
    read_only(FLOAT, 2),
    read_only(FLOAT, 2),
    GROUND,
    NUMBERS,
    writable(FLOAT, 2),
    writable(FLOAT, 2),
    writable(CODE, 1),
    writable(INT, 1),
    writable(FLOAT, 2),
    writable(INT, 1),
)
def play_chunk(
    start,
    stop,
    begin,
    laws,
    position,
    velocity,
    spin,
    green,
    firmness,
    ln_run,
    scatter,
    clear,
    g,
    c,
    numbers_out,
    finish_out,
    outcome_out,
    bounces_out,
    trail,
    used_out,
):
    """Play balls start..stop into the output rows. Inputs are read only; scatter has n rows or one."""
    rows = scatter.shape[0]
    for i in range(start, stop):
        landing, finish, outcome, bounces, t, nearest, margin, used = play_one(
            position[i, 0],
            position[i, 1],
            position[i, 2],
            velocity[i, 0],
            velocity[i, 1],
            velocity[i, 2],
            spin[i, 0],
            spin[i, 1],
            spin[i, 2],
            green[i],
            firmness[i],
            ln_run[i],
            scatter[i if rows > 1 else 0],
            begin,
            laws,
            clear,
            g,
            c,
            trail,
        )
        for k in range(10):
            numbers_out[i, k] = landing[k]
        numbers_out[i, 10] = t
        numbers_out[i, 11] = nearest
        numbers_out[i, 12] = margin
        finish_out[i, 0] = finish[0]
        finish_out[i, 1] = finish[1]
        finish_out[i, 2] = finish[2]
        outcome_out[i] = outcome
        bounces_out[i] = bounces
        if i == start:
            used_out[0] = used
