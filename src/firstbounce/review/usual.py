"""What is usual for a player: spread, mishits and runs, from the balls of earlier days, or from the level."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.landing import LandingFit, landing_prior
from firstbounce.fitting.layout import FIRMNESS, STIMP
from firstbounce.fitting.result import Z90, Fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.players.mishits import LIE_SHARE_FACTOR
from firstbounce.players.player import Player
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.review.split import Split

Floats = NDArray[np.float64]
DAY_LN_RUN = 0.04  #: what a club's run changes by from day to day beyond speed and firmness [-], a choice


@dataclass(frozen=True, slots=True, eq=False)
class Usual:
    """What is usual for this player at the balls' carries and lies, and how well that is known."""

    sd: Floats  #: (n, 2) spread of clean landings along and across, without placing error [m]
    ln_sd: tuple[float, float]  #: how well each is known: sd of its logarithm
    share: Floats  #: (n,) of mishits
    strength: float  #: balls that this share is worth

    @classmethod
    def together(cls, parts: Sequence[Usual]) -> Usual:
        """Of several days, one after another; how well it is known is that of the first."""
        if len(parts) == 1:
            return parts[0]
        sd, share = (np.concatenate([getattr(one, name) for one in parts]) for name in ("sd", "share"))
        return cls(sd, parts[0].ln_sd, share, parts[0].strength)


def usual_of(fit: Fit, split: Split) -> Usual:
    """The usual spread and mishits by a fit that has not seen these balls."""
    lie = np.array([LIE_FACTOR[b.lie.kind] for b in split.balls], dtype=np.float64)
    worse = np.array([LIE_SHARE_FACTOR[b.lie.kind] for b in split.balls], dtype=np.float64)
    sd = usual_sd(fit, split.carry, lie)
    carry = float(np.mean(split.carry)) if len(split) else 5.0
    share = mishit_share(fit)
    return Usual(sd, ln_sd_of(fit, carry), np.clip(share * worse, 1e-3, 0.9), mishit_strength(fit))


def usual_sd(fit: Fit, carry: Floats, lie_factor: Floats) -> Floats:
    """Spread (n, 2) of clean landings along and across [m] at carries (n,) [m]."""
    return np.column_stack(
        [fit.landing.sd_along(carry, lie_factor), fit.landing.sd_across(carry, lie_factor)]
    )


def mishit_share(fit: Fit) -> float:
    """Usual share of mishits from a fairway lie."""
    return 1 / (1 + math.exp(-float(fit.landing.values[5])))


def mishit_strength(fit: Fit) -> float:
    """The number of balls that the usual share of mishits is worth."""
    share = mishit_share(fit)
    return 1 / max(float(fit.landing.covariance[5, 5]) * share * (1 - share), 1e-3)


def ln_sd_of(fit: Fit, carry: float) -> tuple[float, float]:
    """How well the spread along and across is known at a carry [m]: sd of its logarithm."""
    floor, grown = fit.landing.floor**2, (fit.landing.share * carry) ** 2
    slope = np.array([floor, grown]) / (floor + grown)
    covariance = fit.landing.covariance
    along = float(slope @ covariance[:2, :2] @ slope)
    return math.sqrt(max(along, 1e-6)), math.sqrt(max(float(covariance[2, 2]), 1e-6))


def known_player(earlier: Sequence[Fit], player: Player, today: GreenToday) -> Fit:
    """What is expected of this player today, from fits of earlier days; same shape as a fit.

    The player's own part (delivery, runs of the clubs, spreads, mishits) is carried over, the speed and the
    firmness of those days are not. Days are pooled as independent looks at the same player: the prior
    counts once, what each day added counts in full. Days whose balls disagreed are left out.
    """
    plain = prior_fit(player, today)
    fits = [fit for fit in earlier if fit.verdict == "fitted" and fit.layout == plain.layout]
    if not fits:
        return plain
    theta, covariance = _carried(fits, plain)
    ln_scatter = _pooled_number([fit.ln_scatter for fit in fits], plain.ln_scatter)
    mean, sd = ln_scatter
    return replace(
        plain,
        theta=theta,
        covariance=covariance,
        ln_scatter=ln_scatter,
        ln_scatter_90=(mean - Z90 * sd, mean + Z90 * sd),
        landing=_landing(fits, player, plain),
        verdict="fitted",
        n_by_club=_counted(fits),
    )


def _carried(fits: Sequence[Fit], plain: Fit) -> tuple[Floats, Floats]:
    """Mean and covariance of today's unknowns: the day's as read, the player's pooled."""
    own = [i for i in range(plain.layout.size) if i not in (FIRMNESS, STIMP)]
    block = np.ix_(own, own)
    looks = [(fit.theta[own], fit.covariance[block]) for fit in fits]
    mean, cov = pooled(looks, (plain.theta[own], plain.covariance[block]))
    theta, covariance = plain.theta.copy(), plain.covariance.copy()
    covariance[block] = cov
    theta[own] = mean
    runs = list(range(plain.layout.discrepancy.start, plain.layout.discrepancy.stop))
    covariance[runs, runs] += DAY_LN_RUN**2
    return theta, covariance


def pooled(looks: Sequence[tuple[Floats, Floats]], prior: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Mean and covariance from posteriors (mean, covariance) that share one prior; the prior counts once."""
    start = np.linalg.inv(prior[1])
    precision, pull = start.copy(), start @ prior[0]
    for mean, covariance in looks:
        inverse = np.linalg.inv(covariance)
        gained = _only_gains(inverse - start)
        precision += gained
        pull += gained @ mean + start @ (mean - prior[0])
    covariance = np.linalg.inv(precision)
    return covariance @ pull, 0.5 * (covariance + covariance.T)


def _only_gains(information: Floats) -> Floats:
    """Information with no direction below zero: a look cannot make one know less."""
    size, turn = np.linalg.eigh(0.5 * (information + information.T))
    return np.asarray((turn * np.maximum(size, 0.0)) @ turn.T)


def _landing(fits: Sequence[Fit], player: Player, plain: Fit) -> LandingFit:
    mean, sd = landing_prior(player, plain.assumed.share_strength)
    looks = [(fit.landing.values, fit.landing.covariance) for fit in fits]
    values, covariance = pooled(looks, (mean, np.diag(sd**2)))
    return LandingFit(values, covariance, np.zeros(0), sum(fit.landing.n_landed for fit in fits))


def _pooled_number(looks: Sequence[tuple[float, float]], prior: tuple[float, float]) -> tuple[float, float]:
    """As `pooled`, of one number: mean and sd."""
    arrays = [(np.array([mean]), np.array([[sd**2]])) for mean, sd in looks]
    mean, covariance = pooled(arrays, (np.array([prior[0]]), np.array([[prior[1] ** 2]])))
    return float(mean[0]), math.sqrt(float(covariance[0, 0]))


def _counted(fits: Sequence[Fit]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for fit in fits:
        for club, n in fit.n_by_club.items():
            counts[club] = counts.get(club, 0) + n
    return counts
