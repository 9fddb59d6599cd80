"""Tables of carry and run for a phone without a connection: made here, read between the lines on the phone.

One table a player: for each club and each slope along the line, the run at a row of carries, with where nine
of ten clean strikes end, and for each carry the player's usual spread and landing circle.
`web/static/tables.js` interpolates; a test compares it with `forecast` between the rows.
"""

from __future__ import annotations

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
from firstbounce.planning.worlds import air_today
from firstbounce.players.circle import landing_circle_m
from firstbounce.players.clubs import Club
from firstbounce.players.player import Player
from firstbounce.shot.laws import AirSpec
from firstbounce.words import Lie, Point

FORMAT = 1
CARRIES_M = (
    1.0,
    1.25,
    1.5,
    1.75,
    2.0,
    2.5,
    3.0,
    3.5,
    4.0,
    5.0,
    6.5,
    8.0,
    10.0,
    12.5,
    15.0,
    18.0,
    22.0,
    27.0,
    33.0,
    40.0,
)
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
class CourseTable:
    """All that a phone needs to choose a club for one player."""

    carries_m: tuple[float, ...]
    circle_m: tuple[float, ...]  #: radius that holds seven of ten clean strikes
    along_m: tuple[float, ...]  #: usual error of the carry, one standard deviation
    across_m: tuple[float, ...]
    slopes: dict[str, tuple[ClubTable, ...]]
    learned_from: int

    def to_dict(self) -> dict[str, Any]:
        """The shape that the phone keeps."""
        spreads = {"circle_m": self.circle_m, "along_m": self.along_m, "across_m": self.across_m}
        return {
            "format": FORMAT,
            "carries_m": list(self.carries_m),
            **{name: [round(value, 3) for value in values] for name, values in spreads.items()},
            "slopes": {word: [one.to_dict() for one in clubs] for word, clubs in self.slopes.items()},
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
        learned_from=known.n_balls if known.verdict == "fitted" else 0,
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
