"""The station as the planner plays it: one place that turns intentions into balls with a price.

Everything random comes in as arrays, so that all clubs can be played with the same luck.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.ground import Ground
from firstbounce.ground.turf import STIMP_RATIO
from firstbounce.planning.balls import Balls
from firstbounce.planning.landing import SHORTEST_CARRY, Floats, LandingErrors
from firstbounce.planning.prices import Prices
from firstbounce.planning.unknowns import Unknowns
from firstbounce.players.clubs import Club
from firstbounce.players.mishits import StrikeNoise
from firstbounce.players.player import Hand, Player
from firstbounce.shot.aim import Aimed, aim
from firstbounce.shot.launch import face_contact, launch, stance_effect
from firstbounce.shot.laws import SCATTER_DECELERATION, SCATTER_HEADING, AirSpec, HoleSpec, Laws
from firstbounce.shot.play import Played, TrailPoint, play, play_on, roll, trace
from firstbounce.words import Lie, LieKind, Point

Indices = NDArray[np.int64]

#: Lies from which a putter rolls the ball: short grass or something smoother [common practice].
PUTTABLE = frozenset(
    {LieKind.GREEN, LieKind.FRINGE, LieKind.TIGHT, LieKind.FAIRWAY, LieKind.BARE, LieKind.MAT}
)

FASTEST_CLUB = 35.0  #: a full swing with a wedge; a mishit of more is not played [m/s], a choice
GRASS_SD = 0.15  #: ln deceleration of longer grass, from place to place and day to day [-], a choice
ROUGH_HEADING = 2.65  #: scatter of the heading there over that of a fine green: 13 over 4.9 mm per m (read)


class Luck(NamedTuple):
    """What the ground does by chance to n balls."""

    scatter: Floats  #: (n, N_SCATTER) in the units of shot/laws.py
    run: Floats  #: (n,) standard draws of the scatter of ln run [-]

    def rows(self, index: Any) -> Luck:
        """The balls of a slice or of row numbers."""
        return Luck(self.scatter[index], self.run[index])


@dataclass(frozen=True, eq=False)
class Scene:
    """A station, a player and everything that is known or unknown of the day."""

    start: Point
    hole: HoleSpec
    lie: Lie
    player: Player
    grounds: tuple[Ground, ...]  #: drawn surfaces, all with the same turf
    unknowns: Unknowns
    prices: Prices
    air: AirSpec
    laws: Laws
    run_tail: float = 5.0  #: degrees of freedom of the scatter of single runs [-]
    cancelled: Callable[[], bool] | None = None

    @property
    def distance(self) -> float:
        """Start to hole [m]."""
        return float(np.hypot(self.hole.x - self.start.x_m, self.hole.y - self.start.y_m))

    @property
    def bearing(self) -> float:
        """Direction from start to hole, from +y toward +x [rad]."""
        return float(np.arctan2(self.hole.x - self.start.x_m, self.hole.y - self.start.y_m))

    @property
    def errors(self) -> LandingErrors:
        """Where this player's clean strikes land from this lie."""
        return LandingErrors.of(self.player.spread, self.lie.kind)

    @property
    def mishit_share(self) -> float:
        return self.player.mishits.share_from(self.lie.kind)

    @property
    def bag(self) -> tuple[Club, ...]:
        """Clubs that can be used from this lie: the lofted ones, and the putter where the grass allows."""
        putter = self.lie.kind in PUTTABLE
        return tuple(club for club in self.player.bag.clubs if putter or not club.is_putter)

    def edge(self, azimuth: float) -> float | None:
        """Distance from the start to the near edge of the green in a direction [m]; None without one."""
        steps = np.arange(0.0, self.distance + 2.0, 0.05)
        places = self.places(steps, np.full(len(steps), azimuth))
        green = self.grounds[0].on_green(places[:, 0], places[:, 1])
        return None if green[0] or not green.any() else float(steps[int(green.argmax())])

    def with_unknowns(self, unknowns: Unknowns) -> Scene:
        return replace(self, unknowns=unknowns)

    def places(self, carry: Floats, azimuth: Floats) -> Floats:
        """Points (n, 2) [m] at a carry [m] and azimuth [rad] from the start."""
        along = np.column_stack([np.sin(azimuth), np.cos(azimuth)])
        return np.asarray(self.start) + carry[:, None] * along

    def clean(self, club: Club, carry: Floats, azimuth: Floats, draw: Indices, luck: Luck) -> Balls:
        """Clean strikes that land at carry [m] and azimuth [rad], in the worlds `draw`."""

        def some(rows: Indices, ground: Ground) -> Played:
            aimed = self._aimed(club, carry[rows], azimuth[rows], draw[rows], ground)
            return play_on(
                aimed.landed,
                aimed.landing_velocity,
                aimed.landing_spin,
                **self._world(club, carry[rows], draw[rows], luck.rows(rows), ground),
            )

        return self._balls(draw, some)

    def mishits(
        self, club: Club, carry: Floats, azimuth: Floats, draw: Indices, noise: StrikeNoise, luck: Luck
    ) -> Balls:
        """Mishits of strikes meant for carry [m] and azimuth [rad]; `noise` says which and how bad."""
        strikes = self.player.strikes(noise._replace(mishit=np.zeros(len(carry))), carry, self.lie.kind)
        meant = np.maximum(carry + strikes.along_m, SHORTEST_CARRY)
        contact = face_contact(self.lie)

        def some(rows: Indices, ground: Ground) -> Played:
            aimed = self._aimed(club, meant[rows], azimuth[rows], draw[rows], ground)
            loft, attack, face = self._delivery(club, meant[rows], draw[rows])
            struck = launch(
                np.minimum(aimed.speed, FASTEST_CLUB) * strikes.speed_factor[rows],
                loft * strikes.loft_factor[rows],
                attack,
                face_to_path=face,
                azimuth=aimed.azimuth + strikes.direction[rows],
                friction=contact.friction * strikes.friction_factor[rows],
                speed_factor=contact.speed_factor,
            )
            world = self._world(club, meant[rows], draw[rows], luck.rows(rows), ground)
            return play(self._tee(ground), struck.velocity, struck.spin, **world)

        return self._balls(draw, some)

    def putts(self, length: Floats, azimuth: Floats, draw: Indices, luck: Luck) -> Balls:
        """Putts from the start: `length` [m] is how far the pace rolls on the level green of that world."""
        speed = np.sqrt(2 * self.unknowns.deceleration[draw] * length)
        velocity = speed[:, None] * np.column_stack([np.sin(azimuth), np.cos(azimuth)])
        scatter = self._putt_scatter(luck)

        def some(rows: Indices, ground: Ground) -> Played:
            return roll(
                np.asarray(self.start),
                velocity[rows],
                ground=ground.compiled(),
                green_deceleration=self.unknowns.deceleration[draw[rows]],
                scatter=scatter[rows],
                hole=self.hole,
                laws=self.laws,
                cancelled=self.cancelled,
            )

        return self._balls(draw, some)

    def _putt_scatter(self, luck: Luck) -> Floats:
        """The ground's chance for putts: longer grass on the way holds the ball more or less."""
        scatter = luck.scatter.copy()
        scatter[:, SCATTER_DECELERATION] = GRASS_SD * self.rough_share * luck.run
        scatter[:, SCATTER_HEADING] *= 1 + (ROUGH_HEADING - 1) * self.rough_share
        return scatter

    @cached_property
    def rough_share(self) -> float:
        """Share of the work of a putt to the hole that goes into grass longer than the green's [-]."""
        way = np.linspace(0, 1, 101)[:, None]
        places = np.asarray(self.start) * (1 - way) + np.array([self.hole.x, self.hole.y]) * way
        ground = self.grounds[0]
        codes = ground.turf_code_at(places[:, 0], places[:, 1])
        work = 1 / ground.compiled().turf_props[codes, STIMP_RATIO]
        green = ground.on_green(places[:, 0], places[:, 1])
        return float(work[~green].sum() / work.sum())

    def typical(self, club: Club, carry: float, azimuth: float) -> list[TrailPoint]:
        """Path of one ball struck as meant in the first world, the hole covered."""
        ground, one = self.grounds[int(self.unknowns.ground[0])], np.zeros(1, dtype=np.int64)
        world: dict[str, Any] = {
            "ground": ground.compiled(),
            "green_deceleration": float(self.unknowns.deceleration[0]),
        }
        world |= {"air": self.air, "laws": self.laws}
        if club.is_putter:
            speed = np.sqrt(2 * self.unknowns.deceleration[0] * carry)
            velocity = speed * np.array([np.sin(azimuth), np.cos(azimuth), 0.0])
            return trace(self._tee(ground), velocity, np.zeros(3), begin=2, **world)[1]
        aimed = self._aimed(club, np.array([carry]), np.array([azimuth]), one, ground)
        run = self.unknowns.run_factor(club.name, np.array([carry]), one, np.zeros(1))
        world |= {"firmness": float(self.unknowns.firmness[0]), "ln_run": float(run[0])}
        return trace(self._tee(ground), aimed.velocity[0], aimed.spin[0], **world)[1]

    def _delivery(self, club: Club, carry: Floats, draw: Indices) -> tuple[Floats, Floats, float]:
        """Delivered loft and attack [rad] in these worlds, and what the stance does to the face [rad]."""
        right = self.player.hand is Hand.RIGHT
        loft = self.player.delivered_loft_deg(club, carry) + self.unknowns.loft_deg[club.name][draw]
        stance = stance_effect(self.lie, float(np.radians(np.mean(loft))), right)
        attack = np.radians(self.player.attack_at_deg(carry)) + stance.attack
        return np.radians(loft) + stance.loft, attack, stance.face

    def _aimed(self, club: Club, carry: Floats, azimuth: Floats, draw: Indices, ground: Ground) -> Aimed:
        loft, attack, face = self._delivery(club, carry, draw)
        contact = face_contact(self.lie)
        return aim(
            self._tee(ground),
            self.places(carry, azimuth),
            loft,
            attack,
            face_to_path=face,
            friction=contact.friction,
            speed_factor=contact.speed_factor,
            ground=ground.compiled(),
            air=self.air,
            laws=self.laws,
        )

    def _tee(self, ground: Ground) -> Floats:
        """Where the ball lies on this surface (3,) [m]."""
        return np.array([*self.start, float(ground.surface.height(*self.start))])

    def _world(self, club: Club, carry: Floats, draw: Indices, luck: Luck, ground: Ground) -> dict[str, Any]:
        """The settings of `play` for these worlds."""
        unknowns = self.unknowns
        return {
            "ground": ground.compiled(),
            "green_deceleration": unknowns.deceleration[draw],
            "firmness": unknowns.firmness[draw],
            "ln_run": unknowns.run_factor(club.name, carry, draw, luck.run),
            "scatter": luck.scatter,
            "hole": self.hole,
            "air": self.air,
            "laws": self.laws,
            "cancelled": self.cancelled,
        }

    def _balls(self, draw: Indices, some: Callable[[Indices, Ground], Played]) -> Balls:
        """Play the balls of each surface together and price them."""
        which = self.unknowns.ground[draw]
        n = len(draw)
        landed, finished, outcome = np.empty((n, 2)), np.empty((n, 2)), np.empty(n, dtype=np.uint8)
        cost, up_and_down, on_green = np.empty(n), np.empty(n), np.empty(n, dtype=np.bool_)
        for k in np.unique(which):
            rows, ground = np.flatnonzero(which == k), self.grounds[int(k)]
            played = some(rows, ground)
            landed[rows], finished[rows] = played.landed[:, :2], played.finished[:, :2]
            outcome[rows] = played.outcome
            green = self.unknowns.deceleration[draw[rows]]
            price = self.prices.price(finished[rows], outcome[rows], ground, green)
            cost[rows], up_and_down[rows], on_green[rows] = price.cost, price.up_and_down, price.on_green
        nothing = np.zeros(n)
        return Balls(nothing, nothing, landed, finished, outcome, on_green, cost, up_and_down)
