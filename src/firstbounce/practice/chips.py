"""A player's chips to one hole, played by the model of shot and strike: what games are priced from.

The day is taken as known and the ball is landed where the club's usual run ends at the hole, two paces on the
green where that is possible: a good choice, not the best one. Lies and ground are level.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday, SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Plane
from firstbounce.planning.balls import Balls
from firstbounce.planning.chart import chart
from firstbounce.planning.luck import clean_luck, missed_luck
from firstbounce.planning.prices import TablePrices
from firstbounce.planning.scene import Scene
from firstbounce.planning.unknowns import Unknowns
from firstbounce.planning.worlds import air_today, player_as_learned
from firstbounce.players.player import Player
from firstbounce.players.strokes import strokes_table
from firstbounce.practice.runs import RunLaw, Runs, runs_of_chart
from firstbounce.shot.laws import HoleSpec, Laws
from firstbounce.words import Lie, LieKind, Point, TurfKind

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

EDGE_SHARE = 0.3  #: of the way to the hole that is off the green [choice]
ON_M = 1.8  #: landing spot past the edge: two paces, common practice
LEAST_CARRY_M = 1.5
CHART_CARRIES_M = (3.0, 6.0, 10.0, 16.0)


@dataclass(frozen=True, slots=True, eq=False)
class Chips:
    """n balls of one player to one hole, arrays one row a ball."""

    distance_m: float  #: start to hole
    club: str
    carry_m: float  #: that was meant
    left: Floats  #: from the finish to the hole; 0 when holed [m]
    holed: Bools
    on_green: Bools
    strokes: Floats  #: expected strokes still to play [-]
    run: Floats  #: landed to finished [m]
    clean: Bools


@dataclass(frozen=True, slots=True, eq=False)
class Chipper:
    """One player on one day, ready to chip."""

    fit: Fit
    today: GreenToday
    runs: Runs

    @property
    def player(self) -> Player:
        """With the spread that the balls show."""
        return player_as_learned(self.fit)

    def choice(self, distance_m: float) -> tuple[RunLaw, float]:
        """Club and carry [m] for a hole this far away."""
        edge = EDGE_SHARE * distance_m
        wanted = max(edge + ON_M, LEAST_CARRY_M)
        law = min(self.runs.laws, key=lambda one: abs(one.total_m(wanted) - distance_m))
        return law, min(max(law.carry_for(distance_m), edge + 0.5 * ON_M), distance_m)

    def chips(
        self, distance_m: float, n: int, rng: np.random.Generator, lie: LieKind = LieKind.FAIRWAY
    ) -> Chips:
        """n balls to a hole this far away [m], mishits among them."""
        law, carry = self.choice(distance_m)
        scene = self._scene(distance_m, lie)
        club = scene.player.bag.club(law.club)
        missed = rng.random(n) < scene.mishit_share
        k = max(int(missed.sum()), 1)
        clean, luck = clean_luck(rng, n, scene.run_tail), missed_luck(rng, k, scene.run_tail)
        carries, azimuths = scene.errors.land(np.full(n, carry), np.zeros(n), clean.normals)
        good = scene.clean(club, carries, azimuths, np.zeros(n, dtype=np.int64), clean.luck)
        bad = scene.mishits(
            club, np.full(k, carry), np.zeros(k), np.zeros(k, dtype=np.int64), luck.noise, luck.luck
        )
        rows = np.flatnonzero(missed)
        order = rng.permutation(n)
        left, holed, on_green, strokes, run = _joined(good, bad, rows, distance_m)
        return Chips(
            distance_m=distance_m,
            club=law.club,
            carry_m=carry,
            left=left[order],
            holed=holed[order],
            on_green=on_green[order],
            strokes=strokes[order],
            run=run[order],
            clean=~missed[order],
        )

    def _scene(self, distance_m: float, lie: LieKind) -> Scene:
        player, edge = self.player, EDGE_SHARE * distance_m
        outline = ((-14.0, edge), (14.0, edge), (14.0, distance_m + 14.0), (-14.0, distance_m + 14.0))
        ground = Ground(
            surface=Plane((0, 0, 0), 0.0, 0.0), outline=outline, around=TurfKind.LIGHT_ROUGH, fringe_m=1.0
        )
        start, hole, from_lie = Point(0.0, 0.0), Point(0.0, distance_m), Lie(kind=lie, wet=self.fit.wet)
        return Scene(
            start=start,
            hole=HoleSpec(0.0, distance_m, False),
            lie=from_lie,
            player=player,
            grounds=(ground,),
            unknowns=Unknowns.of(self.fit.middle(from_lie)),
            prices=TablePrices(strokes_table(player), start, hole),
            air=air_today(self.today),
            laws=Laws(),
            run_tail=self.fit.assumed.tail,
        )


def chipper(player: Player, *, fit: Fit | None = None, today: GreenToday | None = None) -> Chipper:
    """The player of a fit on its day; without one what is usual, on a medium green."""
    day = fit.today if fit else today or GreenToday.of_words(SpeedWord.MEDIUM, FirmnessWord.MEDIUM)
    known = fit or prior_fit(player, day)
    return Chipper(known, day, runs_of_chart(chart(player, day, fit=known, carries_m=CHART_CARRIES_M)))


def _joined(
    good: Balls, bad: Balls, rows: NDArray[np.intp], distance_m: float
) -> tuple[Floats, Bools, Bools, Floats, Floats]:
    """Clean balls with the mishits put into their rows: left, holed, on green, strokes, run."""
    hole = np.array([0.0, distance_m])

    def of(balls: Balls) -> list[NDArray]:
        left = np.hypot(*(balls.finished - hole).T)
        return [np.where(balls.holed, 0.0, left), balls.holed, balls.on_green, balls.cost - 1, balls.run]

    columns = of(good)
    for column, other in zip(columns, of(bad), strict=True):
        column[rows] = other[: len(rows)]
    return tuple(columns)  # type: ignore[return-value]
