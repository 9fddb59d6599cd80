"""Sets of balls at one station in the rival world, with something wrong or nothing, to be reviewed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from benchmarks.fit_days import BOUNDS, LEVELS, START, bag, contoured, random_carry
from firstbounce.checks.rival import RivalDay, RivalDelivery, RivalLaws, draw_delivery, draw_laws, rival_turf
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.forward import World, forward
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.clubs import Club
from firstbounce.players.player import Player, player_of_level
from firstbounce.players.spread import Spread
from firstbounce.review.usual import known_player
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Estimate, Lie, Point, Source, Strike

Floats = NDArray[np.float64]

STATION_CLUBS = ("9i", "PW", "GW", "SW")
READING_SD_FT, DROP_SD = 0.4, 0.10  #: how well the coach reads the speed [ft] and drops for firmness [-]
EARLIER_DAYS, EARLIER_BALLS, SAME_DAY_BALLS = 4, 20, 24
TRUTH_BALLS = 150  #: clean balls that say where a landing spot really leads
SIZES = (5, 10, 20)
PLACING_M = 0.25

#: What is known when the plan is made.
KNOWN = {
    "nobody's balls": "the level only; speed read, firmness not",
    "earlier days": f"{EARLIER_DAYS} earlier days of {EARLIER_BALLS} balls; speed read, firmness not",
    "earlier days, drop test": "the same, firmness measured by a drop test each day",
    "same day": f"{SAME_DAY_BALLS} balls of the same day on the green as entered, half at this station",
}


@dataclass(frozen=True)
class Case:
    """What is wrong in a set."""

    name: str
    wrong: str  #: the verdict that is right: "", "plan", "strike" or "reading"
    also: str = ""  #: a second verdict that is true as well
    finish_m: float = 0.0  #: the finish from the spot past the hole by this much [m], sign by lot
    spot_m: float = 0.0  #: the landing spot too long by this much [m], sign by lot
    spread: float = 1.0  #: over the usual
    faster_ft: float = 0.0  #: than entered
    by_model: bool = False  #: the hole stands where the model has a ball from the spot finish
    bias_m: float = 0.0  #: landings long by this much [m], sign by lot
    mishits: bool = False  #: usual mishits, nothing tagged


CASES = (
    Case("nothing wrong", ""),
    Case("nothing wrong, untagged, with mishits", "", mishits=True),
    Case("landing spot 1.5 m wrong", "plan", spot_m=1.5),
    Case("finish from the spot 1.5 m wrong", "plan", finish_m=1.5),
    Case("landings spread twice as wide", "strike", spread=2.0),
    Case("landings 1.5 m long or short", "strike", bias_m=1.5),
    Case("green 2 ft faster, spot right", "reading", faster_ft=2.0),
    Case("green 2 ft faster, spot by the model", "reading", also="plan", faster_ft=2.0, by_model=True),
)


@dataclass(frozen=True)
class PlayerWorld:
    """One player with their true laws and delivery, a green, a station, and what was known before."""

    rng: np.random.Generator
    day: RivalDay  #: today, as entered
    club: Club
    carry: float
    fits: dict[str, Fit]  #: by KNOWN

    @property
    def spot(self) -> Point:
        return Point(0.0, self.carry)


def player_world(seed: int) -> PlayerWorld:
    """A player, their earlier days and today."""
    rng = np.random.default_rng([20261125, seed])
    player = player_of_level(LEVELS[int(rng.integers(len(LEVELS)))], bag=bag())
    laws, delivery = draw_laws(rng), draw_delivery(rng, player)
    club = player.bag.club(STATION_CLUBS[int(rng.integers(len(STATION_CLUBS)))])
    today = _day(rng, player, laws, delivery, contoured(rng))
    earlier = [_day(rng, player, laws, delivery, contoured(rng)) for _ in range(EARLIER_DAYS)]
    balls = [_mixed(rng, day, club, EARLIER_BALLS) for day in earlier]
    carry = random_carry(rng, club.loft_deg)
    return PlayerWorld(rng, today, club, carry, _known(rng, today, earlier, balls, club, carry))


def _day(
    rng: np.random.Generator, player: Player, laws: RivalLaws, delivery: RivalDelivery, ground: Ground
) -> RivalDay:
    """A day of the same nature and player: its own speed and firmness, read by the coach."""
    firmness = float(np.exp(rng.normal(0, 0.2)))
    stimp = float(rng.uniform(7.5, 9.5))
    drawn = replace(laws, firmness=firmness, stimp_ft=stimp)
    today = GreenToday(
        stimp_ft=Estimate(
            value=stimp + float(rng.normal(0, READING_SD_FT)), sd=READING_SD_FT, source=Source.MEASURED, n=6
        )
    )
    return RivalDay(
        laws=drawn,
        ground=rival_turf(ground, laws.turf_friction),
        player=player,
        delivery=delivery,
        today=today,
        air=AirSpec(),
    )


def _mixed(
    rng: np.random.Generator, day: RivalDay, club: Club, n: int, carry: float | None = None
) -> list[Ball]:
    """Balls of a day, strikes tagged: half with this club, half with another, at carries of every length.

    carry: of those with this club, when all are hit at one station [m].
    """
    others = [c for c in day.player.bag.clubs if abs(c.loft_deg - club.loft_deg) >= 4]
    other = others[int(rng.integers(len(others)))]
    hole, balls = Point(0.0, 16.0), []
    for one in (club, other):
        spots = [Point(0.0, random_carry(rng, one.loft_deg)) for _ in range(n // 2)]
        if carry is not None and one is club:
            spots = [Point(0.0, carry)] * (n // 2)
        balls += day.balls(rng, one, START, spots, hole, prefix=one.name, tagged=True)
    return balls


def _known(
    rng: np.random.Generator,
    today: RivalDay,
    earlier: Sequence[RivalDay],
    balls: Sequence[list[Ball]],
    club: Club,
    carry: float,
) -> dict[str, Fit]:
    """The model when the plan was made, by how much was known."""
    player = today.player
    dropped = [_dropped(rng, day) for day in (today, *earlier)]
    plain = [_fitted(day, day.today, b) for day, b in zip(earlier, balls, strict=True)]
    measured = [_fitted(day, t, b) for day, t, b in zip(earlier, dropped[1:], balls, strict=True)]
    same = _fitted(today, today.today, _mixed(rng, today, club, SAME_DAY_BALLS, carry))
    return {
        "nobody's balls": prior_fit(player, today.today),
        "earlier days": known_player(plain, player, today.today),
        "earlier days, drop test": known_player(measured, player, dropped[0]),
        "same day": same,
    }


def _dropped(rng: np.random.Generator, day: RivalDay) -> GreenToday:
    """The day with a drop test."""
    value = day.laws.firmness * float(np.exp(rng.normal(0, DROP_SD)))
    return replace(day.today, firmness=Estimate(value=value, sd=DROP_SD, source=Source.MEASURED, n=5))


def _fitted(day: RivalDay, today: GreenToday, balls: Sequence[Ball]) -> Fit:
    return fit(balls, today=today, ground=day.ground, player=day.player)


# -- sets -------------------------------------------------------------------------------------------


def set_of(world: PlayerWorld, case: Case, known: Fit, n: int) -> list[Ball]:
    """n balls at the station with this wrong; the hole stands where it makes the plan right or wrong."""
    rng, day = world.rng, world.day
    if case.faster_ft:
        faster = replace(day.laws, stimp_ft=day.laws.stimp_ft + case.faster_ft)
        day = replace(day, laws=faster)
    sign = 1.0 if rng.random() < 0.5 else -1.0
    hole = _hole(world, day, case, known, sign)
    landed, finished, strikes = _struck(rng, day, world, case, sign, n)
    return [
        Ball(
            id=f"{i + 1}",
            club=world.club.name,
            lie=Lie(),
            start=START,
            hole=hole,
            aim=world.spot,
            landed=_put(rng, landed[i]),
            finished=_put(rng, finished[i]),
            strike=strikes[i],
            landed_sd_m=PLACING_M,
            finished_sd_m=PLACING_M,
        )
        for i in range(n)
    ]


def _hole(world: PlayerWorld, day: RivalDay, case: Case, known: Fit, sign: float) -> Point:
    """Where the hole stands: at the true finish from the spot, or off it by what is wrong."""
    if case.by_model:
        end = model_finish(known, day.ground, world.club, world.spot)
    else:
        spot = np.array([0.0, world.carry - sign * case.spot_m])
        spot[1] = max(spot[1], 1.0)
        played = day.clean(world.rng, world.club, START, np.tile(spot, (TRUTH_BALLS, 1)))
        end = played.finished[:, :2].mean(axis=0)
    way = end / max(float(np.hypot(*end)), 1e-9)
    x, y = end - sign * case.finish_m * way
    return Point(float(np.clip(x, *BOUNDS[:2])), float(np.clip(y, *BOUNDS[2:])))


def model_finish(known: Fit, ground: Ground, club: Club, spot: Point) -> Floats:
    """Where the model has a ball from the spot finish (2,) [m]."""
    shots = shots_of(known.player, [club.name], [START], [spot], [Lie()])
    world = World(ground.compiled(), known.today, known.player, known.layout, AirSpec(), Laws())
    return forward(world, known.theta, shots).finish[0]


def _struck(
    rng: np.random.Generator, day: RivalDay, world: PlayerWorld, case: Case, sign: float, n: int
) -> tuple[Floats, Floats, list[Strike | None]]:
    """Landings and finishes (n, 2) [m]."""
    spread = day.player.spread
    wide = Spread(
        floor_m=spread.floor_m * case.spread,
        share=spread.share * case.spread,
        direction_deg=spread.direction_deg * case.spread,
    )
    aimed = Point(0.0, world.carry + sign * case.bias_m)
    if case.mishits:
        hit = day.strike(rng, world.club, START, aimed, n)
        return hit.played.landed[:, :2], hit.played.finished[:, :2], [None] * n
    along = rng.normal(0, float(wide.along_m(world.carry)), n)
    across = rng.normal(0, float(wide.across_m(world.carry)), n)
    spots = np.column_stack([across, np.maximum(aimed.y_m + along, 0.7)])
    played = day.clean(rng, world.club, START, spots)
    return played.landed[:, :2], played.finished[:, :2], [Strike.CLEAN] * n


def _put(rng: np.random.Generator, place: Floats) -> Point:
    x, y = place + rng.normal(0, PLACING_M, 2)
    return Point(round(float(x), 2), round(float(y), 2))
