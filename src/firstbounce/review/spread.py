"""Scores of a set of misses in one and two dimensions, with intervals, and ellipses for few balls.

Two-dimensional scores: Hancock, Butler and Fischman, J. Motor Behavior 27 (1995) 241 (from memory).
Intervals of means are Student's, of standard deviations chi-squared (exact for normal misses), of mean
misses and shares by bootstrap over balls.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtr, chdtri, fdtri, stdtrit

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.players.scores import constant_error, total_error, variable_error

Floats = NDArray[np.float64]
LEVEL = 0.90  #: of every interval that is shown
REDRAWS = 1000  #: of the bootstrap
MANY = 500  #: balls beyond which the bootstrap is not needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A number with its 90 % interval and the balls behind it."""

    value: float
    low: float
    high: float
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scores:
    """Published scores of n misses about their targets [m]."""

    n: int
    constant_along: Value  #: mean, long positive
    constant_across: Value  #: mean, right positive
    variable_along: Value  #: sd about the own mean, divisor n - 1, placing error taken out
    variable_across: Value
    absolute_along: float  #: mean of the size
    absolute_across: float
    total_along: float  #: root mean square
    total_across: float
    mean_radial: Value
    centroid_radial: float  #: distance of the centre from the target
    bivariate_variable: float  #: root mean square distance from the own centre, divisor n


def mean_value(misses: ArrayLike) -> Value:
    """Mean with Student's 90 % interval; infinitely wide for one ball."""
    x = _checked(misses)
    if len(x) == 1:
        return Value(value=float(x[0]), low=-math.inf, high=math.inf, n=1)
    half = stdtrit(len(x) - 1, 0.5 + LEVEL / 2) * x.std(ddof=1) / math.sqrt(len(x))
    return Value(value=float(x.mean()), low=float(x.mean() - half), high=float(x.mean() + half), n=len(x))


def sd_value(misses: ArrayLike, placing_m: float = 0.0) -> Value:
    """Standard deviation with its 90 % interval, the placing error [m] taken out of all three."""
    x = _checked(misses)
    n = len(x)
    if n == 1:
        return Value(value=math.nan, low=0.0, high=math.inf, n=1)
    square = float(x.var(ddof=1))
    ends = [square * (n - 1) / chdtri(n - 1, p) for p in (0.5 - LEVEL / 2, 0.5 + LEVEL / 2)]
    low, value, high = (math.sqrt(max(s - placing_m**2, 0.0)) for s in (ends[0], square, ends[1]))
    return Value(value=value, low=low, high=high, n=n)


def scores(misses: ArrayLike, rng: np.random.Generator, placing_m: float = 0.0) -> Scores:
    """All scores of misses (n, 2) along and across [m]; `rng` draws the bootstrap."""
    xy = np.asarray(misses, dtype=np.float64)
    if xy.ndim != 2 or xy.shape[1] != 2:
        raise ParameterError(f"Misses need shape (n, 2), got {xy.shape}.")
    along, across = _checked(xy[:, 0]), _checked(xy[:, 1])
    return Scores(
        n=len(xy),
        constant_along=mean_value(along),
        constant_across=mean_value(across),
        variable_along=sd_value(along, placing_m),
        variable_across=sd_value(across, placing_m),
        absolute_along=float(np.abs(along).mean()),
        absolute_across=float(np.abs(across).mean()),
        total_along=total_error(along, 0.0),
        total_across=total_error(across, 0.0),
        mean_radial=bootstrap_mean(np.hypot(along, across), rng),
        centroid_radial=centroid_radial_error(xy),
        bivariate_variable=bivariate_variable_error(xy),
    )


def mean_radial_error(misses: Floats) -> float:
    """MRE: mean distance from the target [m]: accuracy."""
    return float(np.hypot(*np.asarray(misses, dtype=np.float64).T).mean())


def centroid_radial_error(misses: Floats) -> float:
    """SRE: distance of the centre of the balls from the target [m]: bias."""
    x, y = np.asarray(misses, dtype=np.float64).T
    return math.hypot(constant_error(x, 0.0), constant_error(y, 0.0))


def bivariate_variable_error(misses: Floats) -> float:
    """BVE: root mean square distance from the own centre [m]: consistency. SRE^2 + BVE^2 = mean square."""
    x, y = np.asarray(misses, dtype=np.float64).T
    return math.hypot(variable_error(x, 0.0), variable_error(y, 0.0))


def bootstrap_mean(values: ArrayLike, rng: np.random.Generator) -> Value:
    """Mean with the 90 % percentile interval of a bootstrap over balls."""
    return bootstrap_means(_checked(values)[:, None], rng)[0]


def bootstrap_means(table: Floats, rng: np.random.Generator) -> list[Value]:
    """Mean of each column of (n, k) with its 90 % interval, balls redrawn together.

    Beyond MANY balls the normal interval, which the bootstrap then agrees with.
    """
    n, mean = len(table), table.mean(axis=0)
    if n > MANY:
        half = 1.6449 * table.std(axis=0, ddof=1) / math.sqrt(n)
        low, high = mean - half, mean + half
    else:
        weights = rng.multinomial(n, np.full(n, 1 / n), size=REDRAWS)
        low, high = np.quantile(weights @ table / n, (0.5 - LEVEL / 2, 0.5 + LEVEL / 2), axis=0)
    rows = zip(mean, low, high, strict=True)
    return [Value(value=float(m), low=float(a), high=float(b), n=n) for m, a, b in rows]


def may_be_mishits(share: Floats) -> int:
    """How many of n untagged balls, of which these shares (n,) are usually mishits, may be unnoticed ones."""
    expected = float(np.sum(share))
    return 0 if not len(share) else math.ceil(expected + math.sqrt(expected))


def trimmed_square(z: ArrayLike, dropped: int) -> tuple[float, float]:
    """Variance of values over the usual one without the `dropped` furthest from the middle, and its freedom.

    Scaled so that clean normal balls give 1. Mishits that nobody tagged would otherwise pass for a wide
    spread. Scale and freedom are those of a trimmed mean of squares (mean and winsorised variance of the
    chi-squared law, large-sample forms; tests hold them to simulation).
    """
    x = np.asarray(z, dtype=np.float64)
    n = len(x)
    dropped = min(dropped, (n - 2) // 2)
    if dropped <= 0:
        return float(x.var(ddof=1)), n - 1.0
    squares = np.sort((x - np.median(x)) ** 2)
    scale, freedom = _trimming(n, dropped)
    return float(squares[:-dropped].mean()) / scale, freedom


def _trimming(n: int, dropped: int) -> tuple[float, float]:
    """Mean of the trimmed square of n normal balls, and the degrees of freedom that its scatter is like."""
    kept = 1 - dropped / n
    edge = float(chdtri(1, 1 - kept))
    first, second = float(chdtr(3, edge)), 3 * float(chdtr(5, edge))
    mean = first / kept * (n - 1) / n * (1 + 0.8 / n)  # of few balls, by simulation
    winsorised = second + (1 - kept) * edge**2 - (first + (1 - kept) * edge) ** 2
    return mean, 2 * mean**2 * n * kept**2 / winsorised


@dataclass(frozen=True, slots=True, kw_only=True)
class BallEllipse:
    """An ellipse that holds a share of the next balls: centre, half axes [m], turn of the long axis.

    The long axis is turned from "along" toward "across" (right) [rad].
    """

    centre: tuple[float, float]
    half_long_m: float
    half_short_m: float
    turn: float


def ellipse_factor(share: float, n: int | None = None) -> float:
    """Square of the half axis over the sd: chi-squared for many balls, the prediction form for n balls.

    2 (n^2 - 1) / (n (n - 2)) F(2, n - 2) is the exact one for the next ball (from memory, checked by
    simulation). Refuses fewer than 3 balls.
    """
    if not 0 < share < 1:
        raise ParameterError(f"The share of an ellipse lies between 0 and 1, got {share:g}.")
    if n is None:
        return -2 * math.log1p(-share)
    if n < 3:
        raise CannotEstimate(f"Not enough balls yet: an ellipse needs at least 3, there are {n}.")
    return float(2 * (n - 1) * (n + 1) / (n * (n - 2)) * fdtri(2, n - 2, share))


def ball_ellipse(misses: ArrayLike, share: float = 0.5) -> BallEllipse:
    """The ellipse that holds this share of the next balls, from misses (n, 2) along and across."""
    xy = np.asarray(misses, dtype=np.float64)
    factor = ellipse_factor(share, len(xy))
    size, axes = np.linalg.eigh(np.cov(xy.T))
    half = np.sqrt(np.maximum(size, 0.0) * factor)
    return BallEllipse(
        centre=(float(xy[:, 0].mean()), float(xy[:, 1].mean())),
        half_long_m=float(half[1]),
        half_short_m=float(half[0]),
        turn=float(math.atan2(axes[1, 1], axes[0, 1])),
    )


def _checked(misses: ArrayLike) -> Floats:
    x = np.asarray(misses, dtype=np.float64).ravel()
    if len(x) == 0:
        raise CannotEstimate("There are no balls to score.")
    if not np.isfinite(x).all():
        raise ParameterError("Misses must be finite numbers.")
    return x
