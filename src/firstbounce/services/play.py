"""Play one shot: the typical ball of this player with one club, struck to land where it is meant to."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.fitting.result import Fit, FitDraws
from firstbounce.ground.ground import Ground
from firstbounce.planning.worlds import air_today
from firstbounce.players.clubs import Club
from firstbounce.players.player import Hand
from firstbounce.services.day import Day
from firstbounce.shot.aim import aim
from firstbounce.shot.launch import face_contact, stance_effect
from firstbounce.shot.laws import HoleSpec
from firstbounce.shot.play import Played, TrailPoint, trace
from firstbounce.units import rad_per_s_to_rpm
from firstbounce.words import Outcome, Point, Station


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One ball from strike to rest. A putt neither flies nor lands: its carry is 0."""

    station: Station
    club: str
    spot: Point  #: where it was meant to land; for a putt what it was aimed at
    landed: Point
    finished: Point
    outcome: Outcome
    carry_m: float
    run_m: float
    hang_time_s: float
    time_s: float
    apex_m: float  #: above the start
    bounces: int
    ball_speed_m_s: float
    launch_deg: float
    spin_rpm: float
    land_deg: float  #: how steeply it comes down, 90 is straight down
    long_m: float  #: finished beyond the hole along the line, short is negative
    right_m: float  #: finished right of the line, left is negative
    path: tuple[TrailPoint, ...]
    learned_from_balls: int = 0

    @property
    def left_m(self) -> float:
        """Distance left to the hole; 0 when holed."""
        return 0.0 if self.holed else math.dist(self.finished, self.station.hole)

    @property
    def holed(self) -> bool:
        """Whether the ball is in the hole."""
        return self.outcome in (Outcome.HOLED_ROLLING, Outcome.HOLED_FLYING)

    def to_dict(self) -> dict[str, Any]:
        """The shape of `play --json`."""
        return {
            "station": self.station.name,
            "club": self.club,
            "spot_m": list(self.spot),
            "landed_m": list(self.landed),
            "finished_m": list(self.finished),
            "outcome": str(self.outcome),
            "carry_m": self.carry_m,
            "run_m": self.run_m,
            "hang_time_s": self.hang_time_s,
            "time_s": self.time_s,
            "apex_m": self.apex_m,
            "bounces": self.bounces,
            "ball_speed_m_s": self.ball_speed_m_s,
            "launch_deg": self.launch_deg,
            "spin_rpm": self.spin_rpm,
            "land_deg": self.land_deg,
            "left_to_hole_m": self.left_m,
            "long_m": self.long_m,
            "right_m": self.right_m,
            "learned_from_balls": self.learned_from_balls,
            "path": [
                {"t_s": p.t_s, "x_m": p.x_m, "y_m": p.y_m, "z_m": p.z_m, "phase": p.phase} for p in self.path
            ],
        }


def play_shot(
    day: Day,
    station: Station,
    club_name: str,
    *,
    carry_m: float,
    right_m: float = 0.0,
    fit: Fit | None = None,
) -> Shot:
    """The ball that this player usually hits with this club when it lands where it is meant to.

    The landing spot is `carry_m` from the start along the line to the hole and `right_m` to the right of it.
    For the putter `carry_m` is how far the ball would roll on level ground. With a fit, the most likely day
    and delivery; the ground does nothing by chance.
    """
    club = day.player.bag.club(club_name)
    if not (0.3 <= carry_m <= 70 and abs(right_m) <= carry_m):
        raise ParameterError(
            f"Carry {carry_m:g} m is outside 0.3 to 70 m, or aims too far aside ({right_m:g} m)."
        )
    ground = day.ground_at(station)
    spot = _spot(station, carry_m, right_m)
    world = None if fit is None else fit.middle(station.lie)
    begin, state = (
        _putt(day, ground, station, spot, carry_m, world)
        if club.is_putter
        else _strike(day, ground, station, club, spot, world)
    )
    deceleration, firmness, ln_run = _settings(day, club, carry_m, world)
    played, path = trace(
        *state,
        begin=begin,
        ground=ground.compiled(),
        hole=HoleSpec(*station.hole),
        air=air_today(day.today),
        green_deceleration=deceleration,
        firmness=firmness,
        ln_run=ln_run,
    )
    return _told(station, club, spot, state, played, path, 0 if fit is None else fit.n_balls)


def _spot(station: Station, along: float, right: float) -> Point:
    length = math.dist(station.start, station.hole)
    ux, uy = ((b - a) / length for a, b in zip(station.start, station.hole, strict=True))
    x, y = station.start
    return Point(x + along * ux + right * uy, y + along * uy - right * ux)


def _settings(day: Day, club: Club, carry: float, world: FitDraws | None) -> tuple[float, float, float]:
    """Green deceleration, firmness and ln run of the day as read, or as the balls leave it."""
    if world is None:
        return day.today.green_deceleration, day.today.firmness.value, 0.0
    ln_run = 0.0 if club.is_putter else float(world.ln_run_at(club.name, carry)[0])
    return float(world.green_deceleration[0]), float(world.firmness[0]), ln_run


State = tuple[np.ndarray, np.ndarray, np.ndarray]


def _tee(ground: Ground, station: Station) -> np.ndarray:
    return np.array([*station.start, float(ground.surface.height(*station.start))])


def _putt(
    day: Day, ground: Ground, station: Station, spot: Point, length: float, world: FitDraws | None
) -> tuple[int, State]:
    """A rolling start towards the spot, with the pace that rolls `length` on level ground."""
    deceleration = day.today.green_deceleration if world is None else float(world.green_deceleration[0])
    ahead = np.array([spot[0] - station.start[0], spot[1] - station.start[1], 0.0])
    velocity = math.sqrt(2 * deceleration * length) * ahead / np.linalg.norm(ahead)
    return 2, (_tee(ground, station), velocity, np.zeros(3))


def _strike(
    day: Day, ground: Ground, station: Station, club: Club, spot: Point, world: FitDraws | None
) -> tuple[int, State]:
    """The strike whose first landing is the spot."""
    player, contact = day.player, face_contact(station.lie)
    carry = math.dist(station.start, spot)
    extra = 0.0 if world is None else float(world.loft_deg[club.name][0])
    loft = math.radians(float(player.delivered_loft_deg(club, carry)) + extra)
    stance = stance_effect(station.lie, loft, player.hand is Hand.RIGHT)
    aimed = aim(
        _tee(ground, station),
        np.array([spot]),
        loft + stance.loft,
        math.radians(float(player.attack_at_deg(carry))) + stance.attack,
        face_to_path=stance.face,
        friction=contact.friction,
        speed_factor=contact.speed_factor,
        ground=ground.compiled(),
        air=air_today(day.today),
    )
    if not aimed.reached[0]:
        raise ParameterError(
            f"The {club.name} cannot land a ball {carry:.1f} m away from here; try another carry."
        )
    return 0, (_tee(ground, station), aimed.velocity[0], aimed.spin[0])


def _told(
    station: Station,
    club: Club,
    spot: Point,
    state: State,
    played: Played,
    path: list[TrailPoint],
    n_balls: int,
) -> Shot:
    _, velocity, spin = state
    putt = club.is_putter
    landed = station.start if putt else Point(*(float(v) for v in played.landed[0, :2]))
    finished = Point(*(float(v) for v in played.finished[0, :2]))
    down = played.landing_velocity[0]
    long, right = _along(station, finished)
    return Shot(
        station=station,
        club=club.name,
        spot=spot,
        landed=landed,
        finished=finished,
        outcome=played.outcomes()[0],
        carry_m=math.dist(station.start, landed),
        run_m=math.dist(landed, finished),
        hang_time_s=0.0 if putt else float(played.hang_time[0]),
        time_s=float(played.time[0]),
        apex_m=0.0 if putt else max(p.z_m for p in path) - path[0].z_m,
        bounces=int(played.n_bounces[0]),
        ball_speed_m_s=float(np.linalg.norm(velocity)),
        launch_deg=math.degrees(math.asin(velocity[2] / np.linalg.norm(velocity))),
        spin_rpm=rad_per_s_to_rpm(float(np.linalg.norm(spin))),
        land_deg=0.0 if putt else math.degrees(math.atan2(-down[2], math.hypot(down[0], down[1]))),
        long_m=long,
        right_m=right,
        path=tuple(path),
        learned_from_balls=n_balls,
    )


def _along(station: Station, place: Point) -> tuple[float, float]:
    """How far a place lies beyond the hole and right of the line to it [m]."""
    length = math.dist(station.start, station.hole)
    ux, uy = ((b - a) / length for a, b in zip(station.start, station.hole, strict=True))
    dx, dy = place[0] - station.hole[0], place[1] - station.hole[1]
    return dx * ux + dy * uy, dx * uy - dy * ux
