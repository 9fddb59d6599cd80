"""One-dimensional error scores of a set of misses, and how sure a mean miss is.

R. A. Schmidt and T. D. Lee, Motor Control and Learning (from memory; forms of constant and variable error
also read in course notes).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.errors import CannotEstimate

RAYLEIGH_MEAN = math.sqrt(math.pi / 2)  #: mean miss over sigma, round normal misses without bias [-]
RAYLEIGH_SD = math.sqrt(2 - math.pi / 2)  #: sd of the miss over sigma [-]


def _misses(outcomes: ArrayLike, target: float) -> np.ndarray:
    misses = np.asarray(outcomes, dtype=np.float64) - target
    if misses.size == 0:
        raise CannotEstimate("There are no balls to score.")
    return misses


def constant_error(outcomes: ArrayLike, target: float) -> float:
    """Mean signed miss, in the unit of the outcomes: the bias."""
    return float(_misses(outcomes, target).mean())


def variable_error(outcomes: ArrayLike, target: float) -> float:
    """Spread of the outcomes about their own mean, divisor n: the consistency."""
    return float(_misses(outcomes, target).std())


def total_error(outcomes: ArrayLike, target: float) -> float:
    """Root mean square miss; its square is that of constant plus that of variable error."""
    return float(np.sqrt(np.mean(_misses(outcomes, target) ** 2)))


def mean_miss_standard_error(n_balls: int) -> float:
    """Standard error of the mean radial miss over that mean, round normal misses [-].

    0.5227 / sqrt(n): follows from the Rayleigh distribution. Refuses fewer than 2 balls.
    """
    if n_balls < 2:
        raise CannotEstimate(f"Not enough balls yet: a mean miss needs at least 2, there are {n_balls}.")
    return RAYLEIGH_SD / RAYLEIGH_MEAN / math.sqrt(n_balls)
