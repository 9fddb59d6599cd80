"""Strokes by the model's delivery, aimed at landing spots, and what becomes of them. Batched over starts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.shots import Shots
from firstbounce.players.player import Hand
from firstbounce.shot.launch import face_contact, stance_effect
from firstbounce.words import Lie

if TYPE_CHECKING:
    from firstbounce.fitting.forward import World

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Struck:
    """How aimed strokes arrive at their spots; one row a stroke."""

    landed: Floats  #: (m, 3) [m]
    velocity: Floats  #: (m, 3) [m/s]
    spin: Floats  #: (m, 3) [rad/s]
    hang: Floats  #: (m,) [s]
    reached: NDArray[np.bool_]  #: (m,) whether the stroke lands on its spot

    def play(
        self, world: World, rows: NDArray[np.int64], *, firmness: Floats, green: Floats, run: Floats
    ) -> Floats:
        """Finishes (len(rows), 2) [m], hole covered; a row may be played many times."""
        from firstbounce.shot.play import play_on

        played = play_on(
            self.landed[rows],
            self.velocity[rows],
            self.spin[rows],
            ground=world.ground,
            green_deceleration=green,
            firmness=firmness,
            ln_run=run,
            air=world.air,
            laws=world.laws,
        )
        return played.finished[:, :2]


def strike(world: World, shots: Shots, spots: Floats, loft: Floats) -> Struck:
    """Aim len(spots) / len(shots) versions of every stroke: spots (m, 2) [m], delivered loft (m,) [rad]."""
    from firstbounce.shot.aim import aim

    versions = len(spots) // max(len(shots), 1)
    delivery = np.tile(_delivery(world, shots), (versions, 1))
    starts = np.tile(shots.start, (versions, 1))
    m = len(spots)
    parts = (np.empty((m, 3)), np.empty((m, 3)), np.empty((m, 3)), np.empty(m), np.zeros(m, dtype=bool))
    for start in np.unique(shots.start, axis=0):
        rows = np.flatnonzero((starts == start).all(axis=1))
        attack, stance_loft, face, friction, speed_factor = delivery[rows].T
        got = aim(
            (*start, height_at(world, start)),
            spots[rows],
            loft[rows] + stance_loft,
            attack,
            ground=world.ground,
            air=world.air,
            laws=world.laws,
            face_to_path=face,
            friction=friction,
            speed_factor=speed_factor,
        )
        arrived = (got.landed, got.landing_velocity, got.landing_spin, got.hang_time, got.reached)
        for whole, part in zip(parts, arrived, strict=True):
            whole[rows] = part
    return Struck(*parts)


def height_at(world: World, place: Floats) -> float:
    """Height of the ground [m] at a place."""
    from firstbounce.ground.spline import surface_at

    g = world.ground
    return float(surface_at(float(place[0]), float(place[1]), g.coeffs, g.x0, g.y0, g.inv_cell)[0])


def _delivery(world: World, shots: Shots) -> Floats:
    """Attack, loft and face of the stance [rad], face friction and speed factor of the lie; (n, 5)."""
    attack = np.radians(world.player.attack_at_deg(shots.carry))
    by_lie = {lie: _of_lie(lie, world.player.hand is Hand.RIGHT) for lie in set(shots.lies)}
    rows = np.array([by_lie[lie] for lie in shots.lies], dtype=np.float64).reshape(-1, 5)
    rows[:, 0] += attack
    return rows


def _of_lie(lie: Lie, right_handed: bool) -> tuple[float, ...]:
    stance, contact = stance_effect(lie, right_handed=right_handed), face_contact(lie)
    return (stance.attack, stance.loft, stance.face, contact.friction, contact.speed_factor)
