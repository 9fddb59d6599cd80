"""The surface as a uniform cubic B-spline: smooth to the second derivative, exact for planes.

Any surface (plane, fitted slope readings, height grid) becomes node heights, then coefficients. The
kernels read coefficients through `surface_at`; `spline_coefficients` makes them. C. de Boor, A Practical
Guide to Splines, 1978 (cubic B-splines on uniform knots; natural end condition).
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from firstbounce.errors import ParameterError


def _interpolation_matrix(n: int) -> NDArray[np.float64]:
    """Rows: no bend at the first node, the value at each node, no bend at the last."""
    matrix = np.zeros((n + 2, n + 2))
    matrix[0, :3] = matrix[-1, -3:] = (1, -2, 1)
    for node in range(n):
        matrix[node + 1, node : node + 3] = (1 / 6, 4 / 6, 1 / 6)
    return matrix


def spline_coefficients(heights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Coefficients, shape (ny + 2, nx + 2) [m], of the natural spline through `heights`, shape (ny, nx) [m].

    Needs at least 2 nodes each way and finite heights (ParameterError).
    """
    heights = np.asarray(heights, dtype=np.float64)
    if heights.ndim != 2 or min(heights.shape) < 2 or not np.isfinite(heights).all():
        raise ParameterError(
            f"A height grid needs finite heights and at least 2 by 2 nodes, got shape {heights.shape}."
        )
    ny, nx = heights.shape
    padded = np.zeros((ny + 2, nx + 2))
    padded[1:-1, 1:-1] = heights
    along_y = np.linalg.solve(_interpolation_matrix(ny), padded)
    return np.ascontiguousarray(np.linalg.solve(_interpolation_matrix(nx), along_y.T).T)


@njit(cache=True, inline="always")
def _weights(t):
    """Values of the four cubic B-splines that reach the point t in its cell."""
    s = 1.0 - t
    return (
        s * s * s / 6.0,
        (4.0 - 6.0 * t * t + 3.0 * t * t * t) / 6.0,
        (4.0 - 6.0 * s * s + 3.0 * s * s * s) / 6.0,
        t * t * t / 6.0,
    )


@njit(cache=True, inline="always")
def _slopes(t):
    """First derivatives of the four weights, per cell."""
    s = 1.0 - t
    return (-0.5 * s * s, 1.5 * t * t - 2.0 * t, 2.0 * s - 1.5 * s * s, 0.5 * t * t)


@njit(cache=True, inline="always")
def _bends(t):
    """Second derivatives of the four weights, per cell squared."""
    return (1.0 - t, 3.0 * t - 2.0, 1.0 - 3.0 * t, t)


@njit(cache=True, inline="always")
def _row(coeffs, j, i, w):
    return coeffs[j, i] * w[0] + coeffs[j, i + 1] * w[1] + coeffs[j, i + 2] * w[2] + coeffs[j, i + 3] * w[3]


@njit(cache=True, inline="always")
def _cell(position, count):
    """Cell of a position counted in cells, kept inside the grid: the edge cells extrapolate."""
    return min(max(int(np.floor(position)), 0), count - 4)


@njit(cache=True, inline="always")
def height_at(x, y, coeffs, x0, y0, inv_cell):
    """Height [m] of the surface at (x, y) [m]."""
    u = (x - x0) * inv_cell
    v = (y - y0) * inv_cell
    i = _cell(u, coeffs.shape[1])
    j = _cell(v, coeffs.shape[0])
    wx = _weights(u - i)
    wy = _weights(v - j)
    return (
        _row(coeffs, j, i, wx) * wy[0]
        + _row(coeffs, j + 1, i, wx) * wy[1]
        + _row(coeffs, j + 2, i, wx) * wy[2]
        + _row(coeffs, j + 3, i, wx) * wy[3]
    )


@njit(cache=True, inline="always")
def surface_at(x, y, coeffs, x0, y0, inv_cell):
    """Height [m], gradient [-] and second derivatives [1/m] at (x, y) [m]: (h, hx, hy, hxx, hxy, hyy)."""
    u = (x - x0) * inv_cell
    v = (y - y0) * inv_cell
    i = _cell(u, coeffs.shape[1])
    j = _cell(v, coeffs.shape[0])
    tx = u - i
    ty = v - j
    wx = _weights(tx)
    sx = _slopes(tx)
    bx = _bends(tx)
    wy = _weights(ty)
    sy = _slopes(ty)
    by = _bends(ty)
    h = hx = hy = hxx = hxy = hyy = 0.0
    for k in range(4):
        value = _row(coeffs, j + k, i, wx)
        slope = _row(coeffs, j + k, i, sx)
        h += value * wy[k]
        hy += value * sy[k]
        hyy += value * by[k]
        hx += slope * wy[k]
        hxy += slope * sy[k]
        hxx += _row(coeffs, j + k, i, bx) * wy[k]
    c2 = inv_cell * inv_cell
    return h, hx * inv_cell, hy * inv_cell, hxx * c2, hxy * c2, hyy * c2
