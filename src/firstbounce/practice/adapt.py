"""Difficulty that adapts: up-down rules with their exact target rates, and the threshold at the end.

k hits in a row make it harder, one miss easier: settles where p^k = 1/2 (Levitt, JASA 49 (1971) 467, read:
opening). Weighted up-down: every ball moves it, steps in the ratio p/(1-p) (Kaernbach, Percept. Psychophys.
49 (1991) 227, read: abstract). Steps multiply the size (a circle's radius), so that they suit every size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate, ParameterError

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """When to change the size, by how much, and within which bounds."""

    hits: int = 2  #: hits in a row that make it harder
    easier: float = 1.15  #: the size is multiplied by this after a miss
    harder: float = 1.15  #: and divided by this
    smallest: float = 0.3  #: [m]
    largest: float = 6.0

    def __post_init__(self) -> None:
        if not 1 <= self.hits <= 6:
            raise ParameterError(f"A rule needs 1 to 6 hits in a row, got {self.hits}.")
        if not (1 < self.easier <= 2 and 1 < self.harder <= 2):
            raise ParameterError(f"Steps must be above 1 up to 2, got {self.easier:g} and {self.harder:g}.")
        if not 0 < self.smallest < self.largest:
            raise ParameterError(
                f"Bounds need 0 < smallest < largest, got {self.smallest:g}, {self.largest:g}."
            )

    @property
    def target(self) -> float:
        """The success rate it settles at: that with no drift of the mean log size.

        Equal steps: p^k = 1/2. With k = 1 and other steps: p ln(harder) = (1 - p) ln(easier).
        """
        up, down = math.log(self.easier), math.log(self.harder)
        if self.hits == 1:
            return up / (up + down)
        return (up / (up + down)) ** (1 / self.hits)


def up_down(hits: int = 2, step: float = 1.15, smallest: float = 0.3, largest: float = 6.0) -> Rule:
    """k hits harder, one miss easier, in equal steps: targets 50.0, 70.7, 79.4, 84.1 % for k = 1 to 4."""
    return Rule(hits=hits, easier=step, harder=step, smallest=smallest, largest=largest)


def weighted(target: float, step: float = 1.15, smallest: float = 0.3, largest: float = 6.0) -> Rule:
    """Every ball moves it and the mean settles at the target rate; `step` is the larger of the two."""
    if not 0.2 <= target <= 0.9:
        raise ParameterError(f"A weighted rule aims at 20 to 90 % of hits, got {100 * target:g} %.")
    ratio = target / (1 - target)
    easier = step if ratio >= 1 else step**ratio
    harder = step ** (1 / ratio) if ratio >= 1 else step
    return Rule(hits=1, easier=easier, harder=harder, smallest=smallest, largest=largest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """One player's way through a drill: the size now, and every ball so far (size, hit)."""

    rule: Rule
    size: float
    streak: int = 0
    done: tuple[tuple[float, bool], ...] = ()

    def after(self, hit: bool) -> Ladder:
        """The ladder after one more ball."""
        rule = self.rule
        size, streak = self.size, 0
        if not hit:
            size = min(self.size * rule.easier, rule.largest)
        elif self.streak + 1 == rule.hits:
            size = max(self.size / rule.harder, rule.smallest)
        else:
            streak = self.streak + 1
        return replace(self, size=size, streak=streak, done=(*self.done, (self.size, hit)))

    def threshold(self, *, mishits: bool = False) -> Threshold:
        """The size at the rule's target rate, from all balls."""
        return threshold(self.done, self.rule.target, mishits=mishits)


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """The size hit at the target rate, with a 90 % interval."""

    size: float
    low: float
    high: float
    n: int


SHAPES = np.linspace(math.log(0.7), math.log(1.4), 7)  #: of the round law's exponent about 2
GRID = 161


LAPSES = ((0.0, 0.3), (0.05, 0.25), (0.1, 0.2), (0.2, 0.15), (0.3, 0.1))  #: share of mishits, and its weight


def threshold(done: Sequence[tuple[float, bool]], target: float, *, mishits: bool = False) -> Threshold:
    """The size at the target rate from sizes and hits, by the law of a round spread: p = 1 - exp(-r^c / s).

    All balls count, through a flat prior on the log size over four times the sizes played and an exponent
    about 2 (unequal spreads and bias make it a little other). With `mishits` an unknown share of the balls
    misses whatever the size (weights: choices). Fewer than 6 balls: CannotEstimate.
    """
    if len(done) < 6:
        raise CannotEstimate(f"Not enough balls yet: the size needs at least 6, there are {len(done)}.")
    sizes = np.log([size for size, _ in done])
    hits = np.array([hit for _, hit in done])
    grid = np.linspace(sizes.min() - math.log(2), sizes.max() + math.log(2), GRID)
    lapses = LAPSES if mishits else ((0.0, 1.0),)
    logs = np.array([_log_weight(sizes, hits, grid, target, *lapse) for lapse in lapses])
    weight = np.exp(logs - logs.max()).sum((0, 1))
    share = np.cumsum(weight) / weight.sum()
    low, middle, high = (float(np.exp(np.interp(p, share, grid))) for p in (0.05, 0.5, 0.95))
    return Threshold(size=middle, low=low, high=high, n=len(done))


def _log_weight(
    sizes: Floats, hits: NDArray[np.bool_], grid: Floats, target: float, lapse: float, weight: float
) -> Floats:
    """Log posterior (exponents, grid) for one share of mishits; at size exp(grid) the rate is the target."""
    of_clean = min(target / (1 - lapse), 0.98)
    power = 2 * np.exp(SHAPES)
    rate = -math.log1p(-of_clean) * np.exp(power[:, None, None] * (sizes - grid[:, None]))
    chance = (1 - lapse) * -np.expm1(-np.maximum(rate, 1e-12))
    log = np.where(hits, np.log(chance), np.log1p(-np.minimum(chance, 1 - 1e-12))).sum(2)
    return np.asarray(log - 0.5 * (SHAPES[:, None] / 0.2) ** 2 + math.log(weight))
