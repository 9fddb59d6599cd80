"""Mean and covariance of the unknowns beyond the normal approximation, by weighing draws.

The run bends strongly with firmness and loft, so the curvature at the most likely place is not the spread of
what is still possible. Draws from a widened approximation are all played, weighed by their posterior density
(importance sampling; W. Kish's effective number of draws, from memory) and their moments taken. Only unknowns
that the balls touch are drawn; the others follow from them by the prior, exactly.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv, ndtri

from firstbounce.fitting.assumptions import USUAL_CARRY_M, Assumptions
from firstbounce.fitting.forward import LOWEST_LOFT_DEG, World, deceleration, delivered_loft_deg
from firstbounce.fitting.layout import FIRMNESS, LEAN, STIMP, Belief
from firstbounce.fitting.likelihood import Finishes, Spreads, log_chances, spreads
from firstbounce.fitting.shots import Shots
from firstbounce.fitting.solve import Seen, Solution
from firstbounce.fitting.strokes import strike

Floats = NDArray[np.float64]

DRAWS = 512  #: of a round; the second half mirrors the first
ROUNDS = 4  #: at most; each draws from what the one before found
WIDER = 1.15  #: the draws' spread over that of the approximation
PROPOSAL_TAIL = 8.0  #: degrees of freedom of the draws
ENOUGH = 150.0  #: effective draws that are enough
FEWEST = 40.0  #: effective draws; with fewer the approximation is kept


class _Guess(NamedTuple):
    """Where draws are taken from: mean and a square root of the covariance, ln scatter last."""

    mean: Floats
    root: Floats


class _Weighed(NamedTuple):
    """What the draws say, under the names of `Solution`."""

    theta: Floats
    covariance: Floats
    ln_scatter: float
    ln_scatter_sd: float
    ln_scatter_90: tuple[float, float]


def weigh(
    world: World,
    shots: Shots,
    seen: Seen,
    log_odds: Floats,
    prior: Belief,
    assumed: Assumptions,
    found: Solution,
) -> Solution:
    """The solution with the moments of the posterior around it; unchanged when the draws miss it."""
    touched = _touched(found)
    guess = _first_guess(found, touched)
    answer: _Weighed | None = None
    best = 0.0
    for _ in range(ROUNDS):
        z, tail = _even_draws(len(guess.mean))
        at = guess.mean + z @ guess.root.T
        ln_q = -(0.5 * (tail + z.shape[1])) * np.log1p((z**2).sum(axis=1) / tail)
        ln_p = _log_posterior(world, shots, seen, log_odds, prior, assumed, found, touched, at)
        weight = _weights(ln_p - ln_q)
        effective = float(1 / (weight**2).sum())
        if effective < FEWEST:
            guess = _next_guess(at, _flatter(ln_p - ln_q))
            continue
        if effective < best:
            break
        answer, best = _answer(at, weight, touched, prior), effective
        if effective > ENOUGH:
            break
        guess = _next_guess(at, weight)
    return found if answer is None else replace(found, **answer._asdict())


def _flatter(ln_weight: Floats) -> Floats:
    """Weights to a lower power, so that FEWEST draws count: a step of the way to the posterior."""
    low, high = 0.0, 1.0
    for _ in range(20):
        power = 0.5 * (low + high)
        weight = _weights(power * ln_weight)
        low, high = (power, high) if 1 / (weight**2).sum() > FEWEST else (low, power)
    return _weights(low * ln_weight)


def _touched(found: Solution) -> NDArray[np.int64]:
    """Unknowns that the runs or hang times depend on."""
    slopes = np.abs(found.at.along) + np.abs(found.at.across) + np.abs(found.at.hang_slope)
    return np.flatnonzero(slopes.max(axis=0) > 0)


def _first_guess(found: Solution, touched: NDArray[np.int64]) -> _Guess:
    k = len(touched)
    cov = np.zeros((k + 1, k + 1))
    cov[:k, :k] = found.covariance[np.ix_(touched, touched)]
    cov[k, k] = max(found.ln_scatter_sd, 0.05) ** 2
    return _Guess(np.append(found.theta[touched], found.ln_scatter), _root(cov))


def _next_guess(at: Floats, weight: Floats) -> _Guess:
    mean = weight @ at
    return _Guess(mean, _root(_covariance(at - mean, weight)))


def _covariance(off: Floats, weight: Floats) -> Floats:
    return np.asarray((off.T * weight) @ off)


def _root(cov: Floats) -> Floats:
    firm = cov + 1e-9 * np.diag(np.diag(cov)) + 1e-12 * np.eye(len(cov))
    return np.asarray(WIDER * np.linalg.cholesky(firm), dtype=np.float64)


@lru_cache(maxsize=16)
def _even_draws(k: int) -> tuple[Floats, float]:
    """DRAWS points of Student's t in k dimensions, mirrored, always the same, and the degrees of freedom."""
    from scipy.stats import qmc

    half = qmc.Sobol(k + 1, scramble=True, seed=np.random.Generator(np.random.PCG64(k))).random(DRAWS // 2)
    normals = ndtri(np.clip(half[:, :k], 1e-9, 1 - 1e-9))
    chi = 2 * gammaincinv(PROPOSAL_TAIL / 2, np.clip(half[:, k], 1e-6, 1 - 1e-6))
    points = normals * np.sqrt(PROPOSAL_TAIL / chi)[:, None]
    return np.concatenate([points, -points]), PROPOSAL_TAIL


def _weights(ln_weight: Floats) -> Floats:
    weight = np.exp(np.where(np.isfinite(ln_weight), ln_weight, -np.inf) - np.nanmax(ln_weight))
    return np.asarray(weight / weight.sum())


def _answer(at: Floats, weight: Floats, touched: NDArray[np.int64], prior: Belief) -> _Weighed:
    k = len(touched)
    mean = weight @ at
    cov = _covariance(at - mean, weight)
    before = prior.covariance
    lift = np.linalg.solve(
        before[np.ix_(touched, touched)], before[touched]
    ).T  # all unknowns from the touched
    whole = before - lift @ before[touched] + lift @ cov[:k, :k] @ lift.T
    order = np.argsort(at[:, k])
    below = np.cumsum(weight[order]) - 0.5 * weight[order]
    low, high = (float(np.interp(share, below, at[order, k])) for share in (0.05, 0.95))
    return _Weighed(
        theta=prior.mean + lift @ (mean[:k] - prior.mean[touched]),
        covariance=0.5 * (whole + whole.T),
        ln_scatter=float(mean[k]),
        ln_scatter_sd=float(np.sqrt(cov[k, k])),
        ln_scatter_90=(low, high),
    )


def _log_posterior(
    world: World,
    shots: Shots,
    seen: Seen,
    log_odds: Floats,
    prior: Belief,
    assumed: Assumptions,
    found: Solution,
    touched: NDArray[np.int64],
    at: Floats,
) -> Floats:
    """ln posterior density (draws,) up to a constant."""
    k, use = len(touched), np.flatnonzero(found.at.reached)
    theta = np.tile(prior.mean, (len(at), 1))
    theta[:, touched] = at[:, :k]
    part, off = prior.covariance[np.ix_(touched, touched)], at[:, :k] - prior.mean[touched]
    belief = -0.5 * np.einsum("di,di->d", off, np.linalg.solve(part, off.T).T)
    belief -= 0.5 * ((at[:, k] - assumed.ln_scatter) / assumed.scatter_sd) ** 2
    shots, log_odds = shots.take(use), log_odds[use]
    finish, hang = _played(world, shots, theta)
    possible = np.isfinite(finish).all(axis=(1, 2))
    along, across, run = _misses(np.nan_to_num(finish), shots, seen, use, found)
    s = spreads(
        seen.finishes.take(use),
        run,
        shots.carry,
        (found.at.gain[0][use], found.at.gain[1][use]),
        at[:, k, None] + np.log(assumed.scatter_factor(world.layout.lofts_deg))[shots.club],
        assumed,
    )
    told = _mixed(seen.finishes.take(use), along, across, s, log_odds, assumed)
    told = told + _timed(seen.hang[use], hang, theta[:, world.layout.hang], assumed)
    return np.where(possible, belief + told, -np.inf)


def _played(world: World, shots: Shots, theta: Floats) -> tuple[Floats, Floats]:
    """Finishes (draws, n, 2) and hang times (draws, n) of every stroke in every draw."""
    d, n = len(theta), len(shots)
    lofts, runs = _deliveries(world, shots, theta)
    struck = strike(world, shots, np.tile(shots.spot, (d, 1)), np.radians(lofts).ravel())
    firm = world.today.firmness.value * np.exp(theta[:, FIRMNESS])
    green = deceleration(world.today.stimp_ft.value + theta[:, STIMP])
    finish = struck.play(
        world,
        np.arange(d * n),
        firmness=np.repeat(firm, n),
        green=np.repeat(green, n),
        run=runs.ravel(),
    )
    finish[~struck.reached] = np.nan
    return finish.reshape(d, n, 2), struck.hang.reshape(d, n)


def _deliveries(world: World, shots: Shots, theta: Floats) -> tuple[Floats, Floats]:
    """Delivered loft [deg] and discrepancy of ln run of every stroke in every draw, (draws, n) each."""
    layout, still = world.layout, np.zeros(theta.shape[1])
    lean = theta[:, [LEAN]] + theta[:, layout.club_lean][:, shots.club]
    way = np.log(np.maximum(shots.carry, 0.5) / USUAL_CARRY_M)
    rough = np.where(shots.group > 0, theta[:, layout.carry_slope + shots.group], 0.0)
    slope = layout.carry_slopes(theta)[:, shots.club]
    run = theta[:, layout.discrepancy][:, shots.club] + slope * way + rough
    return np.maximum(delivered_loft_deg(world, still, shots) - lean, LOWEST_LOFT_DEG), run


def _misses(
    finish: Floats, shots: Shots, seen: Seen, use: NDArray[np.int64], found: Solution
) -> tuple[Floats, Floats, Floats]:
    """Model less seen along and across the run, and the run, (draws, n) each [m]."""
    way = finish - shots.spot
    run = np.hypot(way[..., 0], way[..., 1])
    axis = np.where((run > 0.5)[..., None], way / np.maximum(run, 1e-9)[..., None], shots.line)
    point, shift = seen.point[use], seen.shift[use]
    known = np.isfinite(point[:, 0])
    off = np.where(known[:, None], finish - point, 0.0)
    along = (off * axis).sum(axis=2) + known * found.at.gain[0][use] * shift[:, 0]
    across = off[..., 0] * axis[..., 1] - off[..., 1] * axis[..., 0]
    return along, across + known * found.at.gain[1][use] * shift[:, 1], run


def _mixed(
    finishes: Finishes, along: Floats, across: Floats, s: Spreads, log_odds: Floats, assumed: Assumptions
) -> Floats:
    """ln likelihood (draws,) of all runs, each clean or a mishit."""
    d, n = along.shape
    many = finishes.take(np.tile(np.arange(n), d))
    wide = (s.along, s.across, s.mishit_along, s.mishit_across)
    flat = Spreads(*(np.broadcast_to(part, (d, n)).ravel() for part in wide))
    clean, mishit = log_chances(many, along.ravel(), across.ravel(), flat, assumed)
    odds = np.tile(log_odds, d)
    share = -np.logaddexp(0.0, odds)
    return np.asarray(np.logaddexp(share + clean, share + odds + mishit).reshape(d, n).sum(axis=1))


def _timed(timed: Floats, hang: Floats, ln_hang: Floats, assumed: Assumptions) -> Floats:
    """ln likelihood (draws,) of the hang times."""
    rows = np.isfinite(timed)
    if not rows.any():
        return np.zeros(len(ln_hang))
    played = np.maximum(hang[:, rows], 0.05)
    miss = np.log(timed[rows] / played) - ln_hang[:, None]
    return np.asarray(-0.5 * ((played / assumed.hang_reading_s * miss) ** 2).sum(axis=1))
