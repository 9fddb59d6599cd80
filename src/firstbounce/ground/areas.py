"""Areas: polygons seen from above, and the raster of turf codes that is painted from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import distance_transform_edt

from firstbounce.errors import ParameterError
from firstbounce.ground.turf import CODES
from firstbounce.words import TurfKind

#: Grass that lies around greens: painted below the green, whatever the order. Everything else lies on it.
SURROUNDS = frozenset({TurfKind.FRINGE, TurfKind.FAIRWAY, TurfKind.LIGHT_ROUGH, TurfKind.HEAVY_ROUGH})

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Area:
    """A kind of turf inside a polygon: corners (x, y) [m] in order, either way round, not closed."""

    kind: TurfKind
    corners: Corners

    def __post_init__(self) -> None:
        fault = polygon_fault(self.corners, f"The {self.kind} area")
        if fault:
            raise ParameterError(fault)
        object.__setattr__(self, "corners", tuple((float(x), float(y)) for x, y in self.corners))


@dataclass(frozen=True, slots=True)
class Raster:
    """Turf codes in square cells: cell (j, i) covers x0 + i*cell <= x < x0 + (i+1)*cell, the same in y."""

    codes: NDArray[np.uint8]
    x0_m: float
    y0_m: float
    cell_m: float

    def code_at(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.uint8]:
        """Code of the turf at (x, y) [m]; a place beyond the raster has the turf of the nearest cell."""
        ny, nx = self.codes.shape
        i = np.floor((np.asarray(x, float) - self.x0_m) * (1 / self.cell_m)).astype(int).clip(0, nx - 1)
        j = np.floor((np.asarray(y, float) - self.y0_m) * (1 / self.cell_m)).astype(int).clip(0, ny - 1)
        return self.codes[j, i]


def polygon_fault(corners: Sequence[Sequence[float]], what: str) -> str | None:
    """What is wrong with a polygon, one sentence, or None: too few corners, bad numbers, crossing sides."""
    points = np.asarray(corners, dtype=float)
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 3:
        return f"{what} needs at least 3 corners, each x and y in metres."
    if not np.isfinite(points).all():
        return f"{what} has a corner that is not a number."
    if (np.hypot(*(points - np.roll(points, -1, axis=0)).T) == 0).any():
        return f"{what} has the same corner twice in a row: remove one (the last joins the first by itself)."
    crossing = _crossing_sides(points)
    if crossing:
        first, second = crossing
        return f"{what} crosses itself: side {first + 1} meets side {second + 1}; give the corners in order."
    return f"{what} has no area: its corners lie on one line." if polygon_area(points) == 0 else None


def polygon_area(corners: ArrayLike) -> float:
    """Area inside a polygon [m2], either way round."""
    x, y = np.asarray(corners, dtype=float).T
    return float(abs((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2)


def _side_of(a: NDArray[np.float64], b: NDArray[np.float64], p: NDArray[np.float64]) -> NDArray[np.float64]:
    """Twice the signed area of the triangles a, b, p: on which side of ab lies p."""
    return (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
        p[..., 0] - a[..., 0]
    )


def _crossing_sides(points: NDArray[np.float64]) -> tuple[int, int] | None:
    """The first two sides that meet although they are not neighbours, or fold back onto each other."""
    n = len(points)
    start, end = points[:, None], np.roll(points, -1, axis=0)[:, None]
    other_start, other_end = start[:, 0][None], end[:, 0][None]
    d1, d2 = _side_of(start, end, other_start), _side_of(start, end, other_end)
    d3, d4 = _side_of(other_start, other_end, start), _side_of(other_start, other_end, end)
    overlap = _boxes_overlap(start, end, other_start, other_end)
    meets = (d1 * d2 <= 0) & (d3 * d4 <= 0) & overlap
    first, second = np.triu_indices(n, 2)
    apart = ~((first == 0) & (second == n - 1))
    found = np.flatnonzero(meets[first, second] & apart)
    if len(found):
        return int(first[found[0]]), int(second[found[0]])
    return _folding_sides(points)


def _boxes_overlap(*ends: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether the boxes around the segments ab and cd share a point."""
    a, b, c, d = ends
    low, high = np.minimum(a, b), np.maximum(a, b)
    return np.asarray(((low <= np.maximum(c, d)) & (high >= np.minimum(c, d))).all(axis=-1))


def _folding_sides(points: NDArray[np.float64]) -> tuple[int, int] | None:
    """Neighbouring sides of which the second runs straight back over the first."""
    ahead = np.roll(points, -1, axis=0) - points
    after = np.roll(ahead, -1, axis=0)
    turn = ahead[:, 0] * after[:, 1] - ahead[:, 1] * after[:, 0]
    back = (turn == 0) & ((ahead * after).sum(axis=1) < 0)
    return (int(back.argmax()), int(back.argmax() + 1) % len(points)) if back.any() else None


def inside(corners: ArrayLike, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
    """Whether each (x, y) [m] lies inside the polygon (even-odd rule; shapes of x and y broadcast)."""
    x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
    points = np.asarray(corners, dtype=float)
    odd = np.zeros(x.shape, dtype=bool)
    for (xa, ya), (xb, yb) in zip(points, np.roll(points, -1, axis=0), strict=True):
        if ya == yb:
            continue
        spans = (ya > y) != (yb > y)
        odd ^= spans & (x < xa + (y - ya) * ((xb - xa) / (yb - ya)))
    return odd


def cells_inside(corners: ArrayLike, raster: Raster) -> NDArray[np.bool_]:
    """Mask of the raster's cells whose centre lies inside the polygon; works row by row, not cell by cell."""
    ny, nx = raster.codes.shape
    points = np.asarray(corners, dtype=float)
    flips = np.zeros((ny, nx + 1), dtype=np.int32)
    y = raster.y0_m + (np.arange(ny) + 0.5) * raster.cell_m
    for (xa, ya), (xb, yb) in zip(points, np.roll(points, -1, axis=0), strict=True):
        rows = np.flatnonzero((ya > y) != (yb > y))
        x = xa + (y[rows] - ya) * ((xb - xa) / (yb - ya)) if len(rows) else np.empty(0)
        first = np.ceil((x - raster.x0_m) / raster.cell_m - 0.5).astype(int).clip(0, nx)
        flips[rows, first] += 1
    return np.cumsum(flips[:, :-1], axis=1) % 2 == 1


def paint(
    blank: Raster, *, outline: Corners | None, fringe_m: float, areas: Sequence[Area], around: TurfKind
) -> Raster:
    """The raster of a map: surrounds, fringe band, green, what lies on it; later over earlier."""
    codes = np.full(blank.codes.shape, CODES[around], dtype=np.uint8)
    for area in areas:
        if area.kind in SURROUNDS:
            codes[cells_inside(area.corners, blank)] = CODES[area.kind]
    if outline is not None:
        green = cells_inside(outline, blank)
        if fringe_m > 0 and green.any():
            codes[distance_transform_edt(~green) * blank.cell_m <= fringe_m] = CODES[TurfKind.FRINGE]
        codes[green] = CODES[TurfKind.GREEN]
    for area in areas:
        if area.kind not in SURROUNDS:
            codes[cells_inside(area.corners, blank)] = CODES[area.kind]
    return Raster(codes, blank.x0_m, blank.y0_m, blank.cell_m)


def blank_raster(bounds: tuple[float, float, float, float], most_cells: int = 1_000_000) -> Raster:
    """An unpainted raster over (x_min, x_max, y_min, y_max) [m]: 0.05 m cells, larger on a huge map."""
    x_min, x_max, y_min, y_max = bounds
    fine = np.sqrt((x_max - x_min) * (y_max - y_min) / most_cells)
    cell = max(0.05, np.ceil(fine * 100) / 100)
    nx, ny = (max(1, int(np.ceil(side / cell - 1e-9))) for side in (x_max - x_min, y_max - y_min))
    return Raster(np.zeros((ny, nx), dtype=np.uint8), x_min, y_min, float(cell))
