"""The frozen records everyone speaks of. Lengths in metres, angles in degrees where the name says so.

Frame: a level frame of the green: origin at a mark the coach chooses, x right, y away, z up.
Along and across: along the line from start to hole (long positive) and across it (right positive).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from firstbounce.errors import ParameterError


class Point(NamedTuple):
    """A place on the green seen from above, in the green's frame."""

    x_m: float
    y_m: float


class Strike(StrEnum):
    """How the ball was struck, as the coach saw it."""

    CLEAN = "clean"
    HEAVY = "heavy"
    THIN = "thin"
    TOE = "toe"
    HEEL = "heel"
    SHANK = "shank"


class LieKind(StrEnum):
    """What the ball lies on."""

    TIGHT = "tight"
    FAIRWAY = "fairway"
    FRINGE = "fringe"
    LIGHT_ROUGH = "light rough"
    HEAVY_ROUGH_UP = "heavy rough, sitting up"
    HEAVY_ROUGH_DOWN = "heavy rough, sitting down"
    BARE = "bare"
    SAND_EDGE = "sand edge"
    MAT = "mat"
    GREEN = "green"


class TurfKind(StrEnum):
    """What a ball lands and rolls on, by place."""

    GREEN = "green"
    FRINGE = "fringe"
    FAIRWAY = "fairway"
    LIGHT_ROUGH = "light rough"
    HEAVY_ROUGH = "heavy rough"
    BARE = "bare"
    MAT = "mat"
    TEMPORARY_GREEN = "temporary green"
    BUNKER = "bunker"
    WATER = "water"
    STANDING_WATER = "standing water"


class Outcome(StrEnum):
    """How a ball's journey ended."""

    STOPPED = "stopped"
    HOLED_ROLLING = "holed rolling"
    HOLED_FLYING = "holed on the fly"
    CANNOT_STOP = "cannot stop"
    LEFT_MAP = "left the map"
    IN_WATER = "in the water"
    PLUGGED = "plugged"


class Fault(StrEnum):
    """What a coach works on; each drill names the faults it is for."""

    HEAVY = "heavy"
    THIN = "thin"
    SCOOP = "scoop"
    JAB = "short backswing or jab"
    DISCONNECTED = "arms apart"
    RECOIL = "recoil"
    DISTANCE = "distance scatter"
    DIRECTION = "direction"
    READING = "reading the green"
    TEMPO = "tempo"


class Level(StrEnum):
    """Skill band of a player: what is usual until their own balls say more."""

    SCRATCH = "scratch"
    SINGLE_FIGURE = "single figure"
    TEN_TO_EIGHTEEN = "10 to 18"
    NINETEEN_TO_TWENTY_EIGHT = "19 to 28"
    BEGINNER = "beginner"


class Source(StrEnum):
    """Where a number came from; every number shown to a person says which."""

    MEASURED = "measured"
    CLASS_WORD = "class word"
    FITTED = "fitted"
    PRIOR = "usual value"


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value with its standard deviation and where it came from. Units are those of the field's name."""

    value: float
    sd: float
    source: Source
    n: int = 0  #: readings or balls behind it

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sd) and self.sd >= 0):
            raise ParameterError(f"An estimate needs a finite value and sd >= 0, got {self}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """What the ball lies on, and the slope of the stance."""

    kind: LieKind = LieKind.FAIRWAY
    wet: bool = False
    uphill_deg: float = 0.0  #: slope of the stance along the line, up positive
    above_feet_deg: float = 0.0  #: slope across the stance, ball above the feet positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """The landing target: a centre and a radius."""

    centre: Point
    radius_m: float

    def __post_init__(self) -> None:
        if not self.radius_m > 0:
            raise ParameterError(f"A circle needs a radius above 0 m, got {self.radius_m:g}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place to hit from: start, hole, lie and (when chosen) the landing spot."""

    name: str
    start: Point
    hole: Point
    lie: Lie = Lie()
    landing_spot: Point | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """One struck ball, placed. `finished` is None for a holed ball or one not seen to stop."""

    id: str
    club: str
    lie: Lie
    start: Point
    hole: Point | None = None
    aim: Point | None = None  #: the landing spot it was meant for
    landed: Point | None = None
    finished: Point | None = None
    holed: bool = False
    strike: Strike | None = None  #: None when nobody tagged it
    hang_time_s: float | None = None
    landed_sd_m: float = 0.25  #: placing error of `landed`, each way
    finished_sd_m: float = 0.25  #: placing error of `finished`, each way
    station: str | None = None
    session: str | None = None


class TallyLanding(StrEnum):
    """Where a tallied ball landed, seen against the landing circle."""

    IN_CIRCLE = "in"
    SHORT = "short"
    LONG = "long"
    LEFT = "left"
    RIGHT = "right"
    NOT_SEEN = "not seen"


class TallyFinish(StrEnum):
    """Where a tallied ball finished, seen against the hole."""

    HOLED = "holed"
    GIVEN = "given"
    WITHIN_TWO_PACES = "within two paces"
    FURTHER_SHORT = "further, short"
    FURTHER_PAST = "further, past"
    NOT_SEEN = "not seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """A ball logged without placing it: ranges, never points."""

    id: str
    club: str
    lie: Lie
    start: Point
    hole: Point
    circle: Circle
    landing: TallyLanding
    finish: TallyFinish
    strike: Strike | None = None
    station: str | None = None
    session: str | None = None
