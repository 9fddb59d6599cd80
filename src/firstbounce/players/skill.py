"""Putting skill by level: two numbers, the angle error and the relative distance error.

Tour: our maximum likelihood fit of the published angle and distance model to the Broadie (2018) data.
Scratch and 90-golfer: least squares on Broadie (2014) one-putt shares, inputs from memory. The levels lie
on the straight line through scratch (handicap 0) and the 90-golfer (handicap 16), which is a choice.
"""

from __future__ import annotations

from dataclasses import dataclass

from firstbounce.errors import ParameterError
from firstbounce.words import Level

READING_SHARE = 0.66  #: share of putting error variance that is reading the green or the green itself [-]
"""Karlsen & Nilsson (2008): 60 % green reading, 34 % technique, 6 % green, for distance, 43 players of mean
handicap 2.8. Taking the same share for direction is a choice."""

HANDICAP_OF_LEVEL: dict[Level, float] = {
    Level.SCRATCH: 0.0,
    Level.SINGLE_FIGURE: 6.0,
    Level.TEN_TO_EIGHTEEN: 14.0,
    Level.NINETEEN_TO_TWENTY_EIGHT: 23.0,
    Level.BEGINNER: 36.0,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PuttingSkill:
    """Standard deviations of a putt: direction, and roll relative to the roll that was meant."""

    angle_deg: float
    distance_share: float
    reading_share: float = READING_SHARE

    def __post_init__(self) -> None:
        if not (0 < self.angle_deg <= 10 and 0 < self.distance_share <= 1 and 0 <= self.reading_share <= 1):
            raise ParameterError(
                "Putting needs an angle above 0 up to 10 degrees, a distance share above 0 up to 1 and a "
                f"reading share 0 to 1, got {self.angle_deg:g}, {self.distance_share:g} "
                f"and {self.reading_share:g}."
            )


TOUR_PUTTING = PuttingSkill(angle_deg=1.020, distance_share=0.0801)
SCRATCH_PUTTING = PuttingSkill(angle_deg=1.22, distance_share=0.087)
NINETY_PUTTING = PuttingSkill(angle_deg=1.29, distance_share=0.185)
NINETY_HANDICAP = 16.0  #: handicap of a player who shoots about 90, a choice


def putting_of_handicap(handicap: float) -> PuttingSkill:
    """Skill on the straight line through scratch and the 90-golfer; for handicaps 0 to 54."""
    if not 0 <= handicap <= 54:
        raise ParameterError(f"A handicap must be 0 to 54, got {handicap:g}.")
    way = handicap / NINETY_HANDICAP
    return PuttingSkill(
        angle_deg=SCRATCH_PUTTING.angle_deg + way * (NINETY_PUTTING.angle_deg - SCRATCH_PUTTING.angle_deg),
        distance_share=SCRATCH_PUTTING.distance_share
        + way * (NINETY_PUTTING.distance_share - SCRATCH_PUTTING.distance_share),
    )


PUTTING_OF_LEVEL: dict[Level, PuttingSkill] = {
    level: putting_of_handicap(handicap) for level, handicap in HANDICAP_OF_LEVEL.items()
}
