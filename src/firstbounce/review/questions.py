"""The statistical questions that a review asks of a set, each with its own chance under "nothing is wrong".

A question is called only when its chance, corrected for all questions asked at once, is at most 5 %, and
the effect is large enough to matter on the grass. The correction is the weighted step-down rule of Holm
(1979, from memory): a question may use up its share of the 5 %, and what is called leaves its share to the
rest. So in a set with nothing wrong anything at all is called in at most 5 of 100.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, fdtrc, gammaln, ndtr, ndtri, stdtr, stdtrit

Floats = NDArray[np.float64]

FEWEST = 3  #: balls from which anything is said
FEWEST_TO_ASK = 4  #: clean balls before a question is asked of them
FALSE_ALARM = 0.05  #: of all questions of one review together
SURE = 0.01  #: corrected chance up to which something is "sure"
FEWEST_FOR_SURE = 10  #: balls below which nothing is "sure" [choice]
BETWEEN_WORTH = 6.0  #: days that a usual sd between days is worth against those seen [choice]
PERHAPS = 0.15  #: uncorrected chance up to which a hint is said at all


class Question(StrEnum):
    """What is asked."""

    PLAN = "plan"
    PLAN_SIDE = "plan, left or right"
    READING = "reading"
    DISTANCE_BIAS = "usually short or long"
    DIRECTION_BIAS = "usually left or right"
    DISTANCE_SPREAD = "distance scatter"
    DIRECTION_SPREAD = "direction scatter"
    CONTACT = "contact"


#: Share of the 5 % that a question may use, before any other is called [choices]; they add up to 1.
WEIGHT: dict[Question, float] = {
    Question.PLAN: 0.28,
    Question.PLAN_SIDE: 0.03,
    Question.READING: 0.32,
    Question.DISTANCE_BIAS: 0.06,
    Question.DIRECTION_BIAS: 0.04,
    Question.DISTANCE_SPREAD: 0.13,
    Question.DIRECTION_SPREAD: 0.05,
    Question.CONTACT: 0.09,
}

#: Smallest effect worth a word, in the unit of the question [m, m, -, m, m, -, -, -]; choices.
MATTERS: dict[Question, float] = {
    Question.PLAN: 0.5,
    Question.PLAN_SIDE: 0.5,
    Question.READING: 0.08,
    Question.DISTANCE_BIAS: 0.3,
    Question.DIRECTION_BIAS: 0.3,
    Question.DISTANCE_SPREAD: 0.25,
    Question.DIRECTION_SPREAD: 0.25,
    Question.CONTACT: 0.1,
}
ONE_SIDED = (Question.DISTANCE_SPREAD, Question.DIRECTION_SPREAD, Question.CONTACT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One question's answer: the effect with its 90 % interval, and how likely so much is by luck alone.

    effect: metres for plan and bias; share of the run for reading; share above the usual for spread and
    contact. A tallied answer has a range only: an end that the tallies leave open is infinite.
    """

    question: Question
    effect: float
    low: float
    high: float
    chance: float  #: p-value
    n: int  #: placed balls behind it
    tallied: int = 0  #: tallied balls behind it
    corrected: float = 1.0  #: the same among all questions of the review
    costs: float = 0.0  #: mean square that it adds to the finish [m2]
    own: float = 0.0  #: of a plan: how far off it was by its own model [m]
    day: int = -1  #: the day it is about, among those of the review; -1 for all of them
    group: int = -1  #: the station, club and spot of that day it is about; -1 for all of them
    where: str = ""  #: the same in words

    @property
    def balls(self) -> int:
        """Balls behind it, placed and tallied."""
        return self.n + self.tallied

    @property
    def called(self) -> bool:
        """Whether it is a verdict."""
        return self.corrected <= FALSE_ALARM and abs(self.effect) >= MATTERS[self.question]

    @property
    def certainty(self) -> str:
        """Sure, likely (both called) or hunch."""
        if not self.called:
            return "hunch"
        return "sure" if self.corrected <= SURE and self.balls >= FEWEST_FOR_SURE else "likely"

    @property
    def hints(self) -> bool:
        """Whether it is worth trying something for it."""
        return self.chance <= PERHAPS and abs(self.effect) >= MATTERS[self.question]


def correct(questions: Sequence[Question], chances: Sequence[float]) -> list[float]:
    """Chances corrected for asking these questions at once; the same one asked twice shares its weight."""
    weights = [WEIGHT[question] / list(questions).count(question) for question in questions]
    return holm(chances, weights)


def holm(chances: Sequence[float], weights: Sequence[float] | None = None) -> list[float]:
    """Chances corrected for asking several questions at once (Holm's step-down rule, weighted)."""
    p = np.asarray(chances, dtype=np.float64)
    w = np.ones(len(p)) if weights is None else np.asarray(weights, dtype=np.float64)
    corrected, worst, left = np.empty(len(p)), 0.0, float(w.sum())
    for i in np.argsort(p / w):
        worst = max(worst, min(1.0, float(p[i] * left / w[i])))
        corrected[i] = worst
        left -= float(w[i])
    return [float(c) for c in corrected]


def shifted_mean(mean: float, error: float, freedom: float) -> tuple[float, float, float, float]:
    """Mean, 90 % interval and Student's two-sided chance that the true mean is 0, from a standard error."""
    if not math.isfinite(error) or freedom <= 0:
        return mean, -math.inf, math.inf, 1.0
    error = max(error, 1e-12)
    half = float(stdtrit(freedom, 0.95)) * error
    return mean, mean - half, mean + half, float(2 * stdtr(freedom, -abs(mean) / error))


@dataclass(frozen=True, slots=True)
class Mean:
    """A weighted mean, the variance of one ball about it, and the balls that the weights amount to."""

    value: float
    square: float
    n: float


def weighted(values: Floats, weights: Floats) -> Mean:
    """Mean of balls that count by their chance of being clean; all weights 1 give the plain ones."""
    total, squares = float(weights.sum()), float((weights**2).sum())
    middle = float(weights @ values / total)
    left = max(total - squares / total, 1e-9)
    return Mean(middle, float(weights @ (values - middle) ** 2 / left), total**2 / squares)


def moderated(mean: Mean, usual_square: float, usual_freedom: float) -> tuple[float, float]:
    """Variance of one ball with what is usual weighed in, and its freedom (Smyth 2004, from memory).

    usual_freedom: the number of balls that the usual variance is worth.
    """
    freedom = usual_freedom + mean.n - 1
    return (usual_freedom * usual_square + (mean.n - 1) * mean.square) / freedom, freedom


def shifted(mean: Mean) -> tuple[float, float, float, float]:
    """Mean, interval and chance (`shifted_mean`) of a weighted mean by its own spread."""
    return shifted_mean(mean.value, math.sqrt(mean.square / mean.n), mean.n - 1)


def shifted_days(means: Sequence[Mean], usual: float) -> tuple[float, float, float, float]:
    """As `shifted`, of several days that may differ by more than the balls say.

    usual: the usual sd between days, weighed in as BETWEEN_WORTH days against what is seen of it (DerSimonian
    and Laird 1986, from memory); freedom after Welch (1947) and Satterthwaite (1946), from memory.
    """
    value, n = np.array([m.value for m in means]), np.array([m.n for m in means])
    inner, days = float((n - 1).sum()), len(means) - 1
    square = float((n - 1) @ np.array([m.square for m in means])) / max(inner, 1e-9)
    v = np.maximum(square / n, 1e-12)
    w = 1 / v
    seen = float(w @ (value - w @ value / w.sum()) ** 2) - days
    between = max(seen / float(w.sum() - w @ w / w.sum()), 0.0)
    between = (BETWEEN_WORTH * usual**2 + days * between) / (BETWEEN_WORTH + days)
    w = 1 / (v + between)
    total = float(w.sum())
    parts = float(w**2 @ v) / total**2, float(w @ w) * between / total**2
    freedom = sum(parts) ** 2 / (parts[0] ** 2 / max(inner, 1e-9) + parts[1] ** 2 / (BETWEEN_WORTH + days))
    return shifted_mean(float(w @ value) / total, math.sqrt(sum(parts)), freedom)


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


def together(question: Question, parts: Sequence[tuple[float, float, int]]) -> float:
    """One chance from several sets of balls: (chance, sign of the effect, balls) each.

    Stouffer's sum of normal scores weighted by the root of the balls (from memory); sets that point
    different ways take from each other.
    """
    score = weight = 0.0
    for chance, sign, n in parts:
        half = chance if question in ONE_SIDED else chance / 2
        side = 1.0 if question in ONE_SIDED else math.copysign(1.0, sign)
        score += math.sqrt(n) * side * float(-ndtri(min(max(half, 1e-300), 1 - 1e-12)))
        weight += n
    z = score / math.sqrt(max(weight, 1e-9))
    return float(ndtr(-z)) if question in ONE_SIDED else float(2 * ndtr(-abs(z)))


def balls_needed(effect: float, error: float, n: int, share: float = 1 / 6) -> int | None:
    """Balls after which an effect of this size would be called on average; None when beyond 200.

    share: of the false alarms that its question may use.
    """
    if not math.isfinite(error) or not math.isfinite(effect) or effect == 0:
        return None
    for many in range(max(n, 3), 201):
        if abs(effect) > stdtrit(many - 1, 1 - FALSE_ALARM * share / 2) * error * math.sqrt(n / many):
            return many
    return None
