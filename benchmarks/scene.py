"""The invented place of the shot benchmarks: a contoured green of every turf, and random shots over it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.areas import Area
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import HeightGrid
from firstbounce.shot.aim import aim
from firstbounce.shot.laws import N_SCATTER, SCATTER_SD, AirSpec, HoleSpec
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import TurfKind

Floats = NDArray[np.float64]
LOFTS_DEG = {"7i": 28, "8i": 32, "9i": 36, "PW": 40, "GW": 45, "SW": 52, "LW": 57}  #: delivered
HOLE = HoleSpec(1.5, 19.0, flagstick=True)
WIND = AirSpec(wind_x=2.0, wind_y=-1.5, roughness=0.02)


def _blob(x: float, y: float, rx: float, ry: float, wobble: float) -> tuple[tuple[float, float], ...]:
    turn = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    size = 1 + wobble * np.sin(3 * turn + 0.7)
    return tuple(zip(x + rx * size * np.cos(turn), y + ry * size * np.sin(turn), strict=True))


def contoured_ground() -> Ground:
    """70 by 80 m of height grid (1 m), slopes mostly 1 to 5 %, a green of 22 by 30 m, every kind of turf."""
    x, y = np.meshgrid(np.arange(-35.0, 35.5), np.arange(-20.0, 60.5))
    heights = (
        0.012 * y
        - 0.008 * x
        + 0.12 * np.sin(x / 5.0 + 0.4) * np.cos(y / 6.5)
        + 0.25 * np.exp(-((x - 6) ** 2 + (y - 24) ** 2) / 60)
        - 0.20 * np.exp(-((x + 7) ** 2 + (y - 12) ** 2) / 40)
    )
    kinds = (
        (TurfKind.LIGHT_ROUGH, (0, 34, 30, 9)),
        (TurfKind.HEAVY_ROUGH, (-24, 20, 7, 16)),
        (TurfKind.BUNKER, (-13, 22, 2.5, 4)),
        (TurfKind.BUNKER, (13.5, 12, 3, 2.5)),
        (TurfKind.WATER, (24, 34, 6, 8)),
        (TurfKind.STANDING_WATER, (4, 3, 2, 1.5)),
        (TurfKind.BARE, (-9, -2, 3, 2)),
        (TurfKind.MAT, (9, -3, 2, 2)),
        (TurfKind.TEMPORARY_GREEN, (-18, -6, 5, 4)),
    )
    return Ground(
        surface=HeightGrid(-35.0, -20.0, 1.0, heights),
        outline=_blob(0, 18, 11, 15, 0.12),
        fringe_m=1.0,
        areas=tuple(Area(kind, _blob(*place, 0.1)) for kind, place in kinds),
        around=TurfKind.FAIRWAY,
    )


@dataclass(frozen=True)
class Shots:
    """Random shots, one row a ball."""

    start: Floats
    velocity: Floats
    spin: Floats
    green: Floats
    firmness: Floats
    ln_run: Floats
    scatter: Floats
    club: NDArray[np.str_]
    carry: Floats

    def __len__(self) -> int:
        return len(self.green)


def random_shots(
    rng: np.random.Generator,
    n: int,
    ground: Ground,
    carry: Floats,
    around: float,
    *,
    per_start: int = 25,
    clubs: tuple[str, ...] = tuple(LOFTS_DEG),
) -> Shots:
    """Shots toward the green, a start for each `per_start` balls; `around`: sd of direction [rad]."""
    club = rng.choice(list(clubs), n)
    loft = np.radians([LOFTS_DEG[name] for name in club]) + rng.normal(0, 0.03, n)
    arrays = ground.compiled()
    parts = []
    for first in range(0, n, per_start):
        rows = slice(first, min(first + per_start, n))
        size = len(carry[rows])
        turn = rng.uniform(0, 2 * np.pi)
        x, y = 13 * math.sin(turn), 16 - 19 * math.cos(turn)
        heading = math.atan2(-x, 18 - y) + rng.normal(0, around, size)
        spots = np.column_stack([x + carry[rows] * np.sin(heading), y + carry[rows] * np.cos(heading)])
        inside = (np.abs(spots[:, 0]) < 34) & (spots[:, 1] > -19) & (spots[:, 1] < 59)
        spots[~inside] = 2 * np.array([x, y]) - spots[~inside]
        z = float(ground.surface.height(x, y))
        aimed = aim((x, y, z), spots, loft[rows], math.radians(-3), ground=arrays, air=WIND)
        parts.append((np.tile((x, y, z), (size, 1)), aimed.velocity, aimed.spin))
    start, velocity, spin = (np.concatenate(part) for part in zip(*parts, strict=True))
    green = np.array([stimp_to_deceleration(s) for s in rng.uniform(8, 12, n)])
    scatter = rng.normal(size=(n, N_SCATTER)) * SCATTER_SD
    firmness = np.exp(rng.normal(0, 0.2, n))
    return Shots(start, velocity, spin, green, firmness, rng.normal(0, 0.05, n), scatter, club, carry)
