"""Looking at the ground from inside a kernel: height, slope and turf at a place."""

from __future__ import annotations

import numpy as np

from firstbounce.shot.compiler import inlined

OUTSIDE = 255  #: turf code of every place beyond the map


@inlined
def _cell(position, count):
    return min(max(int(np.floor(position)), 0), count - 4)


@inlined
def _weights(t):
    """Six times the four cubic B-splines that reach the point t of its cell."""
    s = 1.0 - t
    t2 = t * t
    s2 = s * s
    return s2 * s, 4.0 + t2 * (3.0 * t - 6.0), 4.0 + s2 * (3.0 * s - 6.0), t2 * t


@inlined
def _slopes(t):
    """Their first derivatives."""
    s = 1.0 - t
    return -3.0 * s * s, t * (9.0 * t - 12.0), s * (12.0 - 9.0 * s), 3.0 * t * t


@inlined
def _bends(t):
    """Their second derivatives."""
    s = 1.0 - t
    return 6.0 * s, 18.0 * t - 12.0, 18.0 * s - 12.0, 6.0 * t


@inlined
def _dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3]


@inlined
def _row(coeffs, j, i):
    return coeffs[j, i], coeffs[j, i + 1], coeffs[j, i + 2], coeffs[j, i + 3]


@inlined
def slope_at(x, y, g):
    """Height [m] and gradient [-] at (x, y) [m]; beyond the map the height of its edge, level."""
    px = min(max(x, g.x_min), g.x_max)
    py = min(max(y, g.y_min), g.y_max)
    u = (px - g.x0) * g.inv_cell
    v = (py - g.y0) * g.inv_cell
    i = _cell(u, g.coeffs.shape[1])
    j = _cell(v, g.coeffs.shape[0])
    w = _weights(u - i)
    d = _slopes(u - i)
    r0 = _row(g.coeffs, j, i)
    r1 = _row(g.coeffs, j + 1, i)
    r2 = _row(g.coeffs, j + 2, i)
    r3 = _row(g.coeffs, j + 3, i)
    heights = _dot(r0, w), _dot(r1, w), _dot(r2, w), _dot(r3, w)
    slopes = _dot(r0, d), _dot(r1, d), _dot(r2, d), _dot(r3, d)
    across = _weights(v - j)
    h = _dot(heights, across) * (1.0 / 36.0)
    if px != x or py != y:
        return h, 0.0, 0.0
    scale = g.inv_cell * (1.0 / 36.0)
    return h, _dot(slopes, across) * scale, _dot(heights, _slopes(v - j)) * scale


@inlined
def bend_at(x, y, g):
    """Gradient (hx, hy) [-] and second derivatives (hxx, hxy, hyy) [1/m] at (x, y) [m]."""
    u = (x - g.x0) * g.inv_cell
    v = (y - g.y0) * g.inv_cell
    i = _cell(u, g.coeffs.shape[1])
    j = _cell(v, g.coeffs.shape[0])
    w = _weights(u - i)
    d = _slopes(u - i)
    b = _bends(u - i)
    r0 = _row(g.coeffs, j, i)
    r1 = _row(g.coeffs, j + 1, i)
    r2 = _row(g.coeffs, j + 2, i)
    r3 = _row(g.coeffs, j + 3, i)
    heights = _dot(r0, w), _dot(r1, w), _dot(r2, w), _dot(r3, w)
    slopes = _dot(r0, d), _dot(r1, d), _dot(r2, d), _dot(r3, d)
    bends = _dot(r0, b), _dot(r1, b), _dot(r2, b), _dot(r3, b)
    across = _weights(v - j)
    along = _slopes(v - j)
    one = g.inv_cell * (1.0 / 36.0)
    two = g.inv_cell * one
    return (
        _dot(slopes, across) * one,
        _dot(heights, along) * one,
        _dot(bends, across) * two,
        _dot(slopes, along) * two,
        _dot(heights, _bends(v - j)) * two,
    )


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
