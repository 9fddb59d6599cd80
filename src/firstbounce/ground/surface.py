"""Surfaces: a plane and a height grid, both of which become one uniform cubic B-spline.

Directions on the ground are degrees clockwise seen from above: 0 away, 90 right, 180 back, 270 left.
Gradients are (dh/dx, dh/dy), rise over run. Every surface answers `height`, `gradient`, `hessian`,
`spline(bounds)` for the kernels, and `draw(rng)`: itself again as far as it is known, else another
surface that the readings allow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import NdBSpline

from firstbounce.errors import ParameterError
from firstbounce.ground.spline import spline_coefficients

Floats = NDArray[np.float64]
NO_DOUBT = ((0.0, 0.0), (0.0, 0.0))  #: covariance of a gradient that is taken as known


class Bounds(NamedTuple):
    """A rectangle seen from above [m]."""

    x_min: float
    x_max: float
    y_min: float
    y_max: float

    def holds(self, other: Bounds) -> bool:
        """Whether the other rectangle lies within this one, to a tenth of a millimetre."""
        slack = 1e-4
        return (
            other.x_min >= self.x_min - slack
            and other.x_max <= self.x_max + slack
            and other.y_min >= self.y_min - slack
            and other.y_max <= self.y_max + slack
        )


class Surface(Protocol):
    """What every surface can do."""

    @property
    def extent(self) -> Bounds | None:
        """Where the surface is known; None for a surface without end."""

    def height(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m] at (x, y) [m]; shapes broadcast."""

    def gradient(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """Gradient (dh/dx, dh/dy) [-]."""

    def hessian(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Second derivatives (hxx, hxy, hyy) [1/m]."""

    def spline(self, bounds: Bounds) -> Spline:
        """The same surface as a B-spline that covers the bounds; ParameterError where it is not known."""

    def draw(self, rng: np.random.Generator) -> Surface:
        """One surface that the readings allow; the surface itself when it is taken as known."""


def downhill_direction(downhill_deg: ArrayLike) -> tuple[Floats, Floats]:
    """Unit vector (x, y) of a direction: degrees clockwise, 0 away, 90 right."""
    angle = np.radians(np.asarray(downhill_deg, float))
    return np.sin(angle), np.cos(angle)


@dataclass(frozen=True, slots=True, eq=False)
class Spline:
    """A uniform cubic B-spline; evaluated here by SciPy, as the referee of ground/spline.py."""

    coeffs: Floats  #: (nodes in y + 2, nodes in x + 2) [m]
    x0_m: float  #: first node
    y0_m: float
    cell_m: float  #: distance of nodes

    @property
    def extent(self) -> Bounds:
        ny, nx = self.coeffs.shape
        return Bounds(
            self.x0_m, self.x0_m + (nx - 3) * self.cell_m, self.y0_m, self.y0_m + (ny - 3) * self.cell_m
        )

    def _evaluate(self, x: ArrayLike, y: ArrayLike, nu: tuple[int, int]) -> Floats:
        x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
        knots = tuple(
            start + self.cell_m * (np.arange(n + 4) - 3)
            for start, n in zip((self.y0_m, self.x0_m), self.coeffs.shape, strict=True)
        )
        places = np.stack([y, x], axis=-1)
        return np.asarray(NdBSpline(knots, self.coeffs, 3)(places, nu=nu))

    def height(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m]; beyond the extent the last cell goes on."""
        return self._evaluate(x, y, (0, 0))

    def gradient(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """(dh/dx, dh/dy) [-]."""
        return self._evaluate(x, y, (0, 1)), self._evaluate(x, y, (1, 0))

    def hessian(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """(hxx, hxy, hyy) [1/m]."""
        return self._evaluate(x, y, (0, 2)), self._evaluate(x, y, (1, 1)), self._evaluate(x, y, (2, 0))

    def spline(self, bounds: Bounds) -> Spline:
        """Itself, when it covers the bounds."""
        if not self.extent.holds(bounds):
            raise ParameterError(_beyond(self.extent, bounds))
        return self

    def draw(self, rng: np.random.Generator) -> Spline:
        """Itself: it is taken as known."""
        return self


def highest(spline: Spline, bounds: Bounds, samples: int = 81) -> float:
    """A height [m] that no point of the surface inside the bounds exceeds, close to the highest point.

    The highest of a mesh of samples, plus what a surface with this greatest bend can rise between them.
    """
    x, y = np.linspace(bounds.x_min, bounds.x_max, samples), np.linspace(bounds.y_min, bounds.y_max, samples)
    top = float(spline.height(x[None, :], y[:, None]).max())
    c = spline.coeffs
    bends = (np.diff(c, 2, axis=1), np.diff(np.diff(c, axis=0), axis=1), np.diff(c, 2, axis=0))
    greatest = sum(float(np.abs(bend).max()) for bend in bends) / spline.cell_m**2
    return top + 0.25 * greatest * float(max(x[1] - x[0], y[1] - y[0])) ** 2


def _beyond(extent: Bounds, bounds: Bounds) -> str:
    known, asked = (
        f"x {b.x_min:.2f} to {b.x_max:.2f}, y {b.y_min:.2f} to {b.y_max:.2f} m" for b in (extent, bounds)
    )
    return f"The surface is known for {known} but the map needs {asked}: give more heights or a smaller map."


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through a point (x, y, z) [m]: slope [percent] and the direction in which it falls [deg].

    `gradient_cov` is what is not known of its gradient (rise over run, squared), as rows.
    """

    point: tuple[float, float, float] = (0.0, 0.0, 0.0)
    slope_percent: float = 0.0
    downhill_deg: float = 0.0
    gradient_cov: tuple[tuple[float, float], tuple[float, float]] = NO_DOUBT

    def __post_init__(self) -> None:
        if not np.isfinite(
            [*self.point, self.slope_percent, self.downhill_deg, *sum(self.gradient_cov, ())]
        ).all():
            raise ParameterError(f"A plane needs finite numbers, got {self}.")
        if self.slope_percent < 0:
            raise ParameterError(
                f"A slope is 0 percent or more, got {self.slope_percent:g}: turn the direction instead."
            )

    @classmethod
    def of_gradient(
        cls,
        gradient: tuple[float, float],
        point: tuple[float, float, float] = (0.0, 0.0, 0.0),
        gradient_cov: tuple[tuple[float, float], tuple[float, float]] = NO_DOUBT,
    ) -> Plane:
        """The plane with this gradient (dh/dx, dh/dy) [-]."""
        gx, gy = gradient
        downhill_deg = float(np.degrees(np.arctan2(-gx, -gy)) % 360) if (gx or gy) else 0.0
        return cls(point, 100 * float(np.hypot(gx, gy)), downhill_deg, gradient_cov)

    @property
    def extent(self) -> None:
        return None

    @property
    def steepness(self) -> tuple[float, float]:
        """Gradient (dh/dx, dh/dy) [-]."""
        ux, uy = downhill_direction(self.downhill_deg)
        return float(-self.slope_percent / 100 * ux), float(-self.slope_percent / 100 * uy)

    def height(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m]."""
        gx, gy = self.steepness
        px, py, pz = self.point
        return np.asarray(pz + gx * (np.asarray(x, float) - px) + gy * (np.asarray(y, float) - py))

    def gradient(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """(dh/dx, dh/dy) [-], everywhere the same."""
        shape = np.broadcast_shapes(np.shape(x), np.shape(y))
        gx, gy = self.steepness
        return np.full(shape, gx), np.full(shape, gy)

    def hessian(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Zeros [1/m]."""
        zero = np.zeros(np.broadcast_shapes(np.shape(x), np.shape(y)))
        return zero, zero.copy(), zero.copy()

    def spline(self, bounds: Bounds) -> Spline:
        """Two nodes each way: a B-spline with coefficients on a plane is that plane."""
        cell = max(bounds.x_max - bounds.x_min, bounds.y_max - bounds.y_min)
        i = cell * (np.arange(4) - 1)
        return Spline(
            self.height(bounds.x_min + i[None, :], bounds.y_min + i[:, None]), bounds[0], bounds[2], cell
        )

    def draw(self, rng: np.random.Generator) -> Plane:
        """A plane through the same point with a gradient drawn from what the readings allow."""
        gradient = rng.multivariate_normal(self.steepness, np.array(self.gradient_cov), method="eigh")
        return Plane.of_gradient((float(gradient[0]), float(gradient[1])), self.point)

    def slope_sd_at(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Standard deviation of a gradient component [-]: root mean square of the two."""
        shape = np.broadcast_shapes(np.shape(x), np.shape(y))
        return np.full(shape, np.sqrt(np.trace(np.array(self.gradient_cov)) / 2))


class HeightGrid:
    """Heights at the nodes of a regular square grid: row j at y0 + j cells, column i at x0 + i cells.

    Between the nodes runs the natural cubic spline through all heights. ParameterError for fewer than 2 by 2
    nodes, for a height that is missing and for a cell that is not above 0.
    """

    __slots__ = ("_spline", "cell_m", "heights", "x0_m", "y0_m")

    def __init__(self, x0_m: float, y0_m: float, cell_m: float, heights: ArrayLike) -> None:
        grid = np.array(heights, dtype=float)
        if not (np.isfinite([x0_m, y0_m]).all() and np.isfinite(cell_m) and cell_m > 0):
            raise ParameterError(
                f"A height grid needs a corner and a cell above 0 m, got a cell of {cell_m:g}."
            )
        if grid.ndim == 2 and not np.isfinite(grid).all():
            row, column = np.argwhere(~np.isfinite(grid))[0] + 1
            raise ParameterError(
                f"The height in row {row}, column {column} of the grid is missing: every node needs a height."
            )
        self.x0_m, self.y0_m, self.cell_m, self.heights = float(x0_m), float(y0_m), float(cell_m), grid
        self._spline = Spline(spline_coefficients(grid), self.x0_m, self.y0_m, self.cell_m)
        grid.flags.writeable = False

    @property
    def extent(self) -> Bounds:
        return self._spline.extent

    def height(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m]."""
        return self._spline.height(x, y)

    def gradient(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """(dh/dx, dh/dy) [-]."""
        return self._spline.gradient(x, y)

    def hessian(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """(hxx, hxy, hyy) [1/m]."""
        return self._spline.hessian(x, y)

    def spline(self, bounds: Bounds) -> Spline:
        """The spline through all heights, when the grid covers the bounds."""
        return self._spline.spline(bounds)

    def draw(self, rng: np.random.Generator) -> HeightGrid:
        """Itself: it is taken as known."""
        return self


def height_grid_from_points(x_m: ArrayLike, y_m: ArrayLike, z_m: ArrayLike) -> HeightGrid:
    """A height grid from points (x, y, z) [m] in any order that lie on a regular square grid.

    ParameterError with a clear sentence when the spacing is not regular, or a node is missing or doubled.
    """
    x, y, z = (np.asarray(a, dtype=float).ravel() for a in (x_m, y_m, z_m))
    if not (len(x) == len(y) == len(z)) or not np.isfinite([x, y, z]).all():
        raise ParameterError("Each point of a height grid needs three numbers: x, y and height in metres.")
    i, nx, cell = _grid_index(x, "x")
    j, ny, cell_y = _grid_index(y, "y")
    if not np.isclose(cell, cell_y, rtol=1e-3):
        raise ParameterError(
            f"The grid steps {cell:g} m in x but {cell_y:g} m in y: give heights at equal steps both ways."
        )
    heights = np.full((ny, nx), np.nan)
    heights[j, i] = z
    if len(z) != nx * ny or np.isnan(heights).any():
        raise ParameterError(
            f"A grid of {nx} by {ny} nodes needs {nx * ny} heights, one a node; got {len(z)} points,"
            f" with {int(np.isnan(heights).sum())} nodes left empty."
        )
    return HeightGrid(float(x.min()), float(y.min()), cell, heights)


def _grid_index(values: Floats, axis: str) -> tuple[NDArray[np.int64], int, float]:
    """Index of each value on a regular grid, how many grid lines there are, and their distance [m]."""
    lines = np.unique(np.round(values, 6))
    if len(lines) < 2:
        raise ParameterError(f"A height grid needs at least two different values of {axis}.")
    steps = np.diff(lines)
    step = float((lines[-1] - lines[0]) / (len(lines) - 1))
    if np.abs(steps - step).max() > 0.01 * step + 2e-6:
        worst = int(np.abs(steps - step).argmax())
        raise ParameterError(
            f"The height grid is not regular in {axis}: a usual step is {np.median(steps):g} m, but from"
            f" {axis} = {lines[worst]:g} to {lines[worst + 1]:g} m it is {steps[worst]:g} m."
        )
    return np.rint((values - lines[0]) / step).astype(np.int64), len(lines), step
