"""Random stations round an invented green, for the gates of the plan."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import HeightGrid, Plane, Surface
from firstbounce.words import Lie, LieKind, Point, Station, TurfKind

Floats = NDArray[np.float64]
MAP = (-26.0, 26.0, -8.0, 52.0)  #: [m]
FRINGE_M = 0.8
LIES = (LieKind.LIGHT_ROUGH, LieKind.LIGHT_ROUGH, LieKind.FAIRWAY, LieKind.FRINGE)


@dataclass(frozen=True)
class Place:
    """One station and the ground it lies on."""

    station: Station
    ground: Ground
    edge_m: float  #: start to the near edge of the green, along the line to the hole


def random_place(rng: np.random.Generator, *, contoured: bool, lies: tuple[LieKind, ...] = LIES) -> Place:
    """A start 0.4 to 10 m short of the green, the hole 2.5 to 15 m on from its edge, up to 3 % of slope."""
    lie = lies[rng.integers(len(lies))]
    edge = 0.4 if lie is LieKind.FRINGE else float(rng.uniform(1.0, 10.0))
    on = float(rng.uniform(2.5, 15.0))
    beyond = float(rng.uniform(3.0, 12.0))
    around = {LieKind.LIGHT_ROUGH: TurfKind.LIGHT_ROUGH}.get(lie, TurfKind.FAIRWAY)
    ground = Ground(
        surface=_surface(rng, contoured),
        outline=_outline(edge, on + beyond, rng),
        around=around,
        fringe_m=FRINGE_M,
        bounds=MAP,
    )
    hole = Point(0.0, round(edge + on, 2))
    station = Station(name="random", start=Point(0.0, 0.0), hole=hole, lie=Lie(kind=lie))
    return Place(station, ground, edge)


def _outline(edge: float, depth: float, rng: np.random.Generator) -> tuple[tuple[float, float], ...]:
    """A green with a straight front edge and a round back, 14 to 24 m wide."""
    half = float(rng.uniform(7, 12))
    turn = np.linspace(0, np.pi, 15)
    back = [(half * np.cos(t), edge + 0.5 * depth + 0.5 * depth * np.sin(t)) for t in turn]
    return ((-half, edge), (half, edge), *((float(x), float(y)) for x, y in back))


def _surface(rng: np.random.Generator, contoured: bool) -> Surface:
    slope, downhill = float(rng.uniform(0, 3)), float(rng.uniform(0, 360))
    plane = Plane((0.0, 0.0, 0.0), slope, downhill)
    if not contoured:
        return plane
    nodes = np.arange(0, 61.0)
    x, y = MAP[0] + nodes[:53], MAP[2] + nodes[:61]
    grid = plane.height(x[None, :], y[:, None])
    for _ in range(4):
        cx, cy = rng.uniform(-12, 12), rng.uniform(0, 35)
        grid = grid + rng.normal(0, 0.10) * np.exp(
            -((x[None, :] - cx) ** 2 + (y[:, None] - cy) ** 2) / (2 * rng.uniform(3, 7) ** 2)
        )
    return HeightGrid(MAP[0], MAP[2], 1.0, grid)
