"""The statistical questions that a review asks of a set, each with its own chance under "nothing is wrong".

A question is called only when its chance, corrected for all questions asked at once (Holm 1979, from
memory), is at most 5 %, and the effect is large enough to matter on the grass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, fdtrc, gammaln, ndtr, stdtr, stdtrit

Floats = NDArray[np.float64]

FALSE_ALARM = 0.05  #: of all questions of one review together
PERHAPS = 0.15  #: uncorrected chance up to which something is "likely" rather than a hunch


class Question(StrEnum):
    """What is asked."""

    PLAN = "plan"
    READING = "reading"
    DISTANCE_BIAS = "usually short or long"
    DIRECTION_BIAS = "usually left or right"
    DISTANCE_SPREAD = "distance scatter"
    DIRECTION_SPREAD = "direction scatter"
    CONTACT = "contact"


#: Smallest effect worth a word, in the unit of the question [m, -, m, m, -, -, -]; choices.
MATTERS: dict[Question, float] = {
    Question.PLAN: 0.5,
    Question.READING: 0.08,
    Question.DISTANCE_BIAS: 0.3,
    Question.DIRECTION_BIAS: 0.3,
    Question.DISTANCE_SPREAD: 0.25,
    Question.DIRECTION_SPREAD: 0.25,
    Question.CONTACT: 0.1,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One question's answer: the effect with its 90 % interval, and how likely so much is by luck alone.

    effect: metres for plan and bias; share of the run for reading; share above the usual for spread and
    contact.
    """

    question: Question
    effect: float
    low: float
    high: float
    chance: float  #: p-value
    n: int
    corrected: float = 1.0  #: the same among all questions of the review
    costs: float = 0.0  #: mean square that it adds to the finish [m2]
    where: str = ""  #: the station and club it is about; empty for the whole set

    @property
    def called(self) -> bool:
        """Whether it is said without reserve."""
        return self.corrected <= FALSE_ALARM and abs(self.effect) >= MATTERS[self.question]

    @property
    def certainty(self) -> str:
        """sure, likely or hunch."""
        if self.called:
            return "sure"
        return "likely" if self.chance <= PERHAPS and abs(self.effect) >= MATTERS[self.question] else "hunch"


def holm(chances: Sequence[float]) -> list[float]:
    """Chances corrected for asking several questions at once (Holm's step-down rule)."""
    order = np.argsort(chances)
    corrected, worst = np.empty(len(chances)), 0.0
    for place, i in enumerate(order):
        worst = max(worst, min(1.0, (len(chances) - place) * chances[i]))
        corrected[i] = worst
    return [float(c) for c in corrected]


def mean_chance(values: Floats) -> tuple[float, float, float, float]:
    """Mean, its 90 % interval, and Student's two-sided chance that the true mean is 0."""
    n = len(values)
    error = float(values.std(ddof=1)) / math.sqrt(n) if n > 1 else math.inf
    return shifted_mean(float(values.mean()), error, n - 1)


def shifted_mean(mean: float, error: float, freedom: float) -> tuple[float, float, float, float]:
    """As `mean_chance`, from a mean, its standard error and its degrees of freedom."""
    if not math.isfinite(error) or freedom <= 0:
        return mean, -math.inf, math.inf, 1.0
    error = max(error, 1e-12)
    half = float(stdtrit(freedom, 0.95)) * error
    return mean, mean - half, mean + half, float(2 * stdtr(freedom, -abs(mean) / error))


def spread_chance(square: float, freedom: float, usual_freedom: float) -> float:
    """Chance that a variance this many times the usual one comes by luck, the usual one known from as many
    balls as `usual_freedom` says (F distribution)."""
    return float(fdtrc(freedom, usual_freedom, square))


def freedom_of(ln_sd: float) -> float:
    """Degrees of freedom of a standard deviation known to `ln_sd` in its logarithm: 1 / (2 sd^2)."""
    return 1 / (2 * max(ln_sd, 1e-3) ** 2)


def mishit_tail(seen: int, n: int, share: float, strength: float) -> float:
    """Chance of this many mishits or more in n balls: beta-binomial about the usual share.

    strength: the number of balls that the usual share is worth.
    """
    a, b = strength * share, strength * (1 - share)
    k = np.arange(seen, n + 1)
    ways = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    return float(min(1.0, np.exp(ways + betaln(k + a, n - k + b) - betaln(a, b)).sum()))


def balls_needed(effect: float, error: float, n: int) -> int | None:
    """Balls after which an effect of this size would be called on average; None when beyond 200."""
    if not math.isfinite(error) or effect == 0:
        return None
    for many in range(max(n, 3), 201):
        if abs(effect) > stdtrit(many - 1, 1 - FALSE_ALARM / 6) * error * math.sqrt(n / many):
            return many
    return None


def two_sided(z: float) -> float:
    """Chance of a standard normal at least this far out."""
    return float(2 * ndtr(-abs(z)))
