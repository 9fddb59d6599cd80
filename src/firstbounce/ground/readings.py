"""Readings that need no special tools become numbers: rolls up and down a line, and slopes by a level."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.ground.combine import centre_and_share, combine, pooled_share
from firstbounce.ground.slopes import STEEPEST_READING_PERCENT, SlopeReading
from firstbounce.units import GRAVITY, STIMP_RELEASE_SPEED, deceleration_to_stimp, metres_to_feet
from firstbounce.words import Estimate, Point, Source

ROLL_SHARE = 0.05  #: usual spread of single rolls (common practice)
STIMP_SD_FT = 0.5  #: a reading is right to about 1 ft in ordinary use (read), taken as two sd
RELEASE_SHARE = 0.02  #: usual error of the release speed, choice
GAUGE_AGREES_M = 0.20  #: three rolls one way should stop within 8 in of each other (read)
LEVEL_SD_DEG = 0.4  #: a phone or digital level after turning round (common practice 0.3 to 0.5)
LEVEL_UNTURNED_SD_DEG = 1.2  #: the same read one way only: its zero error stays in, choice


def brede_1990(up_m: float, down_m: float) -> float:
    """Level roll length [m] from the lengths up and down one line: 2 up down / (up + down).

    A. D. Brede, USGA Green Section Record 28(6), 1990, 10-12 (read). Exact for constant deceleration.
    """
    _check_lengths([up_m, down_m])
    return 2 * up_m * down_m / (up_m + down_m)


def slope_from_rolls(up_m: float, down_m: float, release_speed: float = STIMP_RELEASE_SPEED) -> float:
    """Slope angle of the line [rad] from roll lengths [m] and the release speed [m/s].

    sin(slope) = (7/5) v^2 / (4 g) (1/up - 1/down): a rolling uniform sphere feels 5/7 of the slope.
    Negative when the ball rolled further on the way called up.
    """
    _check_lengths([up_m, down_m])
    if not release_speed > 0:
        raise ParameterError(f"The release speed must be above 0 m/s, got {release_speed:g}.")
    sine = 1.4 * release_speed**2 / (4 * GRAVITY) * (1 / up_m - 1 / down_m)
    if abs(sine) >= 1:
        raise CannotEstimate(f"Rolls of {up_m:g} m up and {down_m:g} m down fit no slope: check the lengths.")
    return math.asin(sine)


@dataclass(frozen=True, slots=True, kw_only=True)
class RollReading:
    """Green speed and slope of the line from rolls, with remarks for the coach."""

    stimp_ft: Estimate
    slope_percent: Estimate  #: along the line, positive when it rises the way called up
    remarks: tuple[str, ...] = ()


def speed_from_rolls(
    up_m: Sequence[float],
    down_m: Sequence[float],
    *,
    release_speed: float = STIMP_RELEASE_SPEED,
    release_share: float = RELEASE_SHARE,
) -> RollReading:
    """Green speed [Stimp feet] and slope [percent] from rolls [m] up and down one line, medians taken.

    Works for any release that is the same each time; `release_speed` [m/s] is that of the standard ramp
    unless stated, `release_share` its relative error. Errors come from the spread of the rolls, pooled with
    the usual 5 percent; the sd of the speed is never below 0.5 ft. CannotEstimate unless there are rolls
    both ways.
    """
    if len(up_m) == 0 or len(down_m) == 0:
        raise CannotEstimate(
            "Rolls are needed both up and down the same line: one way cannot tell speed from slope."
        )
    _check_lengths([*up_m, *down_m])
    share = pooled_share([up_m, down_m], ROLL_SHARE)
    (up, up_share), (down, down_share) = centre_and_share(up_m, share), centre_and_share(down_m, share)
    level = brede_1990(up, down)
    stimp_ft = deceleration_to_stimp(release_speed**2 / (2 * level))
    level_share = math.hypot(up_share * down, down_share * up) / (up + down)
    stimp_sd = max(STIMP_SD_FT, stimp_ft * math.hypot(level_share, 2 * release_share))
    slope = math.tan(slope_from_rolls(up, down, release_speed))
    per_length = 1.4 * release_speed**2 / (4 * GRAVITY)
    slope_sd = math.hypot(
        per_length * math.hypot(up_share / up, down_share / down), 2 * release_share * slope
    )
    n = len(up_m) + len(down_m)
    return RollReading(
        stimp_ft=Estimate(value=stimp_ft, sd=stimp_sd, source=Source.MEASURED, n=n),
        slope_percent=Estimate(value=100 * slope, sd=100 * slope_sd, source=Source.MEASURED, n=n),
        remarks=_roll_remarks(up_m, down_m, up, down),
    )


def _check_lengths(lengths_m: Sequence[float]) -> None:
    for length in lengths_m:
        if not 0 < length <= 60:
            raise ParameterError(f"A roll must be above 0 and at most 60 m long, got {length:g} m.")


def _roll_remarks(up_m: Sequence[float], down_m: Sequence[float], up: float, down: float) -> tuple[str, ...]:
    remarks = []
    for way, rolls in (("up", up_m), ("down", down_m)):
        if np.ptp(rolls) > GAUGE_AGREES_M:
            remarks.append(
                f"The rolls {way} the line end {np.ptp(rolls):.2f} m apart; 0.20 m is usual: roll again."
            )
    steep = max(up, down) / min(up, down)
    if steep > 3:
        remarks.append("Steeply sloped line: one way rolls over 3 times as far; find a flatter line.")
    elif steep >= 2:
        remarks.append("Moderately sloped line: one way rolls 2 to 3 times as far as the other.")
    if up > down:
        remarks.append("The ball rolled further on the way called up, so the line falls that way.")
    return tuple(remarks)


def stimp_reading(stimp_ft: float) -> Estimate:
    """A green speed read off the standard gauge [Stimp feet], right to about 1 ft in ordinary use."""
    if not 2 <= stimp_ft <= 18:
        raise ParameterError(f"A green speed is 2 to 18 Stimp feet, got {stimp_ft:g}: is it in feet?")
    return Estimate(value=stimp_ft, sd=STIMP_SD_FT, source=Source.MEASURED, n=1)


def stimp_of_length(length_m: float) -> float:
    """Green speed [Stimp feet] when the standard ramp rolls this far [m] on level ground."""
    _check_lengths([length_m])
    return metres_to_feet(length_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelReading:
    """A slope read with a level that was turned round, and the zero error that turning showed."""

    slope_percent: Estimate  #: positive: falls the way the first reading says
    zero_deg: float | None  #: what the device shows on level ground; None when it was not turned
    remarks: tuple[str, ...] = ()

    def at(self, place: Point, downhill_deg: float, direction_sd_deg: float = 10.0) -> SlopeReading:
        """The reading at a place, falling in a direction (clockwise, 0 away, 90 right)."""
        slope = self.slope_percent
        return SlopeReading(
            place=place,
            slope_percent=abs(slope.value),
            downhill_deg=downhill_deg if slope.value >= 0 else (downhill_deg + 180) % 360,
            slope_sd_percent=slope.sd,
            direction_sd_deg=direction_sd_deg,
        )


def slope_from_level(
    fall_deg: Sequence[float], turned_fall_deg: Sequence[float] = (), *, sd_deg: float = LEVEL_SD_DEG
) -> LevelReading:
    """Slope [percent] from a level laid along one direction: fall shown [deg], and shown again turned round.

    Both are the fall in the SAME direction over the ground (most levels show no sign, so simply what they
    show). The mean of both ways is the slope, half their difference the zero error of the device. `sd_deg`
    is what stays after turning; read one way only, the zero error stays in and the sd is larger.
    """
    if len(fall_deg) == 0:
        raise CannotEstimate("A slope by a level needs at least one reading.")
    for angle in (*fall_deg, *turned_fall_deg):
        if not abs(angle) <= math.degrees(math.atan(STEEPEST_READING_PERCENT / 100)):
            raise ParameterError(f"A slope reading of {angle:g} degrees is too steep for ground to chip on.")
    first = float(np.mean(fall_deg))
    if len(turned_fall_deg) == 0:
        estimate = _percent(first, max(sd_deg, LEVEL_UNTURNED_SD_DEG), len(fall_deg))
        hint = "Turn the level round and read again: its zero error is still in this slope."
        return LevelReading(slope_percent=estimate, zero_deg=None, remarks=(hint,))
    turned = float(np.mean(turned_fall_deg))
    slope, zero = (first + turned) / 2, (first - turned) / 2
    estimate = _percent(slope, sd_deg, len(fall_deg) + len(turned_fall_deg))
    return LevelReading(slope_percent=estimate, zero_deg=zero, remarks=_level_remarks(slope, zero))


def _percent(angle_deg: float, sd_deg: float, n: int) -> Estimate:
    slope = math.tan(math.radians(angle_deg))
    sd = math.radians(sd_deg) * (1 + slope**2)
    return Estimate(value=100 * slope, sd=100 * sd, source=Source.MEASURED, n=n)


def _level_remarks(slope_deg: float, zero_deg: float) -> tuple[str, ...]:
    if abs(zero_deg) > abs(slope_deg) and abs(zero_deg) > LEVEL_SD_DEG:
        return (
            f"The level shows {abs(zero_deg):.1f} degrees on level ground, more than the slope itself:"
            " if it shows no sign, one of the readings may fall the other way.",
        )
    if abs(zero_deg) > 2.0:
        return (f"The level shows {abs(zero_deg):.1f} degrees on level ground: set its zero.",)
    return ()


def slope_from_rise(rise_mm: float, rule_m: float = 1.0) -> Estimate:
    """Slope [percent] from the rise under the low end of a rule that levels it (10 mm a metre is 1 %)."""
    if not (0 <= rise_mm <= 600 * rule_m and rule_m > 0):
        raise ParameterError(f"A rise of {rise_mm:g} mm under a rule of {rule_m:g} m is no slope to chip on.")
    return Estimate(value=rise_mm / 10 / rule_m, sd=0.4 / rule_m, source=Source.MEASURED, n=1)


def combined_stimp(readings: Sequence[Estimate]) -> Estimate:
    """One green speed [Stimp feet] from several readings; never surer than 0.3 ft, a green's own spread."""
    return combine(readings, floor_sd=0.3)
