"""The run that a fit expects: mean run of a club with intervals, and where single balls may finish."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from firstbounce.fitting.forward import World, forward
from firstbounce.fitting.likelihood import SHORTEST_RUN
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.ground.ground import Ground
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Lie, Point

Floats = NDArray[np.float64]

_Z = ndtri((np.arange(61) + 0.5) / 61)
_CHANCES = (np.arange(61) + 0.5) / 61


@dataclass(frozen=True, slots=True, eq=False)
class RunForecast:
    """Run of n strokes that land where they are meant to; arrays (n,) [m], intervals (n, 2)."""

    finish: Floats  #: (n, 2) most likely finish, hole covered
    run: Floats  #: mean run
    mean_50: Floats  #: interval of the mean run
    mean_90: Floats
    ball_50: Floats  #: interval of the run of one ball
    ball_90: Floats
    ln_sd: Floats  #: sd of ln mean run [-]
    hang_s: Floats


def forecast(
    fit: Fit, ground: Ground, shots: Shots, *, air: AirSpec | None = None, laws: Laws | None = None
) -> RunForecast:
    """Expected runs of strokes on this ground."""
    world = World(ground.compiled(), fit.today, fit.player, fit.layout, air or AirSpec(), laws or Laws())
    at = forward(world, fit.theta, shots)
    var = np.einsum("ij,jk,ik->i", at.along, fit.covariance, at.along)
    floor = np.maximum(at.run, SHORTEST_RUN * shots.carry)
    ln_sd = np.sqrt(np.maximum(var, 0.0)) / floor
    scatter = np.exp(fit.ln_scatter[0]) * fit.assumed.scatter_factor(fit.layout.lofts_deg)[shots.club]
    scatter = scatter * np.exp(0.5 * fit.ln_scatter[1] ** 2) * floor / np.maximum(at.run, 1e-9)
    quantiles = _ball_quantiles(ln_sd, scatter, fit.assumed.tail)
    return RunForecast(
        finish=at.finish,
        run=at.run,
        mean_50=_around(at.run, ln_sd, float(ndtri(0.75))),
        mean_90=_around(at.run, ln_sd, float(ndtri(0.95))),
        ball_50=at.run[:, None] * quantiles[:, 1:3],
        ball_90=at.run[:, None] * quantiles[:, (0, 3)],
        ln_sd=ln_sd,
        hang_s=at.hang * np.exp(fit.theta[fit.layout.hang]),
    )


def _around(run: Floats, ln_sd: Floats, z: float) -> Floats:
    return np.stack([run * np.exp(-z * ln_sd), run * np.exp(z * ln_sd)], axis=1)


def _ball_quantiles(ln_sd: Floats, scatter: Floats, tail: float) -> Floats:
    """Quantiles 5, 25, 75, 95 % (n, 4) of run over most likely run: normal in ln times Student's t."""
    t = stdtrit(tail, _CHANCES)
    rows = []
    for sd, s in zip(ln_sd, scatter, strict=True):
        ratio = np.exp(sd * _Z)[:, None] * np.maximum(1 + s * t, 0.0)
        rows.append(np.quantile(ratio, (0.05, 0.25, 0.75, 0.95)))
    return np.array(rows).reshape(-1, 4)


def mean_run(
    fit: Fit,
    clubs: str | Sequence[str],
    carry_m: ArrayLike,
    lie: Lie | None = None,
    *,
    air: AirSpec | None = None,
) -> RunForecast:
    """Mean run on a level green of today's speed and firmness, by club and carry [m], with intervals."""
    names = [clubs] if isinstance(clubs, str) else list(clubs)
    carries = np.broadcast_to(
        np.atleast_1d(np.asarray(carry_m, dtype=np.float64)), (max(len(names), np.size(carry_m)),)
    )
    names = names * (len(carries) // len(names)) if len(names) == 1 else names
    start = Point(0.0, 0.0)
    spots = [Point(0.0, float(carry)) for carry in carries]
    shots = shots_of(fit.player, names, [start] * len(spots), spots, [lie or Lie(wet=fit.wet)] * len(spots))
    return forecast(fit, _level_ground(), shots, air=air)


def _level_ground() -> Ground:
    return Ground.level((-20.0, 20.0, -10.0, 150.0))
