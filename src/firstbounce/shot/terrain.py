"""Looking at the ground from inside a kernel: height, slope and turf at a place."""

from __future__ import annotations

import numpy as np

from firstbounce.shot.compiler import inlined

OUTSIDE = 255  #: turf code of every place beyond the map


@inlined
def _cell(position, count):
    return min(max(int(np.floor(position)), 0), count - 4)


@inlined
def slope_at(x, y, g):
    """Height [m] and gradient [-] at (x, y) [m]; beyond the map the height of its edge, level."""
    px = min(max(x, g.x_min), g.x_max)
    py = min(max(y, g.y_min), g.y_max)
    u = (px - g.x0) * g.inv_cell
    v = (py - g.y0) * g.inv_cell
    i = _cell(u, g.coeffs.shape[1])
    j = _cell(v, g.coeffs.shape[0])
    t = u - i
    s = 1.0 - t
    t2 = t * t
    s2 = s * s
    w0 = s2 * s
    w1 = 4.0 - 6.0 * t2 + 3.0 * t2 * t
    w2 = 4.0 - 6.0 * s2 + 3.0 * s2 * s
    w3 = t2 * t
    d0 = -3.0 * s2
    d1 = 9.0 * t2 - 12.0 * t
    d2 = 12.0 * s - 9.0 * s2
    d3 = 3.0 * t2
    t = v - j
    s = 1.0 - t
    t2 = t * t
    s2 = s * s
    h = hx = hy = 0.0
    for k in range(4):
        q0 = g.coeffs[j + k, i]
        q1 = g.coeffs[j + k, i + 1]
        q2 = g.coeffs[j + k, i + 2]
        q3 = g.coeffs[j + k, i + 3]
        value = q0 * w0 + q1 * w1 + q2 * w2 + q3 * w3
        slope = q0 * d0 + q1 * d1 + q2 * d2 + q3 * d3
        if k == 0:
            a = s2 * s
            b = -3.0 * s2
        elif k == 1:
            a = 4.0 - 6.0 * t2 + 3.0 * t2 * t
            b = 9.0 * t2 - 12.0 * t
        elif k == 2:
            a = 4.0 - 6.0 * s2 + 3.0 * s2 * s
            b = 12.0 * s - 9.0 * s2
        else:
            a = t2 * t
            b = 3.0 * t2
        h += value * a
        hx += slope * a
        hy += value * b
    scale = 1.0 / 36.0
    if px != x or py != y:
        return h * scale, 0.0, 0.0
    return h * scale, hx * scale * g.inv_cell, hy * scale * g.inv_cell


@inlined
def is_outside(x, y, g):
    """Whether (x, y) lies beyond the map."""
    return not (g.x_min <= x <= g.x_max and g.y_min <= y <= g.y_max)


@inlined
def turf_at(x, y, g):
    """Turf code at (x, y) [m]: row of turf_props, or OUTSIDE beyond the map."""
    if is_outside(x, y, g):
        return 255
    i = min(max(int((x - g.tx0) * g.inv_tcell), 0), g.turf.shape[1] - 1)
    j = min(max(int((y - g.ty0) * g.inv_tcell), 0), g.turf.shape[0] - 1)
    return int(g.turf[j, i])


@inlined
def hermite(p0, v0, p1, v1, h, s):
    """Position at the share s of a step of length h [s] between two states: cubic through both ends."""
    r = 1.0 - s
    return r * r * ((1.0 + 2.0 * s) * p0 + h * s * v0) + s * s * ((3.0 - 2.0 * s) * p1 - h * r * v1)


@inlined
def hermite_velocity(p0, v0, p1, v1, h, s):
    """Velocity of the same cubic."""
    return 6.0 * s * (1.0 - s) * (p1 - p0) / h + (1.0 - s) * (1.0 - 3.0 * s) * v0 + s * (3.0 * s - 2.0) * v1
