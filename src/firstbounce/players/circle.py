"""The landing circle: how often a spread hits a circle, and how large a circle it hits this often.

The landing errors are normal along and across the line with their own standard deviations and biases.
Without bias and with equal sds this is Rayleigh's law, with bias Rice's, with unequal sds Hoyt's; all
come from one integral over chords of the circle.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import ndtr

from firstbounce.errors import ParameterError
from firstbounce.players.mishits import Mishits
from firstbounce.players.spread import Spread
from firstbounce.words import LieKind

_NODES = 64  #: Gauss-Legendre nodes of the chord integral


def circle_chance(
    radius_m: float,
    *,
    along_m: float,
    across_m: float,
    bias_along_m: float = 0.0,
    bias_across_m: float = 0.0,
) -> float:
    """Chance that a ball lands within `radius_m` of the spot, given sds and biases [m] along and across.

    Integrates the normal law across over the chord that the circle cuts from the normal law along.
    """
    if not (along_m > 0 and across_m > 0):
        raise ParameterError(
            f"A circle needs spreads above 0 m along and across, got {along_m:g} and {across_m:g}."
        )
    if radius_m <= 0:
        return 0.0
    if across_m < along_m:  # integrate along the narrower law, where the other one is smooth
        along_m, across_m, bias_along_m, bias_across_m = across_m, along_m, bias_across_m, bias_along_m
    low = max(-radius_m, bias_along_m - 9 * along_m)
    high = min(radius_m, bias_along_m + 9 * along_m)
    if low >= high:
        return 0.0
    node, weight = _nodes()
    # Along = radius * sin(bearing) keeps the integrand smooth at the ends of the chord.
    start, stop = math.asin(low / radius_m), math.asin(high / radius_m)
    bearing = 0.5 * (start + stop) + 0.5 * (stop - start) * node
    along, half_chord = radius_m * np.sin(bearing), radius_m * np.cos(bearing)
    density = np.exp(-0.5 * ((along - bias_along_m) / along_m) ** 2) / (along_m * math.sqrt(2 * math.pi))
    inside = ndtr((half_chord - bias_across_m) / across_m) - ndtr((-half_chord - bias_across_m) / across_m)
    return float(0.5 * (stop - start) * np.sum(weight * density * inside * half_chord))


def circle_radius_m(
    success: float,
    *,
    along_m: float,
    across_m: float,
    bias_along_m: float = 0.0,
    bias_across_m: float = 0.0,
) -> float:
    """Radius [m] of the circle about the spot that holds a share `success` (0 to 1) of the landings."""
    if not 0 < success < 1:
        raise ParameterError(f"The wanted success rate must lie between 0 and 1, got {success:g}.")

    def shortfall(radius: float) -> float:
        chance = circle_chance(
            radius,
            along_m=along_m,
            across_m=across_m,
            bias_along_m=bias_along_m,
            bias_across_m=bias_across_m,
        )
        return chance - success

    far = math.hypot(bias_along_m, bias_across_m) + max(along_m, across_m)
    while shortfall(far) < 0:
        far *= 1.5
        if far > 1e6 * max(along_m, across_m):
            raise ParameterError(f"A success rate of {success:g} is too near 1 to be sized.")
    return float(brentq(shortfall, 0.0, far, xtol=1e-9))


def landing_circle_m(
    success: float,
    *,
    spread: Spread,
    mishits: Mishits,
    carry_m: float,
    lie: LieKind = LieKind.FAIRWAY,
) -> float:
    """Radius [m] of the landing circle that this player hits with a share `success` of all strikes.

    Mishits are counted as out of the circle, so clean strikes must do better than `success`; when
    mishits alone use up the allowance the wanted rate is taken as 95 % of clean strikes.
    """
    clean = 1.0 - mishits.share_from(lie)
    of_clean = min(success / clean, 0.95)
    return circle_radius_m(
        of_clean,
        along_m=float(spread.along_m(carry_m, lie)),
        across_m=float(spread.across_m(carry_m, lie)),
    )


@cache
def _nodes() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.polynomial.legendre.leggauss(_NODES)
