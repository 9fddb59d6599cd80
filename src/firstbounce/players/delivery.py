"""Delivery: how far the shaft leans and how steeply the club comes down at impact.

Delivered loft = club loft - lean. Lean and attack by loft are common practice; the step from chip to
pitch is made smooth in carry, which is a choice.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.words import Estimate, Source

LEAN_SD_DEG = 2.5  #: of one player's lean about the usual [deg], a choice
CLUB_LEAN_SD_DEG = 1.5  #: of one club's lean about the player's [deg], a choice
CHIP_ATTACK_DEG = -3.0  #: attack angle of a chip, down is negative [deg]; common practice
PITCH_ATTACK_DEG = -4.0  #: attack angle of a pitch [deg]; common practice
CHIP_CARRY_M = 8.5  #: up to this carry a stroke is all chip [m], a choice
PITCH_CARRY_M = 13.0  #: from this carry on it is all pitch [m], a choice

_LOFTS_DEG = (46.0, 50.0, 56.0, 60.0)
_CHIP_LEAN_DEG = (6.0, 5.0, 4.0, 3.0)
_PITCH_LEAN_DEG = (6.0, 5.0, 4.0, 2.0)

USUAL_EXTRA_LEAN = Estimate(value=0.0, sd=LEAN_SD_DEG, source=Source.PRIOR)


def pitch_share(carry_m: ArrayLike) -> NDArray[np.float64]:
    """0 for a chip, 1 for a pitch, smooth in carry [m] between."""
    way = np.clip((np.asarray(carry_m, float) - CHIP_CARRY_M) / (PITCH_CARRY_M - CHIP_CARRY_M), 0.0, 1.0)
    return np.asarray(way * way * (3.0 - 2.0 * way))


def usual_lean_deg(loft_deg: ArrayLike, carry_m: ArrayLike) -> NDArray[np.float64]:
    """Forward shaft lean at impact [deg] that is usual for a club of this loft [deg] at this carry [m]."""
    loft, carry = np.asarray(loft_deg, float), np.asarray(carry_m, float)
    chip = np.interp(loft, _LOFTS_DEG, _CHIP_LEAN_DEG)
    pitch = np.interp(loft, _LOFTS_DEG, _PITCH_LEAN_DEG)
    share = pitch_share(carry)
    return np.asarray(chip + (pitch - chip) * share)


def usual_attack_deg(carry_m: ArrayLike) -> NDArray[np.float64]:
    """Attack angle [deg], down negative, that is usual at this carry [m]."""
    share = pitch_share(carry_m)
    return np.asarray(CHIP_ATTACK_DEG + (PITCH_ATTACK_DEG - CHIP_ATTACK_DEG) * share)
