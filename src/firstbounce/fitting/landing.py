"""Where clean strikes land against where they were meant, and how many strikes are not clean.

Six numbers by maximum posterior with a normal approximation, the spreads moved from mode to mean: floor and
share of the spread of carry, spread of direction, bias of carry and of direction, share of mishits. A ball
that nobody tagged is a mixture of a clean strike and a mishit; it is never dropped, only shared between the
two (Dempster and others 1977).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.ranges import SECTORS, chance_beyond, chance_within, cloud
from firstbounce.players.player import Player
from firstbounce.words import TallyLanding

Floats = NDArray[np.float64]

NAMES = ("ln floor", "ln share", "ln direction", "carry bias", "direction bias", "logit mishits")
PRIOR_SD = np.array([0.40, 0.40, 0.35, 0.08, math.radians(3.0)])  #: of the first five; choices
SPREADS = 3  #: the first of NAMES: ln spreads, whose mode is not their mean
MISHIT_CARRY = (
    -0.15,
    0.40,
)  #: mean and sd of the carry of a mishit less the meant one, over the meant; choice
MISHIT_ACROSS = 0.15  #: sd across of the same; choice
#: Chance of each tally of a mishit; a choice that follows the effects of heavy and thin strikes.
MISHIT_TALLY = {"in": 0.08, "short": 0.47, "long": 0.25, "left": 0.10, "right": 0.10}
UNTAGGED, CLEAN, MISHIT = 0, 1, 2


@dataclass(frozen=True, slots=True, eq=False)
class Landings:
    """What is known of n landings, in the frame of each one's line from start to the meant spot."""

    carry: Floats  #: (n,) meant [m]
    along: Floats  #: (n,) landed less meant, long positive; nan when only tallied or not seen [m]
    across: Floats  #: (n,) right positive [m]
    placing: Floats  #: (n,) sd of each reading [m]
    lie_factor: Floats  #: (n,) spread over that from the fairway [-]
    tag: NDArray[np.int64]  #: (n,) UNTAGGED, CLEAN or MISHIT
    tally: tuple[TallyLanding | None, ...]  #: (n,) None for a placed ball
    radius: Floats  #: (n,) circle of a tally [m]
    share_factor: Floats  #: (n,) share of mishits from this lie over that from the fairway [-]

    def __len__(self) -> int:
        return len(self.carry)


@dataclass(frozen=True, slots=True, eq=False)
class LandingFit:
    """The six numbers (order of NAMES) with their covariance, and what each ball probably was."""

    values: Floats  #: (6,)
    covariance: Floats  #: (6, 6)
    log_odds: Floats  #: (n,) ln of the odds that a ball was a mishit, by its tag and its landing alone
    n_landed: int  #: balls whose landing said something

    @property
    def floor(self) -> float:
        return float(np.exp(self.values[0]))

    @property
    def share(self) -> float:
        return float(np.exp(self.values[1]))

    def sd_along(self, carry: Floats, lie_factor: Floats) -> Floats:
        """Spread of clean carries [m]."""
        return lie_factor * np.hypot(self.floor, self.share * carry)

    def sd_across(self, carry: Floats, lie_factor: Floats) -> Floats:
        """Spread of clean landings across the line [m]."""
        return lie_factor * carry * math.tan(float(np.exp(self.values[2])))

    def bias(self, carry: float) -> tuple[float, float]:
        """Mean landing less the meant spot, along and across [m], at this carry [m]."""
        return float(self.values[3] * carry), float(math.tan(self.values[4]) * carry)


def landing_prior(player: Player, strength: float) -> tuple[Floats, Floats]:
    """Mean (6,) and sd (6,) of the prior; `strength`: balls that the usual share of mishits is worth."""
    spread, share = player.spread, min(max(player.mishits.share, 0.005), 0.7)
    mean = [
        math.log(max(spread.floor_m, 0.05)),
        math.log(max(spread.share, 0.01)),
        math.log(math.radians(max(spread.direction_deg, 0.3))),
        0.0,
        0.0,
        math.log(share / (1 - share)),
    ]
    return np.array(mean), np.append(PRIOR_SD, 1 / math.sqrt(strength * share * (1 - share)))


def fit_landings(data: Landings, player: Player, strength: float, evidence: Floats) -> LandingFit:
    """The six numbers; `evidence` (n,) is ln of how much likelier each run is from a mishit."""
    from scipy.optimize import minimize

    mean, sd = landing_prior(player, strength)
    seen = _seen(data)

    def cost(u: Floats) -> float:
        x = mean + sd * u
        clean, mishit = _log_chances(data, x)
        odds = _log_odds(data, x, clean, mishit)
        return 0.5 * float(u @ u) - float(
            np.sum(_share_out(data, x, clean, mishit, evidence)[seen | np.isfinite(odds)])
        )

    best = minimize(cost, np.zeros(6), method="BFGS", options={"gtol": 1e-3, "maxiter": 60}).x
    hessian = _hessian(cost, best)
    values = mean + sd * (best + _to_mean(cost, best, hessian))
    clean, mishit = _log_chances(data, values)
    covariance = _wider_bias(_inverse(hessian) * np.outer(sd, sd), values, data)
    return LandingFit(values, covariance, _log_odds(data, values, clean, mishit), int(seen.sum()))


def _to_mean(cost: Callable[[Floats], float], mode: Floats, hessian: Floats, step: float = 0.2) -> Floats:
    """From the mode to the posterior mean of the three spreads, in prior sd; 0 for the others.

    The mode of a spread from few balls lies below its mean: minus half the covariance times the slope of
    ln det H (Lindley 1980, Approximate Bayesian methods, of the order of 1/n), at most one posterior sd.
    """
    covariance = _inverse(hessian)
    slope = np.zeros(len(mode))
    for i in range(SPREADS):
        ends = []
        for sign in (1, -1):
            at = mode.copy()
            at[i] += sign * step
            ends.append(float(np.log(np.maximum(np.linalg.eigvalsh(_hessian(cost, at)), 1.0)).sum()))
        slope[i] = (ends[0] - ends[1]) / (2 * step)
    sd = np.sqrt(np.diag(covariance))
    shift = np.clip(-0.5 * covariance @ slope, -sd, sd)
    shift[SPREADS:] = 0.0
    return np.asarray(shift)


def _wider_bias(covariance: Floats, values: Floats, data: Landings) -> Floats:
    """The covariance with the biases widened for what is not known of the spreads (mean squared spread)."""
    grown = (np.exp(values[1]) * float(np.mean(data.carry)) / np.exp(values[0])) ** 2
    weight = np.array([1.0, grown]) / (1.0 + grown)
    wider = np.ones(len(values))
    wider[3] = np.exp(float(weight @ covariance[:2, :2] @ weight))
    wider[4] = np.exp(covariance[2, 2])
    return covariance * np.outer(wider, wider)


def _seen(data: Landings) -> NDArray[np.bool_]:
    tallied = np.array([t is not None and t is not TallyLanding.NOT_SEEN for t in data.tally], dtype=bool)
    return np.isfinite(data.along) | tallied


def _log_chances(data: Landings, x: Floats) -> tuple[Floats, Floats]:
    """ln likelihood (n,) of each landing when clean and when a mishit; 0 for one not seen."""
    sd_along = data.lie_factor * np.hypot(np.exp(x[0]), np.exp(x[1]) * data.carry)
    sd_across = data.lie_factor * data.carry * np.tan(np.exp(x[2]))
    bias = (x[3] * data.carry, np.tan(x[4]) * data.carry)
    clean, mishit = np.zeros(len(data)), np.zeros(len(data))
    placed = np.isfinite(data.along)
    clean[placed] = _log_normals(data, bias, sd_along, sd_across)[placed]
    wide = (MISHIT_CARRY[1] * data.carry + 0.5, MISHIT_ACROSS * data.carry + 0.5)
    mishit[placed] = _log_normals(data, (MISHIT_CARRY[0] * data.carry, 0 * data.carry), *wide)[placed]
    for word, (sector, chance) in _TALLIES.items():
        rows = np.array([t is not None and t.value == word for t in data.tally], dtype=bool)
        if rows.any():
            c = cloud(bias[0][rows], bias[1][rows], sd_along[rows], sd_across[rows])
            ring = data.radius[rows]
            clean[rows] = np.log(chance_within(c, ring) if sector is None else chance_beyond(c, ring, sector))
            mishit[rows] = math.log(chance)
    return clean, mishit


_TALLIES = {word: (None if word == "in" else SECTORS[word], chance) for word, chance in MISHIT_TALLY.items()}


def _log_normals(
    data: Landings, centre: tuple[Floats, Floats], sd_along: Floats, sd_across: Floats
) -> Floats:
    a = np.hypot(sd_along, data.placing)
    c = np.hypot(sd_across, data.placing)
    z2 = ((data.along - centre[0]) / a) ** 2 + ((data.across - centre[1]) / c) ** 2
    return np.asarray(-0.5 * z2 - np.log(a * c) - math.log(2 * math.pi))


def _ln_shares(data: Landings, x: Floats) -> tuple[Floats, Floats]:
    share = np.clip(data.share_factor / (1 + np.exp(-x[5])), 1e-4, 0.9)
    return np.log1p(-share), np.log(share)


def _log_odds(data: Landings, x: Floats, clean: Floats, mishit: Floats) -> Floats:
    """ln odds of a mishit by tag and landing; a tag is believed (odds of 50 to 1 or more)."""
    ln_clean, ln_mishit = _ln_shares(data, x)
    odds = ln_mishit - ln_clean + mishit - clean
    odds = np.where(data.tag == CLEAN, np.minimum(odds - 4.0, -1.0), odds)
    return np.where(data.tag == MISHIT, 10.0, odds)


def _share_out(data: Landings, x: Floats, clean: Floats, mishit: Floats, evidence: Floats) -> Floats:
    """ln likelihood (n,) of each ball: the mixture when untagged, its own part when tagged."""
    ln_clean, ln_mishit = _ln_shares(data, x)
    as_clean, as_mishit = ln_clean + clean, ln_mishit + mishit + evidence
    mixed = np.logaddexp(as_clean, as_mishit)
    known_clean = np.logaddexp(as_clean, as_mishit - 4.0)
    return np.where(data.tag == CLEAN, known_clean, np.where(data.tag == MISHIT, ln_mishit + mishit, mixed))


def _hessian(cost: Callable[[Floats], float], at: Floats, step: float = 0.05) -> Floats:
    """Second differences of a cost; columns are in units of the prior sd, so one step suits all."""
    k = len(at)
    eye = step * np.eye(k)
    middle = cost(at)
    one = np.array([[cost(at + sign * eye[i]) for sign in (1, -1)] for i in range(k)])
    h = np.diag((one.sum(axis=1) - 2 * middle) / step**2)
    for i in range(k):
        for j in range(i):
            both = cost(at + eye[i] + eye[j]) + cost(at - eye[i] - eye[j])
            h[i, j] = h[j, i] = (both - one[i].sum() - one[j].sum() + 2 * middle) / (2 * step**2)
    return h


def _inverse(h: Floats) -> Floats:
    """Inverse with every eigenvalue kept at 1 or more: no direction is known worse than before the balls."""
    size, turn = np.linalg.eigh(h)
    return np.asarray((turn / np.maximum(size, 1.0)) @ turn.T)
