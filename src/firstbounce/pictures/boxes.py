"""Rectangles on the page, and the arrays of points that descriptions carry."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError

Array = NDArray[np.float64]


class Box(NamedTuple):
    """A rectangle on the page, y downwards [page units]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """[page units]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """[page units]"""
        return self.bottom - self.top

    def overlaps(self, other: Box) -> bool:
        """True when the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """True when the other lies inside."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )

    def grown(self, by: float) -> Box:
        """The same rectangle with every side moved outwards."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def inside(self, points: Array) -> NDArray[np.bool_]:
        """Which points (n, 2 or more columns) lie inside."""
        x, y = points[:, 0], points[:, 1]
        return (x >= self.left) & (x <= self.right) & (y >= self.top) & (y <= self.bottom)


def as_points(values: ArrayLike | None) -> Array:
    """Points (n, 2) as float64; rows that are not finite are left out; None is no points."""
    if values is None:
        return np.empty((0, 2))
    points = np.asarray(values, dtype=np.float64)
    if points.size == 0:
        return np.empty((0, 2))
    if points.ndim == 1 and points.shape == (2,):
        points = points[None, :]
    if points.ndim != 2 or points.shape[1] != 2:
        raise ParameterError(f"Points of a picture need the shape (n, 2), got {points.shape}.")
    return points[np.isfinite(points).all(axis=1)]


def thinned(n: int, at_most: int) -> NDArray[np.int64]:
    """Indices of at most `at_most` of n items, evenly through their order."""
    if n <= at_most:
        return np.arange(n)
    return (np.arange(at_most) * n) // at_most
