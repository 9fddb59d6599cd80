"""SI and radians inside; at the edges the coach's units, and counts and chances as people say them."""

from __future__ import annotations

import math
from enum import StrEnum

from firstbounce.errors import ParameterError

METRES_PER_FOOT = 0.3048  #: exact, international foot [m]
METRES_PER_YARD = 0.9144  #: exact, international yard [m]
METRES_PER_INCH = 0.0254  #: exact, international inch [m]
GRAVITY = 9.81  #: the value used with every figure of this project [m/s2]
STIMP_RELEASE_SPEED = 1.83  #: rolling speed off the standard ramp, 6.00 ft/s; see docs/shot/roll.md [m/s]


class LengthUnit(StrEnum):
    """How lengths are written for people."""

    METRES = "metres"
    YARDS = "yards"


def rpm_to_rad_per_s(spin_rpm: float) -> float:
    """Revolutions a minute [rpm] to [rad/s]."""
    return spin_rpm * 2 * math.pi / 60


def rad_per_s_to_rpm(spin: float) -> float:
    """[rad/s] to revolutions a minute [rpm]."""
    return spin * 60 / (2 * math.pi)


def feet_to_metres(length_ft: float) -> float:
    """Feet [ft] to [m]."""
    return length_ft * METRES_PER_FOOT


def metres_to_feet(length: float) -> float:
    """[m] to feet [ft]."""
    return length / METRES_PER_FOOT


def yards_to_metres(length_yd: float) -> float:
    """Yards [yd] to [m]."""
    return length_yd * METRES_PER_YARD


def metres_to_yards(length: float) -> float:
    """[m] to yards [yd]."""
    return length / METRES_PER_YARD


def slope_percent_to_rad(slope_percent: float) -> float:
    """Rise over run in percent to the angle of the slope [rad]."""
    return math.atan(slope_percent / 100)


def stimp_to_deceleration(stimp_ft: float) -> float:
    """Deceleration of a rolling ball on level ground [m/s2] from green speed [Stimp feet].

    a0 = v0^2 / (2 S) with v0 = 1.83 m/s (USGA Stimpmeter booklet: 6.00 ft/s). Refuses Stimp <= 0.
    """
    if not stimp_ft > 0:
        raise ParameterError(f"Green speed must be above 0 Stimp feet, got {stimp_ft:g}.")
    return STIMP_RELEASE_SPEED**2 / (2 * feet_to_metres(stimp_ft))


def deceleration_to_stimp(deceleration: float) -> float:
    """Green speed [Stimp feet] from deceleration on level ground [m/s2]; inverse of the above."""
    if not deceleration > 0:
        raise ParameterError(f"Deceleration must be above 0 m/s2, got {deceleration:g}.")
    return metres_to_feet(STIMP_RELEASE_SPEED**2 / (2 * deceleration))


class Lengths:
    """Writes lengths in metres, or in yards with feet for short ones."""

    def __init__(self, unit: LengthUnit | str) -> None:
        self.unit = LengthUnit(unit)

    def number(self, length_m: float) -> str:
        """The number alone, in the long unit."""
        value = metres_to_yards(length_m) if self.unit is LengthUnit.YARDS else length_m
        return _trimmed(value)

    def long(self, length_m: float) -> str:
        """A length with its unit."""
        return f"{self.number(length_m)} {self.short}"

    def small(self, length_m: float) -> str:
        """A short length: metres, or feet."""
        if self.unit is LengthUnit.YARDS:
            return f"{_trimmed(metres_to_feet(length_m))} ft"
        return f"{_trimmed(length_m)} m"

    def span(self, low_m: float, high_m: float) -> str:
        """A range with its unit."""
        return f"{self.number(low_m)} to {self.number(high_m)} {self.short}"

    @property
    def short(self) -> str:
        """The unit beside a number."""
        return "yd" if self.unit is LengthUnit.YARDS else "m"


def _trimmed(value: float) -> str:
    text = f"{value:.1f}"
    return "0.0" if text == "-0.0" else text


def balls(n: int) -> str:
    """A count of balls."""
    return "1 ball" if n == 1 else f"{n} balls"


def out_of_ten(share: float) -> str:
    """A chance as people say it: "7 in 10", "9 in 100" when small."""
    tens = round(10 * share)
    return f"{tens} in 10" if 0 < tens < 10 else f"{round(100 * share)} in 100"
