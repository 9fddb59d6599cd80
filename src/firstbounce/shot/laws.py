"""Which laws a shot follows, and the plain numbers that kernels read. No compiler is imported here.

The constants of the ball and of each law stand here once, with their source, and reach the kernels as
arguments. Numbers tagged "from memory" or "choice" are not evidence; see docs/shot/*.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import NamedTuple

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.units import GRAVITY
from firstbounce.words import Outcome

BALL_MASS = 0.04593  #: heaviest allowed ball, 1.620 oz (rule book 2016, App. III, read) [kg]
BALL_RADIUS = 0.021335  #: half the smallest allowed diameter, 1.680 in (same, read) [m]
BALL_AREA = math.pi * BALL_RADIUS**2  #: [m2]
SOLID_SPHERE = 2 / 5  #: moment of inertia over m r^2, uniform sphere (choice; real balls 0.37 to 0.41) [-]
HOLE_RADIUS = 0.054  #: 4.25 in hole, read [m]
LAST_APEX = 0.005  #: hops end when the next would rise less than this (choice) [m]
MOST_BOUNCES = 20  #: cap on hops; n_bounces equal to it is the flag that it was reached [-]

#: Outcome of each code in Played.outcome.
OUTCOMES: tuple[Outcome, ...] = (
    Outcome.STOPPED,
    Outcome.HOLED_ROLLING,
    Outcome.HOLED_FLYING,
    Outcome.CANNOT_STOP,
    Outcome.LEFT_MAP,
    Outcome.IN_WATER,
    Outcome.PLUGGED,
)
STOPPED, HOLED_ROLLING, HOLED_FLYING, CANNOT_STOP, LEFT_MAP, IN_WATER, PLUGGED = range(7)

#: Columns of the ground's own scatter, each in its unit; standard sizes stand beside (choices unless said).
SCATTER_TILT_ALONG = (
    0  #: tilt of the ground at the first bounce, along the flight, uphill positive [rad]; sd 0.02
)
SCATTER_TILT_ACROSS = 1  #: the same across the flight, positive kicks to the right [rad]; sd 0.02
SCATTER_RESTITUTION = 2  #: added to ln restitution at the first bounce [-]; sd 0.10
SCATTER_TILT_ALONG_2 = 3  #: second bounce [rad]; sd 0.02
SCATTER_TILT_ACROSS_2 = 4  #: second bounce [rad]; sd 0.02
SCATTER_RESTITUTION_2 = 5  #: second bounce [-]; sd 0.10
SCATTER_HEADING = (
    6  #: turn of the roll to the right [rad]; sd 0.0049 pure bentgrass to 0.013 mixed (read, abstract)
)
SCATTER_DECELERATION = 7  #: added to ln deceleration of the roll [-]; sd 0.025 (Karlsen & Nilsson 2008)
SCATTER_LIP = 8  #: standard normal: how kind the rim of the hole is; sd 1
N_SCATTER = 9
SCATTER_SD: tuple[float, ...] = (0.02, 0.02, 0.10, 0.02, 0.02, 0.10, 0.0049, 0.025, 1.0)


class BounceLaw(IntEnum):
    """What the ground does to a landing ball."""

    SETTLING = 0  #: tilted plane that settles at grazing angles; recommended
    PENNER_2002 = 1  #: the original tilted plane
    CROSS_2002 = 2  #: grip with tangential restitution, restitution falling with speed


class AeroLaw(IntEnum):
    """Drag and lift of a dimpled ball."""

    CHIP_RANGE = 0  #: sigmoid drag through the crisis, saturating lift; recommended
    SMITS_SMITH_1994 = 1  #: wind tunnel fit at full-shot speeds, held at its ends below
    CONSTANT = 2  #: one drag and one lift coefficient


class RollLaw(IntEnum):
    """Rolling deceleration on level ground."""

    CONSTANT = 0  #: a0 from Stimp; recommended
    SPEED_DEPENDENT = 1  #: a0 (1 + k (v - 1 m/s))


class CaptureLaw(IntEnum):
    """How fast a rolling ball may pass the hole and still drop."""

    HOLMES_1991 = 0  #: Penner's fit to Holmes's numbers; recommended
    FREE_FALL = 1  #: the ball must drop one radius before the far rim


@dataclass(frozen=True, slots=True, kw_only=True)
class BounceNumbers:
    """Constants of the bounce laws. Defaults: Penner 2002, from memory; grip values are choices."""

    restitution_at_rest: float = 0.510  #: e of a slow ball [-]
    restitution_slope: float = 0.0375  #: [s/m]
    restitution_curve: float = 0.000903  #: [s2/m2]
    restitution_floor: float = 0.120  #: e above 20 m/s [-]
    restitution_cap: float = 0.9  #: no rebound above this [-]
    tilt: float = math.radians(15.4)  #: at 18.6 m/s, 44.4 degrees from the normal [rad]
    grip_speed: float = 8.0  #: CROSS_2002: e halves at this speed into the ground [m/s]
    grip_restitution: float = 0.2  #: CROSS_2002: tangential restitution while gripping [-]
    grip_tilt: float = math.radians(6.0)  #: CROSS_2002: tilt of the pocket at 45 degrees, any speed [rad]

    def __post_init__(self) -> None:
        if not (0 <= self.restitution_at_rest <= 1 and 0 <= self.restitution_cap <= 1):
            raise ParameterError("Restitution of a bounce law must lie between 0 and 1.")
        if not 0 <= self.grip_restitution <= 1:
            raise ParameterError("Tangential restitution must lie between 0 and 1.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Laws:
    """The laws of one world. The defaults are the recommended model (docs/shot/chain.md)."""

    bounce: BounceLaw = BounceLaw.SETTLING
    aero: AeroLaw = AeroLaw.CHIP_RANGE
    roll: RollLaw = RollLaw.CONSTANT
    capture: CaptureLaw = CaptureLaw.HOLMES_1991
    bounce_numbers: BounceNumbers = field(default_factory=BounceNumbers)
    cd_scale: float = 1.0  #: factor on drag; uncertainty 0.8 to 1.2 [-]
    cl_scale: float = 1.0  #: factor on lift; uncertainty 0.3 to 1.2 [-]
    roll_speed_slope: float = 0.1  #: SPEED_DEPENDENT: k [s/m]
    slope_gain: float = 1.0  #: factor on the 5/7 of gravity's downhill part; 1.0 to 1.4 [-]
    flagstick_gain: float = (
        1.5  #: stick in, within 10 mm of the centre: factor on the capture speed (choice) [-]
    )
    lip_width: float = 0.08  #: softness of the capture boundary, one standard size (choice) [m/s]

    def __post_init__(self) -> None:
        if not (self.cd_scale >= 0 and self.cl_scale >= 0 and self.slope_gain >= 0):
            raise ParameterError("Factors on drag, lift and slope must be 0 or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class AirSpec:
    """Air and wind as the kernels need them. `shot.air` makes density and viscosity from the weather."""

    density: float = 1.20  #: [kg/m3]
    viscosity: float = 1.512e-5  #: kinematic, 20 C [m2/s]
    wind_x: float = 0.0  #: wind blowing toward +x (right) at the reference height [m/s]
    wind_y: float = 0.0  #: wind blowing toward +y (away) at the reference height [m/s]
    reference_height: float = 1.7  #: head height [m]
    roughness: float = 0.01  #: short grass 0.008 to 0.02 (Brutsaert, Table 2.6, read) [m]

    def __post_init__(self) -> None:
        if not (self.density >= 0 and self.viscosity > 0 and self.roughness > 0):
            raise ParameterError("Air needs density 0 or more, viscosity and roughness above 0.")
        if not math.hypot(self.wind_x, self.wind_y) <= 25:
            raise OutOfRange(
                "Wind above 25 m/s at head height is a storm: nobody chips in it; check the number."
            )


NO_AIR = AirSpec(density=0.0)


@dataclass(frozen=True, slots=True)
class HoleSpec:
    """The hole: its centre [m] and whether the flagstick stands in it."""

    x: float
    y: float
    flagstick: bool = False


class Numbers(NamedTuple):
    """Every constant of one call, as bare floats for the kernels."""

    gravity: float
    radius: float
    force: float  #: 0.5 density area / mass [1/m]
    reynolds: float  #: Reynolds number per speed, diameter / viscosity [s/m]
    spin_decay: float  #: [1/m]
    wind_x: float
    wind_y: float
    windy: float  #: 1 when there is wind, else 0
    wind_gain: float  #: 1 / ln(1 + z_ref / z0)
    inv_roughness: float
    cd_scale: float
    cl_scale: float
    e0: float
    e1: float
    e2: float
    e_floor: float
    e_cap: float
    tilt: float
    grip_speed: float
    grip_restitution: float
    grip_tilt: float
    roll_speed_slope: float  #: 0 under the constant law
    pull: float  #: slope_gain 5/7 gravity [m/s2]
    hole: float  #: 1 when there is a hole, else 0
    hole_x: float
    hole_y: float
    hole_radius: float
    stick_gain: float  #: 1 without flagstick
    lip_width: float
    last_apex: float
    flight_step: float  #: longest step in the air [s]
    flight_share: float  #: longest step over the time in which gravity turns the ball, speed / g [-]
    roll_step: float  #: longest step on the ground [m]
    roll_time: float  #: longest step on the ground [s]
    stop_length: float  #: the rest of a roll is solved in closed form when shorter than this [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Sizes of the integrator's steps. The defaults are those of the accuracy benchmark."""

    flight_s: float = 0.2  #: longest in the air [s]
    turn_share: float = 0.5  #: of the time in which gravity turns a slow ball [-]
    roll_m: float = 1.2  #: longest on the ground [m]
    roll_s: float = 1.2  #: longest on the ground [s]
    stop_m: float = 0.15  #: what is left of a roll when it is ended in closed form [m]

    def on(self, cell: float) -> Steps:
        """The same over a surface of this node distance [m]: no step over much more than a cell."""
        return replace(self, roll_m=min(self.roll_m, max(1.2 * cell, 0.1)))


def numbers(laws: Laws, air: AirSpec, hole: HoleSpec | None, steps: Steps) -> Numbers:
    """All constants of one call."""
    b = laws.bounce_numbers
    n = Numbers(
        gravity=GRAVITY,
        radius=BALL_RADIUS,
        force=0.5 * air.density * BALL_AREA / BALL_MASS,
        reynolds=2 * BALL_RADIUS / air.viscosity,
        spin_decay=2.0e-5 / BALL_RADIUS if air.density > 0 else 0.0,
        wind_x=air.wind_x,
        wind_y=air.wind_y,
        windy=float(air.density > 0 and (air.wind_x != 0 or air.wind_y != 0)),
        wind_gain=1 / math.log1p(air.reference_height / air.roughness),
        inv_roughness=1 / air.roughness,
        cd_scale=laws.cd_scale,
        cl_scale=laws.cl_scale,
        e0=b.restitution_at_rest,
        e1=b.restitution_slope,
        e2=b.restitution_curve,
        e_floor=b.restitution_floor,
        e_cap=b.restitution_cap,
        tilt=b.tilt,
        grip_speed=b.grip_speed,
        grip_restitution=b.grip_restitution,
        grip_tilt=b.grip_tilt,
        roll_speed_slope=laws.roll_speed_slope if laws.roll == RollLaw.SPEED_DEPENDENT else 0.0,
        pull=laws.slope_gain * 5 / 7 * GRAVITY,
        hole=float(hole is not None),
        hole_x=hole.x if hole else 0.0,
        hole_y=hole.y if hole else 0.0,
        hole_radius=HOLE_RADIUS,
        stick_gain=laws.flagstick_gain if hole and hole.flagstick else 1.0,
        lip_width=laws.lip_width,
        last_apex=LAST_APEX,
        flight_step=steps.flight_s,
        flight_share=steps.turn_share,
        roll_step=steps.roll_m,
        roll_time=steps.roll_s,
        stop_length=steps.stop_m,
    )
    return Numbers(*map(float, n))
