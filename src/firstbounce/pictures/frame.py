"""From the world (metres, y away or up) to the page (units, y downwards)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from firstbounce.pictures.boxes import Array, Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A window of the page and the part of the world seen through it."""

    box: Box  #: the window [page units]
    centre: tuple[float, float]  #: world point in the middle of the window [m]
    scale_x: float  #: page units for a metre across the page
    scale_y: float  #: page units for a metre up the page
    turn: float = 0.0  #: the world is turned by this angle, anticlockwise, before it is drawn [rad]

    def page(self, points: Array) -> Array:
        """World points (n, 2) [m] to page points (n, 2)."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        dx, dy = points[:, 0] - self.centre[0], points[:, 1] - self.centre[1]
        middle_x = (self.box.left + self.box.right) / 2
        middle_y = (self.box.top + self.box.bottom) / 2
        x = middle_x + self.scale_x * (cos * dx - sin * dy)
        y = middle_y - self.scale_y * (sin * dx + cos * dy)
        return np.column_stack([x, y])

    def world(self, points: Array) -> Array:
        """Page points (n, 2) to world points (n, 2) [m]; inverse of `page`."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        u = (points[:, 0] - (self.box.left + self.box.right) / 2) / self.scale_x
        v = ((self.box.top + self.box.bottom) / 2 - points[:, 1]) / self.scale_y
        return np.column_stack([self.centre[0] + cos * u + sin * v, self.centre[1] - sin * u + cos * v])

    def corners(self) -> Array:
        """World points of the four corners of the window (4, 2) [m]."""
        b = self.box
        return self.world(
            np.array([[b.left, b.top], [b.right, b.top], [b.right, b.bottom], [b.left, b.bottom]])
        )


def fit(
    points: Array,
    *,
    left: float,
    top: float,
    width: float,
    heights: tuple[float, float],
    turn: float = 0.0,
    margin: float = 0.08,
    least_m: float = 2.0,
) -> Frame:
    """The frame of equal scales that shows all points (n, 2) [m] with a margin (a share of the span).

    The window is `width` wide and as high as the points ask for, between the two `heights` [page units].
    No points give a window of `least_m` metres around the origin.
    """
    if not len(points):
        points = np.zeros((1, 2))
    cos, sin = math.cos(turn), math.sin(turn)
    turned = points @ np.array([[cos, sin], [-sin, cos]])
    low, high = turned.min(axis=0), turned.max(axis=0)
    span = np.maximum((high - low) * (1 + 2 * margin), least_m)
    height = min(max(width * span[1] / span[0], heights[0]), heights[1])
    scale = min(width / span[0], height / span[1])
    u, v = (low + high) / 2
    centre = (float(cos * u + sin * v), float(-sin * u + cos * v))
    box = Box(left, top, left + width, top + float(height))
    return Frame(box=box, centre=centre, scale_x=float(scale), scale_y=float(scale), turn=turn)
