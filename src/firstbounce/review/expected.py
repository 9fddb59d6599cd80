"""Where the model lets clean strikes finish: batched, each place played once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.forward import World, deceleration, delivered_loft_deg, forward, ln_run
from firstbounce.fitting.layout import FIRMNESS, STIMP, lie_group
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.fitting.strokes import strike
from firstbounce.ground.ground import Ground
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Lie, Point

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Foresight:
    """What the model says of n strokes before they are hit; equal strokes have equal rows."""

    finish: Floats  #: (n, 2) most likely finish of a ball that lands on its spot, hole covered [m]
    run: Floats  #: (n,) spot to finish [m]
    axis: Floats  #: (n, 2) unit vector along the run
    slope: Floats  #: (n, p) change of the run over the run with each unknown [1 per unit]
    gain: Floats  #: (n,) finish along the run per metre of landing along it [-]
    scatter: Floats  #: (n,) relative scatter of single runs [-]
    group: NDArray[np.int64]  #: (n,) which strokes are the same one


def shots_to(fit: Fit, balls: Sequence[Ball], spots: Floats) -> Shots:
    """The balls' strokes as the model plays them, each to its row of spots (n, 2) [m]."""
    names = {name: i for i, name in enumerate(dict.fromkeys(b.club for b in balls))}
    origin = [Point(0.0, 0.0)] * len(names)
    clubs = shots_of(fit.player, list(names), origin, origin, [Lie()] * len(names)).club
    lies = tuple(b.lie for b in balls)
    groups = {lie: lie_group(lie) for lie in dict.fromkeys(lies)}
    return Shots(
        np.array([b.start for b in balls], dtype=np.float64).reshape(-1, 2),
        spots,
        clubs[[names[b.club] for b in balls]],
        lies,
        np.array([groups[lie] for lie in lies], dtype=np.int64),
    )


def foresee(fit: Fit, ground: Ground, shots: Shots, air: AirSpec, laws: Laws) -> Foresight:
    """Finishes and how they change with what is not known, each different stroke played once."""
    first, group = _different(shots)
    few = shots.take(first)
    at = forward(_world(fit, ground, air, laws), fit.theta, few)
    run = np.maximum(at.run, 0.05 * few.carry)
    scatter = np.exp(fit.ln_scatter[0]) * fit.assumed.scatter_factor(fit.layout.lofts_deg)[few.club]
    return Foresight(
        finish=at.finish[group],
        run=run[group],
        axis=at.axis[group],
        slope=(at.along / run[:, None])[group],
        gain=at.gain[0][group],
        scatter=scatter[group],
        group=group,
    )


def finishes(fit: Fit, ground: Ground, shots: Shots, air: AirSpec, laws: Laws) -> Floats:
    """Most likely finishes (n, 2) [m] of strokes that land on their spots; nan where none can land there."""
    if len(shots) == 0:
        return np.empty((0, 2))
    first, group = _different(shots)
    few = shots.take(first)
    world, n = _world(fit, ground, air, laws), len(few)
    loft = np.radians(delivered_loft_deg(world, fit.theta, few))
    struck = strike(world, few, few.spot, loft)
    played = struck.play(
        world,
        np.arange(n),
        firmness=np.full(n, fit.today.firmness.value * np.exp(fit.theta[FIRMNESS])),
        green=np.full(n, float(deceleration(fit.today.stimp_ft.value + fit.theta[STIMP]))),
        run=ln_run(fit.layout, fit.theta, few),
    )
    return np.where(struck.reached[:, None], played, np.nan)[group]


def _world(fit: Fit, ground: Ground, air: AirSpec, laws: Laws) -> World:
    return World(ground.compiled(), fit.today, fit.player, fit.layout, air, laws)


def _different(shots: Shots) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Rows of the strokes that differ, and for each stroke which of them it is."""
    lies = {lie: i for i, lie in enumerate(dict.fromkeys(shots.lies))}
    kinds = np.array([lies[lie] for lie in shots.lies], dtype=np.float64)
    table = np.column_stack([shots.start, shots.spot, shots.club, kinds])
    _, first, group = np.unique(table, axis=0, return_index=True, return_inverse=True)
    return first.astype(np.int64), group.reshape(-1).astype(np.int64)
