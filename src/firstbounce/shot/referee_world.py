"""What the referee works on: the surface through SciPy, the world of one ball, the ball itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import NdBSpline

from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot import laws as names
from firstbounce.shot.laws import AirSpec, HoleSpec, Laws
from firstbounce.words import Outcome

Vector = NDArray[np.float64]
RADIUS = names.BALL_RADIUS
RTOL, ATOL = 1e-10, 1e-11
LONGEST_STEP = 0.05  #: so that no event between two steps is missed [s]


class Surface:
    """Height, gradient and second derivatives through SciPy; level beyond the map, as the kernel has it."""

    def __init__(self, ground: GroundArrays) -> None:
        self.ground = ground
        ny, nx = ground.coeffs.shape
        cell = 1 / ground.inv_cell
        knots = tuple(
            origin + (np.arange(n + 4) - 3) * cell for origin, n in ((ground.y0, ny), (ground.x0, nx))
        )
        self.spline = NdBSpline(knots, np.asarray(ground.coeffs, dtype=float), 3)

    def value(self, x: float, y: float, nx: int = 0, ny: int = 0) -> float:
        """A derivative of the height at a place."""
        return float(self.spline((y, x), nu=(ny, nx)))

    def inside(self, x: float, y: float) -> bool:
        """Whether the place lies on the map."""
        g = self.ground
        return g.x_min <= x <= g.x_max and g.y_min <= y <= g.y_max

    def height(self, x: float, y: float) -> float:
        """Height [m]."""
        g = self.ground
        return self.value(min(max(x, g.x_min), g.x_max), min(max(y, g.y_min), g.y_max))

    def gradient(self, x: float, y: float) -> tuple[float, float]:
        """Gradient [-]."""
        return (self.value(x, y, 1, 0), self.value(x, y, 0, 1)) if self.inside(x, y) else (0.0, 0.0)

    def normal(self, x: float, y: float) -> Vector:
        """Unit normal."""
        hx, hy = self.gradient(x, y)
        return np.array([-hx, -hy, 1.0]) / math.sqrt(1 + hx * hx + hy * hy)

    def bend(self, x: float, y: float, vx: float, vy: float) -> float:
        """v'Hv [m/s2]."""
        return (
            vx * vx * self.value(x, y, 2, 0)
            + 2 * vx * vy * self.value(x, y, 1, 1)
            + vy * vy * self.value(x, y, 0, 2)
        )

    def turf(self, x: float, y: float) -> int:
        """Code of the turf, 255 beyond the map."""
        g = self.ground
        if not self.inside(x, y):
            return 255
        i = min(max(math.floor((x - g.tx0) * g.inv_tcell), 0), g.turf.shape[1] - 1)
        j = min(max(math.floor((y - g.ty0) * g.inv_tcell), 0), g.turf.shape[0] - 1)
        return int(g.turf[j, i])


@dataclass(frozen=True, kw_only=True)
class World:
    """Everything one ball meets."""

    ground: GroundArrays
    green_deceleration: float
    firmness: float = 1.0
    ln_run: float = 0.0
    scatter: tuple[float, ...] = (0.0,) * names.N_SCATTER
    hole: HoleSpec | None = None
    air: AirSpec = field(default_factory=AirSpec)
    laws: Laws = field(default_factory=Laws)


class Verdict(NamedTuple):
    """What became of the ball."""

    landed: Vector
    landing_velocity: Vector
    finished: Vector
    outcome: Outcome
    n_bounces: int
    time: float


class Ball(NamedTuple):
    """Place of the contact point, velocity, spin vector."""

    place: Vector
    velocity: Vector
    spin: Vector
