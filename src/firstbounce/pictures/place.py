"""Where labels go: a small search that never lets two labels touch or leave the window."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from firstbounce.pictures.boxes import Array, Box

_GAPS = (6.0, 16.0, 30.0, 52.0, 84.0, 124.0)  #: distances tried from the anchor [page units]
_COMPASS = (0, 180, 45, 315, 135, 225, 90, 270)  #: directions tried, to the right first [deg]
_BUSY_COST = 14.0  #: cost of covering one drawn point, in page units of distance
_BUSY_MOST = 25.0
_FAR = 400.0  #: cost of a place that is not near its anchor


def find_place(
    anchor: tuple[float, float],
    size: tuple[float, float],
    *,
    window: Box,
    taken: Sequence[Box],
    busy: Array,
    clear: float = 0.0,
    prefer_deg: int = 0,
) -> Box | None:
    """A free place for a label of `size` (width, height) near its anchor [page units].

    The place lies inside `window`, shares nothing with `taken`, keeps `clear` from the anchor, and covers
    as few of the `busy` points (n, 3: x, y, weight) as it can. None when the window has no free place at all.
    """
    best, best_cost = None, math.inf
    for box, distance in _candidates(anchor, size, clear, window, prefer_deg):
        if distance >= _FAR and best is not None:
            break
        if distance >= best_cost or not window.holds(box) or any(box.overlaps(other) for other in taken):
            continue
        covered = covered_weight(box.grown(2.0), busy)
        cost = distance + _BUSY_COST * min(covered, _BUSY_MOST)
        if cost < best_cost:
            best, best_cost = box, cost
    return best


def covered_weight(box: Box, busy: Array) -> float:
    """The sum of the weights of the busy points (n, 3) in a box."""
    return float(busy[box.inside(busy), 2].sum()) if len(busy) else 0.0


def _candidates(
    anchor: tuple[float, float], size: tuple[float, float], clear: float, window: Box, prefer_deg: int
) -> Iterator[tuple[Box, float]]:
    """Boxes around the anchor with their cost of distance, then a lattice over the whole window."""
    width, height = size
    order = sorted(_COMPASS, key=lambda degrees: degrees != prefer_deg)
    for ring, gap in enumerate(_GAPS):
        for rank, degrees in enumerate(order):
            cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            x = anchor[0] + (clear + gap) * cos + width / 2 * _toward(cos)
            y = anchor[1] - (clear + gap) * sin - height / 2 * _toward(sin)
            box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            yield box, gap + 2.0 * rank + 8.0 * ring
    for left in np.linspace(window.left, max(window.left, window.right - width), 25):
        for top in np.linspace(window.top, max(window.top, window.bottom - height), 25):
            box = Box(float(left), float(top), float(left) + width, float(top) + height)
            away = math.hypot(left + width / 2 - anchor[0], top + height / 2 - anchor[1])
            yield box, _FAR + away


def _toward(component: float) -> float:
    """-1, 0 or 1: which side of the anchor the box hangs on."""
    return 0.0 if abs(component) < 0.1 else math.copysign(1.0, component)


def nearest_on(box: Box, point: tuple[float, float]) -> tuple[float, float]:
    """The point of the box that is nearest to `point`."""
    return min(max(point[0], box.left), box.right), min(max(point[1], box.top), box.bottom)
