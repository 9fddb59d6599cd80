"""Wind: with height, by Beaufort's signs, and as a vector in the green's frame."""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.words import Estimate, Source

HEAD_HEIGHT_M = 1.7  #: where a person feels the wind
FORECAST_HEIGHT_M = 10.0  #: height of forecasts and of Beaufort's scale
SHORT_GRASS_ROUGHNESS_M = 0.02  #: Brutsaert, Hydrology, Table 2.6: short grass 0.008 to 0.02 m (read)
STRONGEST_M_S = 25.0  #: nobody chips in more


def log_wind_ratio(height_m: float, reference_m: float, roughness_m: float) -> float:
    """Wind speed at a height over that at the reference height, neutral air over even ground [-].

    u(z) / u(z_ref) = ln(z / z0) / ln(z_ref / z0). OutOfRange below ten roughness lengths, where the law of
    the wall does not hold, and above 100 m.
    """
    if not 0 < roughness_m <= 2:
        raise OutOfRange(f"The roughness length must be above 0 and at most 2 m, got {roughness_m:g} m.")
    for height in (height_m, reference_m):
        if not 10 * roughness_m <= height <= 100:
            raise OutOfRange(
                f"A height of {height:g} m is outside {10 * roughness_m:g} to 100 m, the range of the log"
                f" wind profile over a roughness of {roughness_m:g} m."
            )
    return math.log(height_m / roughness_m) / math.log(reference_m / roughness_m)


@dataclass(frozen=True, slots=True)
class BeaufortClass:
    """One class of the scale: speeds at 10 m over land and what a coach can see."""

    force: int
    name: str
    low_m_s: float
    high_m_s: float
    sign: str


#: World Meteorological Organization, land signs; speeds read, signs in our words.
BEAUFORT: tuple[BeaufortClass, ...] = (
    BeaufortClass(0, "calm", 0.0, 0.2, "smoke rises straight up"),
    BeaufortClass(1, "light air", 0.3, 1.5, "smoke drifts, flags hang"),
    BeaufortClass(2, "light breeze", 1.6, 3.3, "felt on the face, leaves rustle"),
    BeaufortClass(3, "gentle breeze", 3.4, 5.4, "leaves and twigs keep moving, a light flag stretches out"),
    BeaufortClass(4, "moderate breeze", 5.5, 7.9, "dust and paper lift, small branches move"),
    BeaufortClass(5, "fresh breeze", 8.0, 10.7, "small trees sway"),
    BeaufortClass(6, "strong breeze", 10.8, 13.8, "large branches move, umbrellas are hard to hold"),
    BeaufortClass(7, "near gale", 13.9, 17.1, "whole trees move, walking is hard work"),
)


def wind_of_beaufort(force: int, height_m: float = FORECAST_HEIGHT_M, roughness_m: float = 0.03) -> Estimate:
    """Wind speed [m/s] at a height from a Beaufort force 0 to 7, read by eye: right to about one class.

    The middle of the class at 10 m, brought to `height_m` by the log profile; sd 30 percent, at least 0.3
    m/s.
    """
    if force not in range(len(BEAUFORT)):
        raise ParameterError(f"The Beaufort force must be a whole number from 0 to 7, got {force}.")
    scale = BEAUFORT[force]
    speed = (scale.low_m_s + scale.high_m_s) / 2 * log_wind_ratio(height_m, FORECAST_HEIGHT_M, roughness_m)
    return Estimate(value=speed, sd=max(0.3, 0.3 * speed), source=Source.CLASS_WORD, n=1)


def beaufort_of_wind(
    speed_m_s: float, height_m: float = FORECAST_HEIGHT_M, roughness_m: float = 0.03
) -> BeaufortClass:
    """The class of a wind speed [m/s] felt or measured at a height; OutOfRange above force 7."""
    if not (math.isfinite(speed_m_s) and speed_m_s >= 0):
        raise ParameterError(f"A wind speed must be 0 m/s or more, got {speed_m_s:g}.")
    at_ten = round(speed_m_s * log_wind_ratio(FORECAST_HEIGHT_M, height_m, roughness_m), 1)
    for scale in BEAUFORT:
        if at_ten <= scale.high_m_s:
            return scale
    raise OutOfRange(f"A wind of {at_ten:g} m/s at 10 m is a gale, above force 7: no day for chipping.")


def beaufort_speed_1946(force: float) -> float:
    """Wind speed at 10 m [m/s] of a Beaufort force: v = 0.836 B^1.5 (from memory, high). 0 to 12."""
    if not 0 <= force <= 12:
        raise OutOfRange(f"The Beaufort force must be 0 to 12, got {force:g}.")
    return float(0.836 * force**1.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Wind at head height: its speed and where it comes FROM, clockwise from above: 0 away, 90 right.

    So 0 blows from beyond the green towards the coach who looks away along y, and 90 blows from right to
    left.
    """

    speed_m_s: float = 0.0  #: at `reference_m`
    from_deg: float = 0.0
    speed_sd_m_s: float = 0.5
    reference_m: float = HEAD_HEIGHT_M
    roughness_m: float = SHORT_GRASS_ROUGHNESS_M
    source: Source = Source.PRIOR

    def __post_init__(self) -> None:
        if not 0 <= self.speed_m_s <= STRONGEST_M_S:
            raise ParameterError(
                f"The wind must be 0 to {STRONGEST_M_S:g} m/s at head height, got {self.speed_m_s:g}:"
                " give metres a second."
            )
        if not (math.isfinite(self.from_deg) and self.speed_sd_m_s >= 0):
            raise ParameterError(f"The wind needs a direction and an error of 0 m/s or more, got {self}.")
        log_wind_ratio(self.reference_m, FORECAST_HEIGHT_M, self.roughness_m)

    @classmethod
    def of_beaufort(
        cls, force: int, from_deg: float = 0.0, roughness_m: float = SHORT_GRASS_ROUGHNESS_M
    ) -> Wind:
        """The wind at head height of a Beaufort force, which is meant for 10 m in the open."""
        speed = wind_of_beaufort(force, HEAD_HEIGHT_M, roughness_m)
        return cls(
            speed_m_s=speed.value,
            from_deg=from_deg,
            speed_sd_m_s=speed.sd,
            roughness_m=roughness_m,
            source=Source.CLASS_WORD,
        )

    @classmethod
    def felt(cls, speed_m_s: float, from_deg: float = 0.0) -> Wind:
        """A wind speed stated at head height, by feel or a hand-held gauge: sd 20 percent or 0.3 m/s."""
        sd = max(0.3, 0.2 * speed_m_s)
        return cls(speed_m_s=speed_m_s, from_deg=from_deg, speed_sd_m_s=sd, source=Source.MEASURED)

    @property
    def vector(self) -> tuple[float, float]:
        """Velocity of the air at the reference height (x, y) [m/s]: the way it blows."""
        angle = math.radians(self.from_deg)
        return -self.speed_m_s * math.sin(angle), -self.speed_m_s * math.cos(angle)

    def speed_at(self, height_m: float) -> float:
        """Speed [m/s] at another height, by the log profile."""
        return self.speed_m_s * log_wind_ratio(height_m, self.reference_m, self.roughness_m)

    @property
    def beaufort(self) -> BeaufortClass:
        """The class of this wind."""
        return beaufort_of_wind(self.speed_m_s, self.reference_m, self.roughness_m)
