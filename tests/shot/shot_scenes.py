"""Grounds and helpers of the shot tests."""

from __future__ import annotations

import math

import numpy as np

from firstbounce.ground.arrays import GroundArrays
from firstbounce.ground.spline import spline_coefficients
from firstbounce.ground.turf import CODES, turf_props
from firstbounce.shot.launch import Launched, launch
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import TurfKind

A10 = stimp_to_deceleration(10)
CHIP_LOFTS = np.radians(np.array([34, 38, 42, 46, 50, 56, 60]) - [6, 6, 6, 6, 5, 4, 3])
CHIP_SPEEDS = np.array([5.5, 6.5, 7.0, 7.5, 8.5, 10.0, 11.0])


def ground(height=None, *, half: float = 40.0, kinds=None, cell: float = 1.0) -> GroundArrays:
    """A square map of height(x, y) [m]; kinds(x, y) gives codes on 0.5 m cells, all green by default."""
    nodes = np.arange(-half, half + cell / 2, cell)
    x, y = np.meshgrid(nodes, nodes)
    heights = np.zeros_like(x) if height is None else height(x, y) + 0 * x
    middles = np.arange(-half + 0.25, half, 0.5)
    mx, my = np.meshgrid(middles, middles)
    codes = np.full(mx.shape, CODES[TurfKind.GREEN]) if kinds is None else kinds(mx, my)
    return GroundArrays(
        coeffs=spline_coefficients(heights),
        x0=-half,
        y0=-half,
        inv_cell=1 / cell,
        turf=codes.astype(np.uint8),
        tx0=-half,
        ty0=-half,
        inv_tcell=2.0,
        turf_props=turf_props(),
        x_min=-half,
        x_max=half,
        y_min=-half,
        y_max=half,
        z_max=float(heights.max()) + 1,
    )


def slope(percent: float, downhill_deg: float = 0.0, **kinds) -> GroundArrays:
    """A plane that falls toward a direction (degrees from +y toward +x)."""
    turn = math.radians(downhill_deg)
    return ground(lambda x, y: -percent / 100 * (x * math.sin(turn) + y * math.cos(turn)), **kinds)


def hilly(x, y):
    """Slopes of a few percent."""
    return 0.02 * y - 0.015 * x + 0.08 * np.sin(x / 3) * np.cos(y / 4)


def chips(**delivery) -> Launched:
    """The chips of the trade table: seven clubs, 7-iron to lob wedge."""
    return launch(CHIP_SPEEDS, CHIP_LOFTS, math.radians(-3), **delivery)


def turned(vectors, angle: float):
    """Vectors turned by an angle from +y toward +x."""
    c, s = math.cos(angle), math.sin(angle)
    return np.asarray(vectors) @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
