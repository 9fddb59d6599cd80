"""A rival world: days that follow other laws than the one that is fitted, for demo balls and benchmarks.

Nothing here is a claim about nature. Bounce, drag, roll, launch and the player's delivery are drawn widely
from families, none of which is the fitted law; the fit and the plan must stay honest and useful in all of
them. The integrators of flight and roll are shared with the product, the laws and all their numbers are not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.checks.rival_laws import FAMILIES, RivalLaws, draw_laws
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.ground.turf import TURFS
from firstbounce.players.clubs import Club
from firstbounce.players.mishits import STRIKES, draw_noise
from firstbounce.players.player import Hand, Player
from firstbounce.shot.aim import Aimed, aim
from firstbounce.shot.launch import FaceContact, face_contact, launch, stance_effect
from firstbounce.shot.laws import SCATTER_SD, AirSpec, HoleSpec
from firstbounce.shot.play import Played, play
from firstbounce.words import Ball, Estimate, Lie, Point, Source, Strike

Floats = NDArray[np.float64]

SHORTEST_CARRY = 0.6  #: of a struck ball in this world [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class RivalDelivery:
    """How the player really delivers each lofted club of the bag; (k,) [deg], beyond the usual."""

    lean_deg: Floats
    attack_deg: Floats
    loft_sd_deg: float  #: from stroke to stroke
    attack_sd_deg: float


def draw_delivery(rng: np.random.Generator, player: Player) -> RivalDelivery:
    """A player's true delivery: an own lean, a trend with loft, and each club a little different."""
    lofts = np.array([club.loft_deg for club in player.bag.lofted])
    k = len(lofts)
    loft_error = rng.normal(size=k) * [min(club.loft_sd_deg, 1.0) for club in player.bag.lofted]
    lean = rng.normal(0, 2.5) + rng.normal(0, 0.06) * (lofts - 47) + rng.normal(0, 1.4, k) + loft_error
    return RivalDelivery(
        lean_deg=lean,
        attack_deg=rng.normal(0, 1.5) + rng.normal(0, 0.7, k),
        loft_sd_deg=float(rng.uniform(0.5, 1.8)),
        attack_sd_deg=float(rng.uniform(0.3, 1.0)),
    )


class RivalStrikes(NamedTuple):
    """n strokes of the rival world."""

    played: Played
    kind: NDArray[np.uint8]  #: index into players.mishits.STRIKES; 0 is clean


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RivalDay:
    """One day of the rival world: laws, ground, the player's true delivery, and what the coach read."""

    laws: RivalLaws
    ground: Ground  #: with the day's turf
    player: Player  #: spread and mishits are the true ones; lean and attack are in `delivery`
    delivery: RivalDelivery
    today: GreenToday  #: what the coach knows of the day
    air: AirSpec

    @classmethod
    def draw(
        cls,
        rng: np.random.Generator,
        *,
        player: Player,
        ground: Ground,
        families: Sequence[str] = FAMILIES,
        stimp_sd_ft: float = 0.4,
    ) -> RivalDay:
        """A day of these families on this ground; the coach reads the Stimp, and nothing of the firmness."""
        laws = draw_laws(rng, families)
        reading = laws.stimp_ft + float(rng.normal(0, stimp_sd_ft))
        today = GreenToday(
            stimp_ft=Estimate(value=reading, sd=stimp_sd_ft, source=Source.MEASURED, n=6),
        )
        return cls(
            laws=laws,
            ground=rival_turf(ground, laws.turf_friction),
            player=player,
            delivery=draw_delivery(rng, player),
            today=today,
            air=AirSpec(),
        )

    def clean(
        self,
        rng: np.random.Generator,
        club: Club,
        start: Point,
        spots: Floats,
        lie: Lie | None = None,
        hole: HoleSpec | None = None,
    ) -> Played:
        """Clean strikes that land exactly at spots (n, 2) [m], with the scatter of strokes and ground."""
        lie = lie or Lie()
        delivered = self._delivered(rng, club, start, spots, lie)
        struck = self._aimed(start, spots, delivered, self._contact(lie))
        return self._play(rng, start, struck.velocity, struck.spin, self._lost(struck), hole)

    def strike(
        self,
        rng: np.random.Generator,
        club: Club,
        start: Point,
        spot: Point,
        n: int,
        lie: Lie | None = None,
        hole: HoleSpec | None = None,
    ) -> RivalStrikes:
        """n strokes meant to land at a spot, with the player's landing errors and mishits."""
        lie = lie or Lie()
        way = np.subtract(spot, start)
        carry = float(np.hypot(*way))
        strikes = self.player.strikes(draw_noise(rng, n), carry, lie.kind)
        far = np.maximum(carry + strikes.along_m, SHORTEST_CARRY)
        turn = math.atan2(way[0], way[1]) + np.where(strikes.kind == 0, strikes.direction, 0.0)
        spots = np.asarray(start) + far[:, None] * np.column_stack([np.sin(turn), np.cos(turn)])
        delivered, contact = self._delivered(rng, club, start, spots, lie), self._contact(lie)
        loft, attack, face = delivered
        struck = self._aimed(start, spots, delivered, contact)
        off = strikes.kind != 0
        left = launch(
            np.where(off, struck.speed * strikes.speed_factor, struck.speed),
            loft * strikes.loft_factor,
            attack,
            face_to_path=face,
            azimuth=struck.azimuth + np.where(off, strikes.direction, 0.0),
            friction=contact.friction * strikes.friction_factor,
            speed_factor=contact.speed_factor,
            restitution=self.laws.face_restitution,
            grip=self.laws.face_grip,
        )
        played = self._play(rng, start, left.velocity, left.spin, self._lost(struck), hole)
        return RivalStrikes(played, strikes.kind)

    def balls(
        self,
        rng: np.random.Generator,
        club: Club,
        start: Point,
        spots: Sequence[Point],
        hole: Point,
        *,
        lie: Lie | None = None,
        prefix: str = "ball",
        placing_m: float = 0.25,
        tagged: bool = False,
    ) -> list[Ball]:
        """One logged ball for each spot, placed with error; strikes are named only when `tagged`."""
        logged = []
        for i, spot in enumerate(spots):
            hit = self.strike(rng, club, start, spot, 1, lie, HoleSpec(*hole))
            logged.append(
                Ball(
                    id=f"{prefix}-{i + 1}",
                    club=club.name,
                    lie=lie or Lie(),
                    start=start,
                    hole=hole,
                    aim=spot,
                    landed=_placed(rng, hit.played.landed[0], placing_m),
                    finished=None if hit.played.holed[0] else _placed(rng, hit.played.finished[0], placing_m),
                    holed=bool(hit.played.holed[0]),
                    strike=Strike(STRIKES[hit.kind[0]]) if tagged else None,
                    landed_sd_m=placing_m,
                    finished_sd_m=placing_m,
                )
            )
        return logged

    def _tee(self, start: Point) -> Floats:
        return np.array([*start, float(self.ground.surface.height(*start))])

    def _contact(self, lie: Lie) -> FaceContact:
        usual = face_contact(lie)
        return FaceContact(usual.friction * self.laws.face_friction, usual.speed_factor)

    def _delivered(
        self, rng: np.random.Generator, club: Club, start: Point, spots: Floats, lie: Lie
    ) -> tuple[Floats, Floats, float]:
        """Loft and attack (n,) [rad] of n strokes, and what the stance does to the face [rad]."""
        n, k = len(spots), [c.name for c in self.player.bag.lofted].index(club.name)
        carry = np.hypot(*(np.asarray(spots) - np.asarray(start)).T)
        d = self.delivery
        loft = self.player.delivered_loft_deg(club, carry) - d.lean_deg[k] + rng.normal(0, d.loft_sd_deg, n)
        attack = self.player.attack_at_deg(carry) + d.attack_deg[k] + rng.normal(0, d.attack_sd_deg, n)
        stance = stance_effect(lie, float(np.radians(np.mean(loft))), self.player.hand is Hand.RIGHT)
        return (
            np.radians(np.maximum(loft, 8.0)) + stance.loft,
            np.radians(attack) + stance.attack,
            stance.face,
        )

    def _aimed(
        self, start: Point, spots: Floats, delivered: tuple[Floats, Floats, float], contact: FaceContact
    ) -> Aimed:
        loft, attack, face = delivered
        return aim(
            self._tee(start),
            spots,
            loft,
            attack,
            face_to_path=face,
            ground=self.ground.compiled(),
            air=self.air,
            laws=self.laws.laws,
            friction=contact.friction,
            speed_factor=contact.speed_factor,
            restitution=self.laws.face_restitution,
            grip=self.laws.face_grip,
        )

    def _lost(self, struck: Aimed) -> Floats:
        """ln run (n,) that ploughing and grabbing turf take away, by how the clean stroke lands."""
        return -self.laws.ln_run_lost(struck.landing_velocity, struck.landing_spin)

    def _play(
        self,
        rng: np.random.Generator,
        start: Point,
        velocity: Floats,
        spin: Floats,
        ln_run: Floats,
        hole: HoleSpec | None,
    ) -> Played:
        size = np.asarray(SCATTER_SD) * self.laws.scatter
        size[-1] = 1.0  # the lip's is a standard normal
        return play(
            self._tee(start),
            velocity,
            spin,
            ground=self.ground.compiled(),
            green_deceleration=self.laws.green_deceleration,
            firmness=self.laws.firmness,
            ln_run=ln_run,
            scatter=rng.standard_normal((len(velocity), len(size))) * size,
            hole=hole,
            air=self.air,
            laws=self.laws.laws,
        )


def rival_turf(ground: Ground, friction: float) -> Ground:
    """The same ground with another friction under a bouncing ball, everywhere but in water."""
    turfs = {
        kind: replace(turf, friction=friction, source="rival world, drawn")
        for kind, turf in (TURFS | ground.turfs).items()
        if not turf.swallows
    }
    return replace(ground, turfs=turfs)


def _placed(rng: np.random.Generator, place: Floats, sd_m: float) -> Point:
    x, y = place[:2] + rng.normal(0, sd_m, 2)
    return Point(round(float(x), 2), round(float(y), 2))
