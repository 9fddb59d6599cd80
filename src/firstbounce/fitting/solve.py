"""The most likely day and player, with a normal approximation around it (MAP and Laplace).

Newton's method on the unknowns of `layout`; the scatter scale is integrated over a grid beside it. Curvature
is that expected of the scatter, so it stays positive for every ball.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import Cancelled
from firstbounce.fitting.assumptions import Assumptions
from firstbounce.fitting.forward import Forward, World, forward
from firstbounce.fitting.layout import Belief
from firstbounce.fitting.likelihood import Finishes, Spreads, log_chances, pull, spreads
from firstbounce.fitting.shots import Shots

Floats = NDArray[np.float64]

MOST_STEPS = 15
SMALL_STEP = 0.02  #: in units of the prior sd: then the search ends
SMALL_GAIN = 0.01  #: of ln posterior density: then it ends too
LONGEST_STEP = 1.5  #: in the same units
SCATTER_GRID = np.linspace(-3.0, 3.0, 19)  #: of ln scatter, in units of its prior sd


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What was seen of n strokes, in the green's frame."""

    finishes: Finishes
    point: Floats  #: (n, 2) the finish of a placed ball, else the hole; nan when nothing was seen [m]
    shift: Floats  #: (n, 2) mean of the true landing less the spot, along and across [m]
    hang: Floats  #: (n,) nan when nobody timed it [s]


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """The answer of `solve`."""

    theta: Floats  #: (p,)
    covariance: Floats  #: (p, p)
    ln_scatter: float
    ln_scatter_sd: float
    ln_scatter_90: tuple[float, float]
    clean: Floats  #: (n,) probability that each run came from a clean strike
    evidence: Floats  #: (n,) ln of how much likelier each run is from a mishit
    along: Floats  #: (n,) seen less model along the run, 0 when nothing was placed [m]
    expected_sd: Floats  #: (n,) scale of that by scatter and placing alone [m]
    at: Forward


def solve(
    world: World,
    shots: Shots,
    seen: Seen,
    log_odds: Floats,
    prior: Belief,
    assumed: Assumptions,
    *,
    guess: Floats | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Solution:
    """Most likely unknowns given the prior; `log_odds` (n,) of a mishit before its run is seen."""
    theta = prior.mean.copy() if guess is None else guess.copy()
    precision = np.asarray(np.linalg.inv(prior.covariance), dtype=np.float64)
    unit = np.sqrt(np.diag(prior.covariance))

    def look(at: Floats) -> _State:
        return _look(world, at, shots, seen, log_odds, prior.mean, precision, assumed)

    state, damping = look(theta), 1.0
    for _ in range(MOST_STEPS):
        if cancelled is not None and cancelled():
            raise Cancelled("The fit was stopped.")
        step = np.linalg.solve(state.curvature + precision, state.slope - precision @ (theta - prior.mean))
        size = float(np.max(np.abs(step) / unit))
        if damping * size < SMALL_STEP:
            break
        there = theta + step * min(damping, LONGEST_STEP / size)
        tried = look(there)
        gained = tried.height - state.height
        if gained < 0:
            damping *= 0.4
            continue
        theta, state, damping = there, tried, min(1.0, 2 * damping)
        if gained < SMALL_GAIN:
            break
    covariance = np.linalg.inv(state.information + precision)
    return Solution(
        theta=theta,
        covariance=0.5 * (covariance + covariance.T),
        ln_scatter=state.scatter.mean,
        ln_scatter_sd=state.scatter.sd,
        ln_scatter_90=(state.scatter.low, state.scatter.high),
        clean=state.clean,
        evidence=state.evidence,
        along=state.miss,
        expected_sd=state.sd,
        at=state.at,
    )


class _Scatter(NamedTuple):
    """What is known of ln scatter: mean, sd and 90 % interval."""

    mean: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    height: float  #: ln posterior density, up to a constant
    slope: Floats
    curvature: Floats
    information: Floats  #: the same, allowing for what is not known of the scatter
    scatter: _Scatter
    clean: Floats
    evidence: Floats
    miss: Floats
    sd: Floats
    at: Forward


def misses(at: Forward, shots: Shots, seen: Seen) -> tuple[Floats, Floats]:
    """Model less seen, along and across the run (n,) [m]; 0 where nothing was seen."""
    right = np.stack([at.axis[:, 1], -at.axis[:, 0]], axis=1)
    way = np.where(np.isfinite(seen.point), at.finish - seen.point, 0.0)
    along = (way * at.axis).sum(axis=1) + at.gain[0] * seen.shift[:, 0]
    across = (way * right).sum(axis=1) + at.gain[1] * seen.shift[:, 1]
    known = np.isfinite(seen.point).all(axis=1)
    return np.where(known, along, 0.0), np.where(known, across, 0.0)


def _look(
    world: World,
    theta: Floats,
    shots: Shots,
    seen: Seen,
    log_odds: Floats,
    mean: Floats,
    precision: Floats,
    assumed: Assumptions,
) -> _State:
    """Everything the search needs to know at one place."""
    at = forward(world, theta, shots)
    along, across = misses(at, shots, seen)
    factor = np.log(assumed.scatter_factor(world.layout.lofts_deg))[shots.club]

    def spread(ln_scatter: Floats) -> Spreads:
        return spreads(seen.finishes, at.run, shots.carry, at.gain, ln_scatter + factor, assumed)

    use = at.reached
    ja, jc = at.along * use[:, None], at.across * use[:, None]
    grid = assumed.ln_scatter + assumed.scatter_sd * SCATTER_GRID
    wide = spread(grid[:, None])
    weight = _scatter_weight(wide, seen.finishes, along, across, log_odds, ja, jc, precision, assumed)
    found = _scatter(grid, weight)
    height = float(np.logaddexp.reduce(weight) - 0.5 * (theta - mean) @ precision @ (theta - mean))
    s = spread(np.array(found.mean))
    wide_s = spread(np.array(found.mean + found.sd**2))  # its square is the mean of the squared scatter
    known = pull(seen.finishes, along, across, wide_s, log_odds, assumed)
    information = (ja.T * known.curve_along) @ ja + (jc.T * known.curve_across) @ jc
    pulled = pull(seen.finishes, along, across, s, log_odds, assumed)
    clean, mishit = log_chances(seen.finishes, along, across, s, assumed)
    slope = ja.T @ pulled.along + jc.T @ pulled.across
    curvature = (ja.T * pulled.curve_along) @ ja + (jc.T * pulled.curve_across) @ jc
    hang = np.zeros_like(curvature)
    height += _add_hang(slope, hang, at, seen, float(theta[-1]), assumed)
    curvature, information = curvature + hang, information + hang
    return _State(
        height, slope, curvature, information, found, pulled.clean, mishit - clean, -along, s.along, at
    )


def _add_hang(
    slope: Floats, curvature: Floats, at: Forward, seen: Seen, ln_hang: float, assumed: Assumptions
) -> float:
    """Hang times: ln of the timed over the model's; returns their ln likelihood."""
    timed = np.isfinite(seen.hang) & at.reached
    if not timed.any():
        return 0.0
    j = at.hang_slope[timed]
    miss = np.log(seen.hang[timed] / at.hang[timed]) - ln_hang
    weight = (at.hang[timed] / assumed.hang_reading_s) ** 2
    slope += j.T @ (weight * miss)
    curvature += (j.T * weight) @ j
    return -0.5 * float(weight @ miss**2)


def _scatter_weight(
    s: Spreads,
    finishes: Finishes,
    along: Floats,
    across: Floats,
    log_odds: Floats,
    ja: Floats,
    jc: Floats,
    precision: Floats,
    assumed: Assumptions,
) -> Floats:
    """ln weight of each scale of scatter; the unknowns are integrated out where they stand (Laplace)."""
    clean, mishit = log_chances(finishes, along, across, s, assumed)
    clean_share = -np.logaddexp(0.0, log_odds)
    total = np.logaddexp(clean_share + clean, clean_share + log_odds + mishit).sum(axis=1)
    p = pull(finishes, along, across, s, log_odds, assumed)
    curvature = np.einsum("gn,ni,nj->gij", p.curve_along, ja, ja, optimize=True)
    curvature += np.einsum("gn,ni,nj->gij", p.curve_across, jc, jc, optimize=True)
    return np.asarray(total - 0.5 * np.linalg.slogdet(curvature + precision)[1] - 0.5 * SCATTER_GRID**2)


def _scatter(grid: Floats, ln_weight: Floats) -> _Scatter:
    """What the weights of a grid say of ln scatter."""
    weight = np.exp(ln_weight - ln_weight.max())
    weight /= weight.sum()
    mean = float(weight @ grid)
    below = np.cumsum(weight) - 0.5 * weight
    low, high = (float(np.interp(share, below, grid)) for share in (0.05, 0.95))
    return _Scatter(mean, float(np.sqrt(weight @ (grid - mean) ** 2)), low, high)
