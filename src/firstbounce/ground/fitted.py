"""A smooth surface fitted to slope readings (and heights) at places, with its uncertainty.

The heights are a cubic B-spline with coefficients c. Readings are linear in c: gradients and heights at
places, with their errors. The prior says how much greens bend and slope: the roughness

    c' P c = integral of (hxx^2 + 2 hxy^2 + hyy^2) over the map        (thin plate)

times a strength, and a slope amid the readings of 0 with a standard deviation. All is Gaussian, so the
posterior is too: its mean and its draws come from one Cholesky factor of its precision. A plane costs no
roughness, so one slope reading gives a plane, less certain the further from the reading.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import BSpline
from scipy.linalg import cho_solve, cholesky, solve_triangular

from firstbounce.errors import ParameterError
from firstbounce.ground.slopes import HeightReading, SlopeReading
from firstbounce.ground.surface import Bounds, Floats, Spline
from firstbounce.words import Point

MOST_COEFFICIENTS = 1400  #: the cell grows on large maps to stay below
CHUNK = 2000  #: places looked at in one piece


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfacePrior:
    """What is usual of a green's shape before any reading. Choices, see docs/ground.md."""

    bend_percent: float = 1.0  #: sd of the change of slope (each component) over `bend_over_m`, mid map
    bend_over_m: float = 5.0
    slope_percent: float = 3.0  #: sd of the slope amid the readings (each component)

    def __post_init__(self) -> None:
        if not min(self.bend_percent, self.bend_over_m, self.slope_percent) > 0:
            raise ParameterError(f"The usual bend and slope of a green must be above 0, got {self}.")


@dataclass(frozen=True, slots=True)
class _Mesh:
    """Nodes of the spline: how many coefficients each way, from where, how far apart."""

    nx: int
    ny: int
    x0: float
    y0: float
    cell: float

    def basis_x(self, x: Floats, order: int) -> Floats:
        return _basis(x, self.x0, self.cell, self.nx, order)

    def basis_y(self, y: Floats, order: int) -> Floats:
        return _basis(y, self.y0, self.cell, self.ny, order)

    def rows(self, x: Floats, y: Floats, order: tuple[int, int]) -> Floats:
        """Rows that turn coefficients into a derivative (order in x, in y) of the height at places."""
        by, bx = self.basis_y(y, order[1]), self.basis_x(x, order[0])
        return (by[:, :, None] * bx[:, None, :]).reshape(len(x), -1)


def _basis(at: Floats, start: float, cell: float, n: int, order: int) -> Floats:
    """Values of the order-th derivative of n uniform cubic B-splines, shape (places, n)."""
    knots = start + cell * (np.arange(n + 4) - 3)
    return np.asarray(BSpline(knots, np.eye(n), 3)(at, nu=order))


def _mesh(bounds: Bounds, cell_m: float | None) -> _Mesh:
    width, depth = bounds.x_max - bounds.x_min, bounds.y_max - bounds.y_min
    cell = cell_m or 2.0
    while (width / cell + 4) * (depth / cell + 4) > MOST_COEFFICIENTS:
        cell *= 1.05
    nx, ny = (max(1, int(np.ceil(side / cell - 1e-9))) + 3 for side in (width, depth))
    return _Mesh(nx, ny, bounds.x_min, bounds.y_min, cell)


def _gram(n: int, cell: float, order: int) -> Floats:
    """Integrals of products of the order-th derivatives of n B-splines over their common cells."""
    nodes, weights = np.polynomial.legendre.leggauss(4)
    at = (np.arange(n - 3)[:, None] + (nodes + 1) / 2).ravel() * cell
    basis = _basis(at, 0.0, cell, n, order)
    return (basis * np.tile(weights * cell / 2, n - 3)[:, None]).T @ basis


def _roughness(mesh: _Mesh) -> Floats:
    """The matrix P of the thin-plate roughness."""
    gx = [_gram(mesh.nx, mesh.cell, order) for order in range(3)]
    gy = [_gram(mesh.ny, mesh.cell, order) for order in range(3)]
    return np.asarray(np.kron(gy[0], gx[2]) + 2 * np.kron(gy[1], gx[1]) + np.kron(gy[2], gx[0]))


def _middle(bounds: Bounds) -> tuple[Floats, Floats]:
    return np.array([(bounds.x_min + bounds.x_max) / 2]), np.array([(bounds.y_min + bounds.y_max) / 2])


def _pins(mesh: _Mesh, bounds: Bounds, readings: Sequence[SlopeReading]) -> Floats:
    """Rows for what roughness leaves free: height of the map's middle, slope amid the readings."""
    x, y = _middle(bounds)
    height = mesh.rows(x, y, (0, 0))
    if readings:
        x, y = (np.array([axis]) for axis in np.mean([reading.place for reading in readings], axis=0))
    return np.vstack([height, mesh.rows(x, y, (1, 0)), mesh.rows(x, y, (0, 1))])


def _strength(mesh: _Mesh, rough: Floats, pins: Floats, bounds: Bounds, prior: SurfacePrior) -> float:
    """Factor on the roughness that gives the stated bend: slopes `bend_over_m` apart, in the middle."""
    mid_x, mid_y = _middle(bounds)
    half = min(prior.bend_over_m, bounds.x_max - bounds.x_min, bounds.y_max - bounds.y_min) / 2
    x, y = mid_x + half * np.array([-1, 1, 0, 0]), mid_y + half * np.array([0, 0, -1, 1])
    slopes = [mesh.rows(x, y, order) for order in ((1, 0), (0, 1))]
    changes = np.vstack([rows[[1, 3]] - rows[[0, 2]] for rows in slopes])
    factor = cholesky(rough + pins.T @ pins, lower=True)
    variance = (solve_triangular(factor, changes.T, lower=True) ** 2).sum(axis=0).mean()
    share = half * 2 / prior.bend_over_m
    return float(variance / (share * prior.bend_percent / 100) ** 2)


class FittedSurface:
    """The surface that fits readings best (`mean`), and how well it is known."""

    __slots__ = ("_factor", "_mesh", "mean", "n_readings")

    def __init__(self, mean: Spline, mesh: _Mesh, factor: Floats, n_readings: int) -> None:
        self.mean = mean
        self.n_readings = n_readings
        self._mesh = mesh
        self._factor = factor

    @property
    def extent(self) -> Bounds:
        return self.mean.extent

    def height(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m] of the best surface."""
        return self.mean.height(x, y)

    def gradient(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """(dh/dx, dh/dy) [-] of the best surface."""
        return self.mean.gradient(x, y)

    def hessian(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """(hxx, hxy, hyy) [1/m] of the best surface."""
        return self.mean.hessian(x, y)

    def spline(self, bounds: Bounds) -> Spline:
        """The best surface, when it covers the bounds."""
        return self.mean.spline(bounds)

    def draw(self, rng: np.random.Generator) -> Spline:
        """One surface that the readings allow: the same nodes, other coefficients."""
        z = rng.standard_normal(len(self._factor))
        step = solve_triangular(self._factor, z, lower=True, trans="T").reshape(self.mean.coeffs.shape)
        return Spline(self.mean.coeffs + step, self.mean.x0_m, self.mean.y0_m, self.mean.cell_m)

    def _covariance(self, x: ArrayLike, y: ArrayLike, orders: Sequence[tuple[int, int]]) -> Floats:
        """Covariance of derivatives at each place, shape (places, orders, orders)."""
        at = [np.ravel(a).astype(float) for a in np.broadcast_arrays(x, y)]
        pieces = []
        for start in range(0, len(at[0]), CHUNK):
            px, py = (a[start : start + CHUNK] for a in at)
            halves = [
                solve_triangular(self._factor, self._mesh.rows(px, py, order).T, lower=True)
                for order in orders
            ]
            pieces.append(np.einsum("ikp,jkp->pij", halves, halves))
        return np.concatenate(pieces) if pieces else np.zeros((0, len(orders), len(orders)))

    def height_sd(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Standard deviation of the height [m] at (x, y) [m], relative to the middle of the map."""
        shape = np.broadcast_shapes(np.shape(x), np.shape(y))
        return np.sqrt(self._covariance(x, y, [(0, 0)])[:, 0, 0]).reshape(shape)

    def gradient_cov(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Covariance of the gradient at (x, y), shape (..., 2, 2) [-]."""
        shape = np.broadcast_shapes(np.shape(x), np.shape(y))
        return self._covariance(x, y, [(1, 0), (0, 1)]).reshape(*shape, 2, 2)

    def slope_sd_at(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Standard deviation of a gradient component [-]: root mean square of the two."""
        return np.asarray(np.sqrt(np.trace(self.gradient_cov(x, y), axis1=-2, axis2=-1) / 2))


def surface_from_readings(
    readings: Sequence[SlopeReading],
    bounds: Bounds,
    *,
    heights: Sequence[HeightReading] = (),
    prior: SurfacePrior | None = None,
    cell_m: float | None = None,
) -> FittedSurface:
    """The smooth surface over `bounds` that fits slope readings and heights best, with its uncertainty.

    Without height readings the middle of the map is the datum (height 0). Without any reading it is level
    with the prior's uncertainty. ParameterError when a reading lies beyond the bounds.
    """
    bounds, prior = Bounds(*bounds), prior or SurfacePrior()
    for place in [reading.place for reading in readings] + [reading.place for reading in heights]:
        _check_place(place, bounds)
    mesh = _mesh(bounds, cell_m)
    rough, pins = _roughness(mesh), _pins(mesh, bounds, readings)
    datum_sd = 10.0 if heights else 1e-4
    pinned = pins / np.array([datum_sd, prior.slope_percent / 100, prior.slope_percent / 100])[:, None]
    precision = _strength(mesh, rough, pins, bounds, prior) * rough + pinned.T @ pinned
    pull = np.zeros(mesh.nx * mesh.ny)
    for rows, values in _whitened(mesh, readings, heights):
        precision += rows.T @ rows
        pull += rows.T @ values
    factor = cholesky(precision, lower=True)
    coeffs = cho_solve((factor, True), pull).reshape(mesh.ny, mesh.nx)
    mean = Spline(coeffs, mesh.x0, mesh.y0, mesh.cell)
    return FittedSurface(mean, mesh, factor, len(readings) + len(heights))


def _check_place(place: Point, bounds: Bounds) -> None:
    x, y = place
    if not bounds.holds(Bounds(x, x, y, y)):
        raise ParameterError(
            f"The reading at x {x:g}, y {y:g} m lies beyond the map (x {bounds.x_min:g} to {bounds.x_max:g},"
            f" y {bounds.y_min:g} to {bounds.y_max:g} m)."
        )


def _whitened(
    mesh: _Mesh, readings: Sequence[SlopeReading], heights: Sequence[HeightReading]
) -> list[tuple[Floats, NDArray[np.float64]]]:
    """Rows and values of each kind of reading, scaled so that every error has sd 1."""
    pieces = []
    if readings:
        x, y = np.array([reading.place for reading in readings], float).T
        both = np.stack([mesh.rows(x, y, (1, 0)), mesh.rows(x, y, (0, 1))], axis=1)
        roots = np.array([np.linalg.inv(np.linalg.cholesky(reading.gradient_cov)) for reading in readings])
        rows = np.einsum("nij,njk->nik", roots, both).reshape(2 * len(readings), -1)
        values = np.einsum("nij,nj->ni", roots, np.array([reading.gradient for reading in readings]))
        pieces.append((rows, values.ravel()))
    if heights:
        x, y = np.array([reading.place for reading in heights], float).T
        sd = np.array([reading.sd_m for reading in heights])
        values = np.array([reading.height_m for reading in heights])
        pieces.append((mesh.rows(x, y, (0, 0)) / sd[:, None], values / sd))
    return pieces
