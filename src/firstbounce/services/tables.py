"""Tables of carry and run for a phone without a connection: made here, read between the lines on the phone.

One table a player: for each club and each slope along the line, the run at a row of carries, with where nine
of ten clean strikes end, and for each carry the player's usual spread and landing circle.
`web/static/tables.js` interpolates; a test compares it with `forecast` between the rows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.predict import forecast
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.ground.slopes import SlopeWord, slope_of_word
from firstbounce.ground.surface import Bounds, Plane
from firstbounce.ground.turf import TURFS
from firstbounce.planning.asked import turf_short_of_green
from firstbounce.planning.scene import GRASS_SD, PUTTABLE, ROUGH_HEADING
from firstbounce.planning.worlds import air_today
from firstbounce.players.circle import landing_circle_m
from firstbounce.players.clubs import Club
from firstbounce.players.player import Player
from firstbounce.shot.laws import SCATTER_HEADING, SCATTER_SD, AirSpec, Laws
from firstbounce.units import GRAVITY, stimp_to_deceleration
from firstbounce.words import Lie, Point

FORMAT = 1
CARRIES_M = (
    1.0,
    1.1,
    1.2,
    1.35,
    1.5,
    1.55,
    1.65,
    1.8,
    2.0,
    2.25,
    2.5,
    3.0,
    3.5,
    4.0,
    4.5,
    5.0,
    5.75,
    6.5,
    7.25,
    8.0,
    9.0,
    10.0,
    11.25,
    12.5,
    13.75,
    15.0,
    16.5,
    18.0,
    20.0,
    21.25,
    22.5,
    23.5,
    24.5,
    27.0,
    28.5,
    30.0,
    31.0,
    32.0,
    33.0,
    34.5,
    36.0,
    38.0,
    39.0,
    40.0,
)  #: close together where ranges change fast: the shortest chips, and lob wedges at their longest
CIRCLE_SHARE = 0.7  #: of clean strikes that the circle holds


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubTable:
    """Runs of one club [m], one for each carry of the table."""

    club: str
    loft_deg: float
    run_m: tuple[float, ...]
    low_m: tuple[float, ...]  #: nine of ten clean strikes run from here
    high_m: tuple[float, ...]  #: to here

    def to_dict(self) -> dict[str, Any]:
        """Three decimals are a millimetre."""
        rows = {"run_m": self.run_m, "low_m": self.low_m, "high_m": self.high_m}
        rounded = {name: [round(value, 3) for value in values] for name, values in rows.items()}
        return {"club": self.club, "loft_deg": self.loft_deg, **rounded}


@dataclass(frozen=True, slots=True, kw_only=True)
class PutterTable:
    """What a phone needs to say how near a putt over grass and green comes to rest, in closed form.

    A putt rolls with a constant deceleration on each turf, so that no rows are needed: `tables.js` has the
    equations. Errors are the player's own; what grass does by chance is as in a plan.
    """

    deceleration: float  #: of the green [m/s2]
    pull: dict[str, float]  #: of the slope along the line [m/s2], by its word
    stimp_ratio: dict[str, float]  #: of the grass short of the green, by the lies that can be putted from [-]
    distance_share: float  #: sd of the length rolled over the length meant [-]
    direction: float  #: sd [rad]
    grass_sd: float  #: ln deceleration of longer grass [-]
    heading_sd: float  #: turn that a green gives a roll [rad]
    rough_heading: float  #: the same in longer grass over that of the green [-]

    def to_dict(self) -> dict[str, Any]:
        """Five digits are more than is known."""
        words = {"pull": self.pull, "stimp_ratio": self.stimp_ratio}
        numbers = {
            "deceleration": self.deceleration,
            "distance_share": self.distance_share,
            "direction": self.direction,
            "grass_sd": self.grass_sd,
            "heading_sd": self.heading_sd,
            "rough_heading": self.rough_heading,
        }
        told: dict[str, Any] = {name: float(f"{value:.5g}") for name, value in numbers.items()}
        for name, values in words.items():
            told[name] = {word: float(f"{value:.5g}") for word, value in values.items()}
        return told


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseTable:
    """All that a phone needs to choose a club for one player."""

    carries_m: tuple[float, ...]
    circle_m: tuple[float, ...]  #: radius that holds seven of ten clean strikes
    along_m: tuple[float, ...]  #: usual error of the carry, one standard deviation
    across_m: tuple[float, ...]
    slopes: dict[str, tuple[ClubTable, ...]]
    putter: PutterTable | None  #: None without a putter in the bag
    learned_from: int

    def to_dict(self) -> dict[str, Any]:
        """The shape that the phone keeps."""
        spreads = {"circle_m": self.circle_m, "along_m": self.along_m, "across_m": self.across_m}
        return {
            "format": FORMAT,
            "carries_m": list(self.carries_m),
            **{name: [round(value, 3) for value in values] for name, values in spreads.items()},
            "slopes": {word: [one.to_dict() for one in clubs] for word, clubs in self.slopes.items()},
            "putter": None if self.putter is None else self.putter.to_dict(),
            "learned_from_balls": self.learned_from,
        }


def course_table(player: Player, today: GreenToday | None = None, fit: Fit | None = None) -> CourseTable:
    """The table of a player on a day; without a fit everything is what is usual for the level."""
    day = today or GreenToday()
    known = fit or prior_fit(player, day)
    air = air_today(day)
    spread, mishits = known.player.spread, known.player.mishits
    return CourseTable(
        carries_m=CARRIES_M,
        circle_m=tuple(
            float(landing_circle_m(CIRCLE_SHARE, spread=spread, mishits=mishits, carry_m=carry))
            for carry in CARRIES_M
        ),
        along_m=tuple(float(spread.along_m(carry)) for carry in CARRIES_M),
        across_m=tuple(float(spread.across_m(carry)) for carry in CARRIES_M),
        slopes={str(word): _clubs(known, word, air) for word in SlopeWord},
        putter=_putter(known.player, known.stimp_ft.value),
        learned_from=known.n_balls if known.verdict == "fitted" else 0,
    )


def _putter(player: Player, stimp_ft: float) -> PutterTable | None:
    if all(not club.is_putter for club in player.bag.clubs):
        return None
    pull = Laws().slope_gain * 5 / 7 * GRAVITY
    skill = player.putting
    return PutterTable(
        deceleration=stimp_to_deceleration(stimp_ft),
        pull={str(word): pull * slope_of_word(word).value / 100 for word in SlopeWord},
        stimp_ratio={str(lie): TURFS[turf_short_of_green(lie)].stimp_ratio for lie in sorted(PUTTABLE)},
        distance_share=skill.distance_share,
        direction=math.radians(skill.angle_deg),
        grass_sd=GRASS_SD,
        heading_sd=SCATTER_SD[SCATTER_HEADING],
        rough_heading=ROUGH_HEADING,
    )


def _clubs(known: Fit, word: SlopeWord, air: AirSpec) -> tuple[ClubTable, ...]:
    ground = sloping(word)
    return tuple(_club(known, club, ground, air) for club in known.player.bag.lofted)


def _club(known: Fit, club: Club, ground: Ground, air: AirSpec) -> ClubTable:
    n = len(CARRIES_M)
    spots = [Point(0.0, carry) for carry in CARRIES_M]
    shots = shots_of(known.player, [club.name] * n, [Point(0.0, 0.0)] * n, spots, [Lie(wet=known.wet)] * n)
    runs = forecast(known, ground, shots, air=air)
    return ClubTable(
        club=club.name,
        loft_deg=club.loft_deg,
        run_m=tuple(float(run) for run in runs.run),
        low_m=tuple(float(low) for low in runs.ball_90[:, 0]),
        high_m=tuple(float(high) for high in runs.ball_90[:, 1]),
    )


def sloping(word: SlopeWord) -> Ground:
    """A large green that slopes along the line as the word says."""
    slope = slope_of_word(word)
    ends = Bounds(-20.0, 20.0, -10.0, 150.0)
    plane = Plane.of_gradient((0.0, slope.value / 100), gradient_cov=((0.0, 0.0), (0.0, 0.0)))
    outline = ((-20.0, -10.0), (20.0, -10.0), (20.0, 150.0), (-20.0, 150.0))
    return Ground(surface=plane, outline=outline, bounds=ends)
