"""The same luck for every club: even draws for errors of strikes and for what the ground does by chance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri, stdtrit

from firstbounce.planning.balls import CLEAN_PER_UNIT
from firstbounce.planning.draws import even_uniforms
from firstbounce.planning.landing import Floats
from firstbounce.planning.scene import Luck
from firstbounce.players.mishits import StrikeNoise, spread_noise
from firstbounce.shot.laws import (
    N_SCATTER,
    SCATTER_HEADING,
    SCATTER_LIP,
    SCATTER_SD,
    SCATTER_TILT_ACROSS,
    SCATTER_TILT_ACROSS_2,
)

_CHANCE = N_SCATTER + 1  #: columns of what the ground does: its scatter, and the run
_ACROSS = (SCATTER_TILT_ACROSS, SCATTER_TILT_ACROSS_2, SCATTER_HEADING, SCATTER_LIP)
SIZES = np.array([sd if column in _ACROSS else 0.0 for column, sd in enumerate(SCATTER_SD)])


@dataclass(frozen=True, slots=True)
class Clean:
    """Luck of n clean strikes: standard errors of the landing (n, 2), and the ground's."""

    normals: Floats
    luck: Luck

    def rows(self, first: int, end: int) -> Clean:
        return Clean(self.normals[first:end], self.luck.rows(slice(first, end)))


@dataclass(frozen=True, slots=True)
class Missed:
    """Luck of n mishits: what kind and how bad, and the ground's."""

    noise: StrikeNoise
    luck: Luck

    def rows(self, first: int, end: int) -> Missed:
        return Missed(StrikeNoise(*(c[first:end] for c in self.noise)), self.luck.rows(slice(first, end)))


def clean_luck(rng: np.random.Generator, n: int, tail: float) -> Clean:
    """Luck of n clean strikes; `tail` are the degrees of freedom of the scatter of runs."""
    cube = even_uniforms(rng, n, 2 + _CHANCE)
    return Clean(ndtri(cube[:, :2]), _ground_luck(cube[:, 2:], tail))


def missed_luck(rng: np.random.Generator, n: int, tail: float) -> Missed:
    """Luck of n mishits."""
    kinds = len(StrikeNoise._fields)
    cube = even_uniforms(rng, n, kinds + _CHANCE)
    return Missed(spread_noise(cube[:, :kinds]), _ground_luck(cube[:, kinds:], tail))


def _ground_luck(cube: Floats, tail: float) -> Luck:
    """Scatter across the roll as the ground gives it; along it the scatter of runs holds everything."""
    run = np.asarray(stdtrit(tail, cube[:, N_SCATTER]), dtype=np.float64)
    return Luck(ndtri(cube[:, :N_SCATTER]) * SIZES, run)


@dataclass(frozen=True, slots=True)
class Fortune:
    """Luck of many units of four clean strikes and a mishit: what every choice of a race is played with."""

    clean: Clean
    missed: Missed

    @classmethod
    def draw(cls, rng: np.random.Generator, units: int, tail: float) -> Fortune:
        return cls(clean_luck(rng, CLEAN_PER_UNIT * units, tail), missed_luck(rng, units, tail))
