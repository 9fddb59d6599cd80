"""A small z-buffer: triangles with one colour and normal per corner, lit by one lamp. No GL."""

from __future__ import annotations

import math

import numba as nb
import numpy as np


@nb.njit(cache=True)
def corner_normals(points, triangles):
    """Sum of the face normals around each point, not normalised; points (n, 3), triangles (m, 3)."""
    out = np.zeros_like(points)
    for t in range(triangles.shape[0]):
        a, b, c = triangles[t]
        ux, uy, uz = points[b] - points[a]
        vx, vy, vz = points[c] - points[a]
        nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
        for k in (a, b, c):
            out[k, 0] += nx
            out[k, 1] += ny
            out[k, 2] += nz
    return out


@nb.njit(cache=True)
def draw(seen, normals, colours, triangles, picture, depth, lamp, ambient):
    """Fill `picture` (h, w, 3) and `depth` (h, w) in place: this is the one function here that writes in.

    seen (n, 3): picture x, picture y and distance from the camera of each point.
    """
    height, width = depth.shape
    for t in range(triangles.shape[0]):
        a, b, c = triangles[t]
        x0, y0, z0 = seen[a]
        x1, y1, z1 = seen[b]
        x2, y2, z2 = seen[c]
        area = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
        if abs(area) < 1e-9 or min(z0, z1, z2) <= 0:
            continue
        left, right = max(int(min(x0, x1, x2)), 0), min(int(max(x0, x1, x2)) + 1, width - 1)
        top, bottom = max(int(min(y0, y1, y2)), 0), min(int(max(y0, y1, y2)) + 1, height - 1)
        for y in range(top, bottom + 1):
            for x in range(left, right + 1):
                px, py = x + 0.5, y + 0.5
                w1 = ((px - x0) * (y2 - y0) - (x2 - x0) * (py - y0)) / area
                w2 = ((x1 - x0) * (py - y0) - (px - x0) * (y1 - y0)) / area
                w0 = 1.0 - w1 - w2
                if w0 < 0 or w1 < 0 or w2 < 0:
                    continue
                z = w0 * z0 + w1 * z1 + w2 * z2
                if z >= depth[y, x]:
                    continue
                depth[y, x] = z
                nx = w0 * normals[a, 0] + w1 * normals[b, 0] + w2 * normals[c, 0]
                ny = w0 * normals[a, 1] + w1 * normals[b, 1] + w2 * normals[c, 1]
                nz = w0 * normals[a, 2] + w1 * normals[b, 2] + w2 * normals[c, 2]
                size = math.sqrt(nx * nx + ny * ny + nz * nz) + 1e-9
                lit = (nx * lamp[0] + ny * lamp[1] + nz * lamp[2]) / size
                shade = ambient + (1.0 - ambient) * max(0.0, lit) + 0.08 * ny / size
                for k in range(3):
                    tone = w0 * colours[a, k] + w1 * colours[b, k] + w2 * colours[c, k]
                    picture[y, x, k] = min(255.0, max(0.0, shade * tone))
