"""How far a player's own numbers can be trusted: typical error, smallest change, balls needed.

Typical error: sd of the differences of two sessions over root 2; smallest change that means something at
95 %: 1.96 root 2 typical errors (usual in sport science; values read in coaching sources, see the tests).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from firstbounce.errors import CannotEstimate, ParameterError

Z95 = float(ndtri(0.975))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """Of one measure of one player; shares of the mean miss."""

    typical_error: float  #: of one session of this many balls [-]
    smallest_change: float  #: between two such sessions that is not luck at 95 % [-]
    balls_per_session: int
    balls_for_a_fifth: int  #: balls in each of two sets to see one fifth better, 8 times in 10
    n_balls: int
    n_sessions: int


def typical_error(differences: ArrayLike) -> float:
    """Typical error from the differences of two sessions of the same player (n,)."""
    d = np.asarray(differences, dtype=np.float64)
    if len(d) < 2:
        raise CannotEstimate(
            f"Not enough sessions yet: a typical error needs at least 3, there are {len(d) + 1}."
        )
    return float(d.std(ddof=1) / math.sqrt(2))


def typical_error_of_limits(limits: float) -> float:
    """Typical error from 95 % limits of agreement (half width)."""
    return limits / (Z95 * math.sqrt(2))


def smallest_change(error: float) -> float:
    """Smallest change between two sessions that is not luck at 95 %, from the typical error of one."""
    return Z95 * math.sqrt(2) * error


def balls_for_change(change: float, cv: float, power: float = 0.8) -> int:
    """Balls in each of two sets to see the mean miss fall by this share; cv: sd of a miss over its mean."""
    if not 0 < change < 1 or not cv > 0:
        raise ParameterError(
            f"A change lies between 0 and 1 and a spread above 0, got {change:g} and {cv:g}."
        )
    z = Z95 + float(ndtri(power))
    return math.ceil((z * cv / change) ** 2 * (1 + (1 - change) ** 2))
