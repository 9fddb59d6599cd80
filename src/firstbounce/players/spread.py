"""Spread of clean strikes: carry as floor and percentage, direction as an angle; the circle it fills.

Form: floor and percentage in quadrature, because short-shot error is not a fixed percentage of distance
(benchmark strokes; amateur wedge test in Open Sports Sci J 2021;14:86). Numbers by level are common
practice anchored on published mean misses, to be overwritten by the player's own balls.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.words import Level, LieKind

#: Spread from a lie over spread from the fairway. Light rough +50-60 % and sand +100 % are Cochran & Stobbs
#: (1968), read in a summary; the others are choices.
LIE_FACTOR: dict[LieKind, float] = {
    LieKind.TIGHT: 1.0,
    LieKind.FAIRWAY: 1.0,
    LieKind.FRINGE: 1.0,
    LieKind.LIGHT_ROUGH: 1.55,
    LieKind.HEAVY_ROUGH_UP: 1.7,
    LieKind.HEAVY_ROUGH_DOWN: 2.3,
    LieKind.BARE: 1.2,
    LieKind.SAND_EDGE: 2.0,
    LieKind.MAT: 1.0,
    LieKind.GREEN: 1.0,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far apart a player's clean strikes land: standard deviations along and across the line."""

    floor_m: float  #: part of the carry's sd that does not grow with carry [m]
    share: float  #: part that does, as a share of carry [-]
    direction_deg: float  #: sd of the starting direction [deg]

    def __post_init__(self) -> None:
        if not (0 <= self.floor_m <= 5 and 0 <= self.share <= 1 and 0 <= self.direction_deg <= 30):
            raise ParameterError(
                "A spread needs floor 0 to 5 m, share 0 to 1 and direction 0 to 30 degrees, "
                f"got {self.floor_m:g} m, {self.share:g} and {self.direction_deg:g} degrees."
            )

    def along_m(self, carry_m: ArrayLike, lie: LieKind = LieKind.FAIRWAY) -> NDArray[np.float64]:
        """Standard deviation of carry along the line [m] at this carry [m] from this lie."""
        return LIE_FACTOR[lie] * np.hypot(self.floor_m, self.share * np.asarray(carry_m, float))

    def direction(self, lie: LieKind = LieKind.FAIRWAY) -> float:
        """Standard deviation of the starting direction [rad] from this lie."""
        return LIE_FACTOR[lie] * math.radians(self.direction_deg)

    def across_m(self, carry_m: ArrayLike, lie: LieKind = LieKind.FAIRWAY) -> NDArray[np.float64]:
        """Standard deviation across the line [m] at this carry [m] from this lie."""
        return np.asarray(carry_m, float) * math.tan(self.direction(lie))


SPREAD_OF_LEVEL: dict[Level, Spread] = {
    Level.SCRATCH: Spread(floor_m=0.5, share=0.05, direction_deg=2.0),
    Level.SINGLE_FIGURE: Spread(floor_m=0.6, share=0.08, direction_deg=3.0),
    Level.TEN_TO_EIGHTEEN: Spread(floor_m=0.8, share=0.11, direction_deg=4.0),
    Level.NINETEEN_TO_TWENTY_EIGHT: Spread(floor_m=1.0, share=0.14, direction_deg=5.0),
    Level.BEGINNER: Spread(floor_m=1.2, share=0.18, direction_deg=6.5),
}
