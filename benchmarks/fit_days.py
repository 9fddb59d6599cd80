"""Days of the rival world with logged balls, and what the clubs that were not logged really do that day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.checks.rival import RivalDay
from firstbounce.checks.rival_laws import FAMILIES
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import HeightGrid, Plane
from firstbounce.players.clubs import Bag, Club, usual_club
from firstbounce.players.player import player_of_level
from firstbounce.words import Ball, Level, Lie, Point

Floats = NDArray[np.float64]

CLUBS = ("7i", "8i", "9i", "PW", "GW", "SW", "LW")
#: The trade's run for one of carry, by loft [deg]: "rule of 12" (common practice, no source).
RULE_LOFT, RULE_RATIO = (34.0, 38.0, 42.0, 46.0, 50.0, 56.0, 60.0), (5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.75)
USUAL_RATIO = (4.1, 3.1, 2.4, 1.9, 1.3, 0.7, 0.5)  #: run over carry that is usual for these lofts
LEVELS = (Level.SINGLE_FIGURE, Level.TEN_TO_EIGHTEEN, Level.NINETEEN_TO_TWENTY_EIGHT)
START, HOLE = Point(0.0, 0.0), Point(1.5, 19.0)
BOUNDS = (-45.0, 45.0, -10.0, 100.0)
TRUTH_BALLS, SINGLE_BALLS = 70, 10


@dataclass(frozen=True)
class Tried:
    """One unlogged club at one carry: the truth of the day."""

    club: int
    carry: float
    mean_run: float  #: over many balls, each landing on the spot
    runs: Floats  #: single balls, not those of the mean


@dataclass(frozen=True)
class LoggedDay:
    """A rival day, its logged balls and the truth of the other clubs."""

    day: RivalDay
    balls: list[Ball]
    logged: tuple[str, str]
    tried: list[Tried]

    def shots(self) -> Shots:
        """The unlogged clubs' strokes."""
        clubs = [CLUBS[t.club] for t in self.tried]
        spots = [Point(0.0, t.carry) for t in self.tried]
        return shots_of(self.day.player, clubs, [START] * len(spots), spots, [Lie()] * len(spots))


def bag() -> Bag:
    """Usual lofts, read off the clubs."""
    return Bag(tuple(Club(name=name, loft_deg=usual_club(name).loft_deg, loft_sd_deg=0.5) for name in CLUBS))


def rule_run(loft_deg: Floats, carry: Floats) -> Floats:
    """Run by the trade's carry-to-run rule [m]."""
    return np.asarray(np.interp(loft_deg, RULE_LOFT, RULE_RATIO) * carry)


def contoured(rng: np.random.Generator) -> Ground:
    """An all-green map with up to 2.5 % of slope and a few humps."""
    plane = Plane((0.0, 0.0, 0.0), float(rng.uniform(0, 2.5)), float(rng.uniform(0, 360)))
    x, y = np.arange(BOUNDS[0], BOUNDS[1] + 1), np.arange(BOUNDS[2], BOUNDS[3] + 1)
    grid = plane.height(x[None, :], y[:, None])
    for _ in range(5):
        cx, cy, wide = rng.uniform(-10, 10), rng.uniform(0, 40), rng.uniform(3, 8)
        hump = np.exp(-((x[None, :] - cx) ** 2 + (y[:, None] - cy) ** 2) / (2 * wide**2))
        grid = grid + rng.normal(0, 0.05) * hump
    return Ground(
        surface=HeightGrid(BOUNDS[0], BOUNDS[2], 1.0, grid), around=Ground.level().around, bounds=BOUNDS
    )


def random_carry(rng: np.random.Generator, loft_deg: float) -> float:
    """A carry [m] for a shot of 8 to 36 m with this club on a usual green: the same shots for every club."""
    ratio = float(np.interp(loft_deg, RULE_LOFT, USUAL_RATIO))
    return max(float(rng.uniform(8.0, 36.0)) / (1 + ratio), 2.0)


def shorter_carry(rng: np.random.Generator, loft_deg: float) -> float:
    """A carry [m] near the green: 3 to 7 m with the low lofts, 3 to 13 m with the wedges."""
    return float(rng.uniform(3.0, 7.0 if loft_deg < 44 else 13.0))


Carry = Callable[[np.random.Generator, float], float]
MIXES: dict[str, Carry] = {"stated": random_carry, "shorter": shorter_carry}


def logged_day(
    rng: np.random.Generator,
    families: Sequence[str] = FAMILIES,
    n_balls: int = 12,
    carry: Carry = random_carry,
) -> LoggedDay:
    """A day with n balls hit with two clubs at least 8 degrees apart, and the truth of the other clubs."""
    player = player_of_level(LEVELS[int(rng.integers(len(LEVELS)))], bag=bag())
    day = RivalDay.draw(rng, player=player, ground=contoured(rng), families=families)
    lofts = [club.loft_deg for club in player.bag.clubs]
    pair = [0, 0]
    while abs(lofts[pair[0]] - lofts[pair[1]]) < 8:
        pair = [int(i) for i in rng.choice(len(CLUBS), 2, replace=False)]
    balls = []
    for k, i in enumerate(pair):
        share = n_balls // 2 + (n_balls % 2 if k == 0 else 0)
        spots = [Point(0.0, carry(rng, lofts[i])) for _ in range(share)]
        balls += day.balls(rng, player.bag.clubs[i], START, spots, HOLE, prefix=CLUBS[i])
    others = [i for i in range(len(CLUBS)) if i not in pair]
    tried = [_try(rng, day, i, carry(rng, lofts[i])) for i in others for _ in range(2)]
    return LoggedDay(day, balls, (CLUBS[pair[0]], CLUBS[pair[1]]), tried)


def _try(rng: np.random.Generator, day: RivalDay, club: int, carry: float) -> Tried:
    spots = np.tile([0.0, carry], (TRUTH_BALLS + SINGLE_BALLS, 1))
    played = day.clean(rng, day.player.bag.clubs[club], START, spots)
    runs = np.hypot(*(played.finished - played.landed)[:, :2].T)
    return Tried(club, carry, float(runs[:TRUTH_BALLS].mean()), runs[TRUTH_BALLS:])
