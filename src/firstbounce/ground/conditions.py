"""The day: green speed, firmness, wet, wind and weather. Without a reading: a usual value, and it says so."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.ground.firmness import FirmnessWord, Moisture, firmness_of_word, firmness_when
from firstbounce.ground.wind import Wind
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Estimate, Source


class SpeedWord(StrEnum):
    """How fast the green is, as a coach says it."""

    SLOW = "slow"
    MEDIUM = "medium"
    FAST = "fast"


#: Stimp feet. Slow, medium and fast of the USGA championship classes (6.5 and 8.5 from memory, high; 10.5
#: read): the regular classes, two feet lower, are older than today's mowers. Words are right to about half a
#: class at best: of 448 golfers the ranking did not follow the measured class (Dest and others 2010, read).
_WORDS = {SpeedWord.SLOW: 6.5, SpeedWord.MEDIUM: 8.5, SpeedWord.FAST: 10.5}
WORD_SD_FT = 1.2
PRIOR_FT, PRIOR_SD_FT = (
    9.0,
    1.5,
)  #: courses run at 7 to 12 ft (read); the middle, a little low for clubs: choice
WET_SLOWER_FT, WET_SD_FT = 1.0, 0.5  #: rain costs about a foot or more (read, an estimate)


def speed_of_word(word: SpeedWord | None, wet: bool = False) -> Estimate:
    """Green speed [Stimp feet] of a class word on a dry day, a foot less when wet; None: nobody looked."""
    if word is None:
        dry = Estimate(value=PRIOR_FT, sd=PRIOR_SD_FT, source=Source.PRIOR)
    else:
        dry = Estimate(value=_WORDS[SpeedWord(word)], sd=WORD_SD_FT, source=Source.CLASS_WORD, n=1)
    if not wet:
        return dry
    return replace(dry, value=dry.value - WET_SLOWER_FT, sd=(dry.sd**2 + WET_SD_FT**2) ** 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """The air: temperature [deg C], pressure at the place [Pa], relative humidity [0 to 1]."""

    temperature_c: float = 15.0
    pressure_pa: float = 101325.0
    humidity: float = 0.6
    source: Source = Source.PRIOR

    def __post_init__(self) -> None:
        if not -15 <= self.temperature_c <= 50:
            raise ParameterError(f"The temperature must be -15 to 50 degrees C, got {self.temperature_c:g}.")
        if not 60_000 <= self.pressure_pa <= 110_000:
            raise ParameterError(
                f"The air pressure must be 60000 to 110000 Pa (600 to 1100 hPa), got {self.pressure_pa:g} Pa."
            )
        if not 0 <= self.humidity <= 1:
            raise ParameterError(f"The relative humidity must be 0 to 1, got {self.humidity:g}.")

    @classmethod
    def at_altitude(cls, altitude_m: float, temperature_c: float = 15.0, humidity: float = 0.6) -> Weather:
        """The usual air pressure at a height above sea level [m]."""
        return cls(temperature_c=temperature_c, pressure_pa=pressure_iso_2533(altitude_m), humidity=humidity)


def pressure_iso_2533(altitude_m: float) -> float:
    """Air pressure [Pa] of the standard atmosphere at a height above sea level [m], -400 to 4000 m."""
    if not -400 <= altitude_m <= 4000:
        raise OutOfRange(f"An altitude of {altitude_m:g} m is outside -400 to 4000 m.")
    return float(101325.0 * ((288.15 - 0.0065 * altitude_m) / 288.15) ** 5.25588)


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenToday:
    """What is known of the day. Without readings each value is the usual one, with its wide error."""

    stimp_ft: Estimate = field(default_factory=lambda: speed_of_word(None))
    firmness: Estimate = field(default_factory=lambda: firmness_of_word(None))  #: sd is of ln firmness
    wet: bool = False
    wind: Wind = field(default_factory=Wind)
    weather: Weather = field(default_factory=Weather)

    def __post_init__(self) -> None:
        if not 2 <= self.stimp_ft.value <= 18:
            raise ParameterError(
                f"A green speed is 2 to 18 Stimp feet, got {self.stimp_ft.value:g}: is it in feet?"
            )
        if not 0.2 <= self.firmness.value <= 3:
            raise ParameterError(f"A firmness index is 0.2 to 3, got {self.firmness.value:g}.")

    @classmethod
    def of_words(
        cls,
        speed: SpeedWord | None = None,
        firmness: FirmnessWord | None = None,
        *,
        wet: bool = False,
        wind: Wind | None = None,
        weather: Weather | None = None,
    ) -> GreenToday:
        """A day known by words only. Wet makes words for a usual day slower and softer."""
        moisture = Moisture.WET if wet else Moisture.DAMP
        return cls(
            stimp_ft=speed_of_word(speed, wet),
            firmness=firmness_when(firmness_of_word(firmness), moisture),
            wet=wet,
            wind=wind or Wind(),
            weather=weather or Weather(),
        )

    @property
    def green_deceleration(self) -> float:
        """Deceleration of a rolling ball on level ground [m/s2]."""
        return stimp_to_deceleration(self.stimp_ft.value)
