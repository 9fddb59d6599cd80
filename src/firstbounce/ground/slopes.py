"""Slope and height readings at places, the words for a slope, and the plane that fits several readings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.ground.surface import Plane, downhill_direction
from firstbounce.words import Estimate, Point, Source

STEEPEST_READING_PERCENT = 60.0  #: a reading above this is a slip of the pen (31 degrees)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopeReading:
    """A slope at a place and the direction in which it falls, each with its standard deviation.

    `across_sd_percent` is what is not known of the slope across that direction; usually it follows from
    the direction's error and is never taken smaller than that of the slope itself.
    """

    place: Point
    slope_percent: float  #: 0 or more
    downhill_deg: float  #: clockwise, 0 away, 90 right
    slope_sd_percent: float = 0.7  #: 0.4 degrees, a phone read both ways round (common practice 0.3 to 0.5)
    direction_sd_deg: float = 10.0  #: of a direction seen by eye, choice
    across_sd_percent: float | None = None

    def __post_init__(self) -> None:
        numbers = (*self.place, self.slope_percent, self.downhill_deg, self.direction_sd_deg)
        if not np.isfinite(numbers).all() or not 0 <= self.slope_percent <= STEEPEST_READING_PERCENT:
            raise ParameterError(
                f"A slope reading needs a place, a direction and 0 to {STEEPEST_READING_PERCENT:g} percent,"
                f" got {self.slope_percent:g} percent towards {self.downhill_deg:g} degrees."
            )
        if not self.slope_sd_percent > 0 or not self.direction_sd_deg >= 0:
            raise ParameterError(
                "The error of a slope reading must be above 0 percent, its direction's 0 or more."
            )
        if self.across_sd_percent is not None and not self.across_sd_percent > 0:
            raise ParameterError("The error across a slope reading must be above 0 percent.")

    @property
    def gradient(self) -> NDArray[np.float64]:
        """(dh/dx, dh/dy) [-]."""
        return -self.slope_percent / 100 * np.array(downhill_direction(self.downhill_deg))

    @property
    def gradient_cov(self) -> NDArray[np.float64]:
        """Covariance of the gradient, shape (2, 2) [-]."""
        ux, uy = downhill_direction(self.downhill_deg)
        along, across = np.array([ux, uy]), np.array([uy, -ux])
        turned = self.slope_percent * math.sin(math.radians(min(self.direction_sd_deg, 90.0)))
        sd_across = self.across_sd_percent or math.hypot(self.slope_sd_percent, turned)
        spread = self.slope_sd_percent**2 * np.outer(along, along) + sd_across**2 * np.outer(across, across)
        return np.asarray(spread / 1e4)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightReading:
    """A height at a place above any datum that all height readings share, with its standard deviation."""

    place: Point
    height_m: float
    sd_m: float = 0.01

    def __post_init__(self) -> None:
        if not np.isfinite([*self.place, self.height_m]).all() or not self.sd_m > 0:
            raise ParameterError(
                f"A height reading needs a place, a height and an error above 0 m, got {self}."
            )


class SlopeWord(StrEnum):
    """How the ground runs from start to hole, by eye."""

    UPHILL = "uphill"
    LEVEL = "level"
    DOWNHILL = "downhill"


#: Slope along the line, uphill positive, and its sd [percent]. Choices: hole places lie on 2 to 3 percent
#: at most (common practice), and nobody calls a slope below about 1 percent a hill.
_WORDS = {SlopeWord.UPHILL: (3.0, 1.5), SlopeWord.LEVEL: (0.0, 1.0), SlopeWord.DOWNHILL: (-3.0, 1.5)}
ACROSS_WORD_SD_PERCENT = 2.0  #: slope across the line when only a word is known, choice


def slope_of_word(word: SlopeWord | None) -> Estimate:
    """Slope along the line from start to hole, uphill positive [percent]; None: nobody looked."""
    if word is None:
        return Estimate(value=0.0, sd=2.5, source=Source.PRIOR)
    value, sd = _WORDS[SlopeWord(word)]
    return Estimate(value=value, sd=sd, source=Source.CLASS_WORD, n=1)


def reading_of_word(word: SlopeWord | None, start: Point, hole: Point) -> SlopeReading:
    """The word as a slope reading half-way from start to hole, so that it can join other readings."""
    dx, dy = hole[0] - start[0], hole[1] - start[1]
    if dx == 0 and dy == 0:
        raise ParameterError("Start and hole are the same place: uphill and downhill need a line.")
    slope = slope_of_word(word)
    ahead_deg = math.degrees(math.atan2(dx, dy))
    return SlopeReading(
        place=Point((start[0] + hole[0]) / 2, (start[1] + hole[1]) / 2),
        slope_percent=abs(slope.value),
        downhill_deg=(ahead_deg + 180) % 360 if slope.value > 0 else ahead_deg % 360,
        slope_sd_percent=slope.sd,
        across_sd_percent=max(ACROSS_WORD_SD_PERCENT, slope.sd),
    )


def plane_from_readings(
    readings: Sequence[SlopeReading], point: tuple[float, float, float] = (0, 0, 0)
) -> Plane:
    """The plane through `point` whose gradient fits the readings best, with what is not known of it.

    Weighted least squares. When the readings disagree by more than their errors (the ground is no plane) the
    covariance grows by their chi-square over its degrees of freedom. CannotEstimate without a reading.
    """
    if not readings:
        raise CannotEstimate("No slope reading: give at least one slope and its downhill direction.")
    weights = np.array([np.linalg.inv(reading.gradient_cov) for reading in readings])
    gradients = np.array([reading.gradient for reading in readings])
    cov = np.linalg.inv(weights.sum(axis=0))
    best = cov @ np.einsum("nij,nj->i", weights, gradients)
    miss = gradients - best
    chi2 = float(np.einsum("ni,nij,nj->", miss, weights, miss))
    spread = max(1.0, chi2 / (2 * len(readings) - 2)) if len(readings) > 1 else 1.0
    (a, b), (c, d) = (cov * spread).tolist()
    return Plane.of_gradient((float(best[0]), float(best[1])), point, ((a, b), (c, d)))
