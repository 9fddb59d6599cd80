"""One putt: the two published models on level ground, and what slope does to them.

On level ground the chance is that of the angle and distance model exactly. Slope enters by the project's
own roll physics on a plane (docs/players.md): with a = a0 (1 + g) the deceleration along the line,
g = (5/7) g_earth slope / a0, ratio = 1 + g,

- reading errors are energies of the level roll: the roll they cost grows by 1/ratio downhill;
- technique errors are relative to the stroke: the relative roll they cost is the same on any slope;
- a start off the line is bent back downhill and spread uphill, by 2 ratio / (1 + ratio);
- a misread of the slope across costs 2 / (1 + ratio) of what it costs on the level;
- a putt across a slope breaks, and breaks less the faster it is.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.players.skill import PuttingSkill
from firstbounce.units import GRAVITY, METRES_PER_FOOT, METRES_PER_INCH

CLEARANCE = (4.25 - 1.68) / 2 * METRES_PER_INCH  #: hole radius less ball radius, as published [m]
AIM_PAST = METRES_PER_FOOT  #: a putt is meant to stop this far beyond the hole, as published [m]
TOO_FAST = (
    3 * METRES_PER_FOOT
)  #: a putt that would roll this far past on the level stays out, as published [m]
STEEPEST_DOWN = -0.8  #: g down to which putts are told apart: beyond about there no ball stops [-]
STEEPEST_UP = 1.2  #: g up to which putts are told apart [-]


def gelman_nolan_2002(length_m: ArrayLike, angle: float) -> NDArray[np.float64]:
    """Chance to hole a putt of this length [m] when only the angle errs, sd `angle` [rad].

    Gelman & Nolan, Teaching Statistics 24 (2002) 93; equation read in the Stan case study. Lengths from
    the clearance of the hole (33 mm) up.
    """
    length = _checked(length_m)
    return 2 * ndtr(np.arcsin(CLEARANCE / length) / angle) - 1


def broadie_2018(length_m: ArrayLike, angle: float, distance_share: float) -> NDArray[np.float64]:
    """Chance to hole a putt of this length [m] when angle (sd [rad]) and roll (relative sd) err.

    The golfer aims one foot past; the ball drops if the angle is good and it would roll 0 to 3 ft past.
    Broadie's model as given in the Stan case study (Gelman 2019), read.
    """
    length = _checked(length_m)
    sd = (length + AIM_PAST) * distance_share
    reaches = ndtr((TOO_FAST - AIM_PAST) / sd) - ndtr(-AIM_PAST / sd)
    return gelman_nolan_2002(length, angle) * reaches


def slope_number(slope: ArrayLike, green_deceleration: ArrayLike) -> NDArray[np.float64]:
    """Pull of a slope (rise over run, up positive) over the green's braking [m/s2]: (5/7) g slope / a0."""
    braking = np.asarray(green_deceleration, float)
    if not np.all(braking > 0):
        raise ParameterError("The deceleration of the green must be above 0 m/s2.")
    return 5 / 7 * GRAVITY * np.asarray(slope, float) / braking


def make_chance(
    skill: PuttingSkill,
    length_m: float,
    *,
    green_deceleration: float,
    slope: float = 0.0,
    slope_across: float = 0.0,
) -> float:
    """Chance to hole one putt of this length [m] on a plane; slopes are rise over run, uphill positive."""
    from firstbounce.players.putt_kernels import Putter, first_putt, legendre

    _checked(length_m)
    along = float(slope_number(slope, green_deceleration))
    across = abs(float(slope_number(slope_across, green_deceleration)))
    along = min(max(along, STEEPEST_DOWN), STEEPEST_UP)
    return float(
        first_putt(length_m, along, min(across, STEEPEST_UP), Putter(*putter_numbers(skill)), legendre())
    )


def putter_numbers(skill: PuttingSkill) -> tuple[float, ...]:
    """Numbers of a putter for the kernels, in the order of `putt_kernels.Putter`."""
    technique, reading = math.sqrt(1 - skill.reading_share), math.sqrt(skill.reading_share)
    angle = math.radians(skill.angle_deg)
    return (
        angle * technique,
        angle * reading,
        skill.distance_share * technique,
        skill.distance_share * reading,
        CLEARANCE,
        AIM_PAST,
        TOO_FAST,
    )


def _checked(length_m: ArrayLike) -> NDArray[np.float64]:
    length = np.asarray(length_m, float)
    if not np.all(length >= CLEARANCE):
        raise OutOfRange(
            f"A putt must be at least {CLEARANCE * 1000:.0f} mm long, got {np.min(length):.4g} m."
        )
    return length
