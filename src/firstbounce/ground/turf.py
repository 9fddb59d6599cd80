"""Turf: how each kind of ground answers a landing and a rolling ball, relative to today's green.

No measured table for anything but greens was found (see docs/ground.md), so most numbers are choices
that keep the order a coach knows: fringe a little slower than the green, rough much slower, sand dead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.words import TurfKind

#: Columns of the property table that kernels read (GroundArrays.turf_props), one row a kind.
STIMP_RATIO = 0  #: speed relative to today's green; deceleration is that of the green over this [-]
RESTITUTION_SCALE = 1  #: factor on the restitution of today's green [-]
TILT_SCALE = 2  #: factor on the tilt of the ground under a landing ball [-]
FRICTION = 3  #: Coulomb coefficient while the ball bounces [-]
SLIDING_FRICTION = 4  #: Coulomb coefficient while the ball skids before it rolls [-]
PLUG_SPEED = 5  #: a ball that lands faster than this into the ground stays in its mark [m/s]
SWALLOWS = 6  #: 1 for open water, in which a ball is lost, else 0
N_PROPS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Turf:
    """One kind of ground. Ratios and scales are relative to today's green; `source` says whence."""

    kind: TurfKind
    stimp_ratio: float  #: equivalent Stimp over that of the green [-], above 0
    restitution_scale: float = 1.0  #: [-], 0 or more
    tilt_scale: float = 1.0  #: [-], 0 or more
    friction: float = 0.40  #: while bouncing [-]
    sliding_friction: float = 0.40  #: while skidding [-]
    plug_speed: float = math.inf  #: speed into the ground above which it plugs, firmness 1 (choice) [m/s]
    swallows: bool = False  #: open water
    source: str

    def __post_init__(self) -> None:
        scales = (self.restitution_scale, self.tilt_scale, self.friction, self.sliding_friction)
        if not (math.isfinite(self.stimp_ratio) and self.stimp_ratio > 0):
            raise ParameterError(f"{self.kind}: the speed ratio must be above 0, got {self.stimp_ratio:g}.")
        if not all(math.isfinite(scale) and scale >= 0 for scale in scales) or not self.plug_speed >= 0:
            raise ParameterError(
                f"{self.kind}: scales, friction and plug speed must be 0 or more, got {self}."
            )

    def row(self) -> tuple[float, ...]:
        """The kernel's row of properties, in the order of the column indices."""
        return (
            self.stimp_ratio,
            self.restitution_scale,
            self.tilt_scale,
            self.friction,
            self.sliding_friction,
            self.plug_speed,
            float(self.swallows),
        )


_CHOICE = "choice: keeps the order a coach knows; no measurement found"
_TABLE = (
    Turf(
        kind=TurfKind.GREEN,
        stimp_ratio=1.0,
        plug_speed=21.0,
        source="friction 0.40 bouncing (Penner 2002) and skidding: from memory, medium",
    ),
    Turf(
        kind=TurfKind.FRINGE,
        stimp_ratio=0.60,
        restitution_scale=0.95,
        tilt_scale=1.05,
        plug_speed=20.0,
        source="speed: Stimp about 6 (5 to 7), from memory, low; rest choice",
    ),
    Turf(
        kind=TurfKind.FAIRWAY,
        stimp_ratio=0.50,
        restitution_scale=0.90,
        tilt_scale=1.10,
        plug_speed=18.0,
        source="speed: Stimp about 5 (4 to 6), from memory, low; rest choice",
    ),
    Turf(
        kind=TurfKind.LIGHT_ROUGH,
        stimp_ratio=0.20,
        restitution_scale=0.70,
        tilt_scale=1.30,
        sliding_friction=0.50,
        plug_speed=18.0,
        source="speed: Stimp about 2 (1 to 3), from memory, low; rest choice",
    ),
    Turf(
        kind=TurfKind.HEAVY_ROUGH,
        stimp_ratio=0.08,
        restitution_scale=0.40,
        tilt_scale=1.50,
        sliding_friction=0.60,
        plug_speed=18.0,
        source=_CHOICE,
    ),
    Turf(
        kind=TurfKind.BARE,
        stimp_ratio=0.80,
        restitution_scale=1.25,
        tilt_scale=0.75,
        source=_CHOICE + "; firmer than the green, rougher to roll on",
    ),
    Turf(
        kind=TurfKind.MAT,
        stimp_ratio=0.90,
        restitution_scale=1.30,
        tilt_scale=0.50,
        source=_CHOICE + "; a thin mat over something hard",
    ),
    Turf(
        kind=TurfKind.TEMPORARY_GREEN,
        stimp_ratio=0.65,
        restitution_scale=0.95,
        tilt_scale=1.05,
        plug_speed=20.0,
        source=_CHOICE + "; fairway grass cut shorter",
    ),
    Turf(
        kind=TurfKind.BUNKER,
        stimp_ratio=0.05,
        restitution_scale=0.25,
        tilt_scale=2.00,
        friction=0.60,
        sliding_friction=0.60,
        plug_speed=9.0,
        source=_CHOICE + "; a lob into sand plugs, a chip does not",
    ),
    Turf(
        kind=TurfKind.WATER,
        stimp_ratio=0.01,
        restitution_scale=0.0,
        swallows=True,
        source="a ball that touches open water is lost: rule, not a measurement",
    ),
    Turf(
        kind=TurfKind.STANDING_WATER,
        stimp_ratio=0.18,
        restitution_scale=0.30,
        tilt_scale=1.50,
        friction=0.20,
        sliding_friction=0.20,
        plug_speed=5.0,
        source="speed: derived, 10 mm of water and a ball at 2 m/s; rest choice: it splashes, stops or plugs",
    ),
)

TURFS: dict[TurfKind, Turf] = {turf.kind: turf for turf in _TABLE}
#: The code of a kind in rasters and results is its place in this tuple.
KINDS: tuple[TurfKind, ...] = tuple(TurfKind)
CODES: dict[TurfKind, int] = {kind: code for code, kind in enumerate(KINDS)}


def turf_props(turfs: dict[TurfKind, Turf] | None = None) -> NDArray[np.float64]:
    """Property table of all kinds, shape (kinds, N_PROPS); `turfs` replaces rows of the usual table."""
    known = TURFS | (turfs or {})
    return np.array([known[kind].row() for kind in KINDS])
