"""One batch of shots prices every landing spot of a club: the same balls, weighted anew for each spot.

Balls are played from a mixture over all plausible spots. A ball that landed at L counts for the spot S with
weight p(L | S) / q(L), where p is the player's own spread around S and q the mixture that the balls came
from (mixture weights: A. Owen and Y. Zhou, "Safe and effective importance sampling", J. Am. Stat. Assoc. 95
(2000) 135; from memory). Weights are normalised by their sum, so a cost that is the same everywhere is priced
without error, and no weight exceeds the number of spots. Spots form a grid of carries and azimuths and the
spread is independent in the two, so all prices are a few small matrix products.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.planning.landing import Floats, LandingErrors


@dataclass(frozen=True, slots=True)
class Grid:
    """Spots to price: every carry [m] with every azimuth [rad]."""

    carries: Floats
    azimuths: Floats

    @property
    def size(self) -> int:
        return len(self.carries) * len(self.azimuths)


@dataclass(frozen=True, slots=True)
class Sample:
    """Where the balls of a survey land: carry [m] and azimuth [rad], (n,), with their weights for each spot.

    `by_carry` (n, carries) and `by_azimuth` (n, azimuths) multiply to p(L | S) / q(L).
    """

    carry: Floats
    azimuth: Floats
    by_carry: Floats
    by_azimuth: Floats


@dataclass(frozen=True, slots=True)
class Priced:
    """Expected cost of each spot, its standard error, the balls it rests on; (carries, azimuths) each."""

    mean: Floats
    error: Floats
    balls: Floats


def sample_mixture(grid: Grid, errors: LandingErrors, normals: Floats) -> Sample:
    """Land n balls, meant for each spot of the grid in turn; `normals` (n, 2) are their errors.

    The carry is not cut off at the shortest one here, so that the weights stay exact.
    """
    n = len(normals)
    if n < grid.size:
        raise ParameterError(f"A survey of {grid.size} spots needs at least as many balls, got {n}.")
    spot = (np.arange(n) * grid.size) // n
    meant_carry = grid.carries[spot // len(grid.azimuths)]
    carry = meant_carry + errors.sd_long(meant_carry) * normals[:, 0]
    azimuth = grid.azimuths[spot % len(grid.azimuths)] + errors.direction * normals[:, 1]
    return weigh(grid, errors, carry, azimuth)


def weigh(grid: Grid, errors: LandingErrors, carry: Floats, azimuth: Floats) -> Sample:
    """Weights of balls that came from the even mixture over the grid."""
    by_carry = errors.carry_density(carry, grid.carries)
    by_azimuth = errors.azimuth_density(azimuth, grid.azimuths)
    mixture = by_carry.mean(axis=1) * by_azimuth.mean(axis=1)
    return Sample(carry, azimuth, by_carry / mixture[:, None], by_azimuth)


def price_spots(cost: Floats, sample: Sample) -> Priced:
    """Expected cost of every spot of the grid from the costs (n,) of the balls of a sample."""
    rows, columns = sample.by_carry, sample.by_azimuth
    total = _products(rows, columns)
    mean = _products(rows * cost[:, None], columns) / total
    rows, columns = rows * rows, columns * columns
    squares = _products(rows, columns)
    lever = _products(rows * cost[:, None], columns)
    spread = _products(rows * (cost * cost)[:, None], columns) - 2 * mean * lever + mean * mean * squares
    return Priced(mean, np.sqrt(np.maximum(spread, 0)) / total, total * total / squares)


def _products(rows: Floats, columns: Floats) -> Floats:
    """rows.T @ columns, (carries, azimuths), without the threads of a large matrix product.

    These products are small: waiting for threads beside the kernels' own costs more than they save.
    """
    made: Floats = np.einsum("nk,nl->kl", rows, columns, optimize=False)
    return made


def cheapest_spot(grid: Grid, mean: Floats, errors: LandingErrors, reach: float = 1.0) -> tuple[float, float]:
    """The lowest point of a bowl fitted around the cheapest spot of the grid: carry [m] and azimuth [rad].

    The bowl is a least-squares quadratic over the spots within `reach` spreads; where it has no lowest point
    inside that window and the grid the cheapest spot itself is returned: beyond the grid nothing was priced.
    """
    i, j = np.unravel_index(int(np.argmin(mean)), mean.shape)
    carry, azimuth = float(grid.carries[i]), float(grid.azimuths[j])
    sd = float(errors.sd_long(np.asarray(carry)))
    u, v = np.meshgrid(
        (grid.carries - carry) / sd, (grid.azimuths - azimuth) / errors.direction, indexing="ij"
    )
    near = (np.abs(u) <= reach) & (np.abs(v) <= reach)
    low = _lowest_of_bowl(u[near], v[near], mean[near])
    if low is None or np.abs(low).max() > reach:
        return carry, azimuth
    lowest = (carry + sd * float(low[0]), azimuth + errors.direction * float(low[1]))
    return lowest if _within(grid, *lowest) else (carry, azimuth)


def _within(grid: Grid, carry: float, azimuth: float) -> bool:
    inside = grid.carries[0] <= carry <= grid.carries[-1] and grid.azimuths[0] <= azimuth <= grid.azimuths[-1]
    return bool(inside)


def _lowest_of_bowl(u: Floats, v: Floats, mean: Floats) -> Floats | None:
    terms = np.column_stack([np.ones_like(u), u, v, u * u, u * v, v * v])
    if len(mean) < 8 or np.linalg.matrix_rank(terms) < 6:
        return None
    c = np.linalg.lstsq(terms, mean, rcond=None)[0]
    bend = np.array([[2 * c[3], c[4]], [c[4], 2 * c[5]]])
    if np.linalg.eigvalsh(bend)[0] <= 0:
        return None
    low: Floats = -np.linalg.solve(bend, c[1:3])
    return low
