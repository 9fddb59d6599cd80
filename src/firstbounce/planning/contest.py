"""Play the best spot of every club directly, with the same luck, and race them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from firstbounce.planning.balls import CLEAN_PER_UNIT, Balls, Units, joined_units
from firstbounce.planning.landing import Floats, LandingErrors
from firstbounce.planning.luck import Clean, Fortune
from firstbounce.planning.race import Standing, run_race, stand
from firstbounce.planning.scene import Indices, Scene
from firstbounce.planning.search import Spot, putt_errors


@dataclass(slots=True)
class Contest:
    """Entrants of one station and all balls played for them so far."""

    scene: Scene
    fortune: Fortune
    spots: Sequence[Spot]
    lots: list[list[Units]] = field(default_factory=list)

    def run(self, rounds: Sequence[int]) -> list[Standing]:
        """Race all entrants over the units up to each of `rounds`; standings with the front runner first."""
        self.lots = [[] for _ in self.spots]
        return run_race(self._play, len(self.spots), rounds)

    def close(self, standings: list[Standing], leaders: int, units: int) -> list[Standing]:
        """Play the leading choices up to `units` units each, so that what is said of them is steady."""
        for standing in standings[:leaders]:
            played = sum(len(lot.cost) for lot in self.lots[standing.index])
            if played < units:
                self._play(standing.index, played, units)
        costs = [self.units(entrant).cost for entrant in range(len(self.spots))]
        return stand(costs, {standings[0].index})

    def units(self, entrant: int) -> Units:
        """All units played for an entrant."""
        return joined_units(self.lots[entrant])

    def _play(self, entrant: int, first: int, end: int) -> Floats:
        lot = play_units(self.scene, self.spots[entrant], self.fortune, first, end)
        self.lots[entrant].append(lot)
        return lot.cost


def play_units(scene: Scene, spot: Spot, fortune: Fortune, first: int, end: int) -> Units:
    """Units first..end of one choice. Unit u is played in the world u modulo the number of draws."""
    clean = fortune.clean.rows(CLEAN_PER_UNIT * first, CLEAN_PER_UNIT * end)
    world = np.arange(first, end) % len(scene.unknowns)
    struck = play_clean(scene, spot, clean, np.repeat(world, CLEAN_PER_UNIT))
    if spot.club.is_putter or scene.mishit_share == 0:
        return Units(struck, None, 0.0)
    missed = fortune.missed.rows(first, end)
    n = end - first
    balls = scene.mishits(
        spot.club, np.full(n, spot.carry), np.full(n, spot.azimuth), world, missed.noise, missed.luck
    )
    return Units(struck, balls, scene.mishit_share)


def errors_of(scene: Scene, spot: Spot) -> LandingErrors:
    """The player's errors with this choice."""
    return putt_errors(scene) if spot.club.is_putter else scene.errors


def play_clean(scene: Scene, spot: Spot, clean: Clean, draw: Indices) -> Balls:
    """Clean strikes meant for a spot, with the player's errors."""
    n = len(draw)
    carry, azimuth = errors_of(scene, spot).land(
        np.full(n, spot.carry), np.full(n, spot.azimuth), clean.normals
    )
    if spot.club.is_putter:
        balls = scene.putts(carry, azimuth, draw, clean.luck)
    else:
        balls = scene.clean(spot.club, carry, azimuth, draw, clean.luck)
    return replace(balls, long=clean.normals[:, 0], wide=clean.normals[:, 1])
