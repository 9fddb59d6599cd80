"""Where the model lets clean strikes finish: batched, each place played once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.forward import World, deceleration, delivered_loft_deg, forward, ln_run
from firstbounce.fitting.layout import FIRMNESS, STIMP, lie_group
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.fitting.strokes import strike
from firstbounce.ground.ground import Ground
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Lie, Point, Tally

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Foresight:
    """What the model says of n strokes before they are hit; equal strokes have equal rows."""

    finish: Floats  #: (n, 2) most likely finish of a ball that lands on its spot, hole covered [m]
    run: Floats  #: (n,) spot to finish [m]
    axis: Floats  #: (n, 2) unit vector along the run
    slope: Floats  #: (n, p) change of the run over the run with each unknown [1 per unit]
    gain: Floats  #: (n,) finish along the run per metre of landing along it [-]
    side_gain: Floats  #: (n,) the same across [-]
    unsure_slope: Floats  #: (n,) relative sd of the run through what is not known of the green's shape [-]
    scatter: Floats  #: (n,) relative scatter of single runs [-]
    group: NDArray[np.int64]  #: (n,) which strokes are the same one

    @classmethod
    def together(cls, parts: Sequence[Foresight]) -> Foresight:
        """Strokes of several days, one after another. Unknowns differ from day to day: no slopes are left."""
        if len(parts) == 1:
            return parts[0]
        arrays = {
            f.name: np.concatenate([getattr(one, f.name) for one in parts])
            for f in fields(cls)
            if f.name not in ("slope", "group")
        }
        shift = np.cumsum([0, *(int(one.group.max(initial=-1)) + 1 for one in parts)])
        group = np.concatenate([one.group + k for one, k in zip(parts, shift[:-1], strict=True)])
        return cls(slope=np.zeros((len(group), 0)), group=group, **arrays)


def shots_to(fit: Fit, balls: Sequence[Ball | Tally], spots: Floats) -> Shots:
    """The balls' strokes as the model plays them, each to its row of spots (n, 2) [m]."""
    names = {name: i for i, name in enumerate(dict.fromkeys(b.club for b in balls))}
    if not names:
        return Shots(np.empty((0, 2)), spots, np.empty(0, np.int64), (), np.empty(0, np.int64))
    origin = [Point(0.0, 0.0)] * len(names)
    clubs = shots_of(fit.player, list(names), origin, origin, [Lie()] * len(names)).club
    return Shots(
        places(b.start for b in balls),
        spots,
        clubs[np.array([names[b.club] for b in balls], dtype=np.int64)],
        tuple(b.lie for b in balls),
        np.array([lie_group(b.lie) for b in balls], dtype=np.int64),
    )


def places(points: Iterable[Point | None]) -> Floats:
    """Points as an array (n, 2) [m]; nan where there is none."""
    gone = (np.nan, np.nan)
    flat = [value for point in points for value in (point or gone)]
    return np.array(flat, dtype=np.float64).reshape(-1, 2)


def foresee(
    fit: Fit, ground: Ground, shots: Shots, air: AirSpec, laws: Laws, shapes: Sequence[Ground] = ()
) -> Foresight:
    """Finishes and how they change with what is not known, each different stroke played once.

    shapes: the green as it may be, when its shape is not known well; each holds as much as the others.
    """
    if len(shots) == 0:
        return _nothing_foreseen(fit)
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
        side_gain=at.gain[1][group],
        unsure_slope=_unsure_slope(fit, few, at.axis, run, shapes, air, laws)[group],
        scatter=scatter[group],
        group=group,
    )


def _nothing_foreseen(fit: Fit) -> Foresight:
    none, pairs = np.empty(0), np.empty((0, 2))
    return Foresight(
        finish=pairs,
        run=none,
        axis=pairs,
        slope=np.empty((0, fit.layout.size)),
        gain=none,
        side_gain=none,
        unsure_slope=none,
        scatter=none,
        group=np.empty(0, dtype=np.int64),
    )


def _unsure_slope(
    fit: Fit, few: Shots, axis: Floats, run: Floats, shapes: Sequence[Ground], air: AirSpec, laws: Laws
) -> Floats:
    """Relative sd (k,) of the run over the shapes that the green may have."""
    if len(shapes) < 2:
        return np.zeros(len(few))
    ends = np.stack([finishes(fit, shape, few, air, laws) for shape in shapes])
    along = ((ends - few.spot) * axis).sum(axis=2)
    return np.asarray(np.nan_to_num(along.std(axis=0)) / run)


def finishes(fit: Fit, ground: Ground, shots: Shots, air: AirSpec, laws: Laws) -> Floats:
    """Most likely finishes (n, 2) [m] of strokes that land on their spots; nan where none can land there."""
    if len(shots) == 0:
        return np.empty((0, 2))
    world, n = _world(fit, ground, air, laws), len(shots)
    loft = np.radians(delivered_loft_deg(world, fit.theta, shots))
    struck = strike(world, shots, shots.spot, loft)
    played = struck.play(
        world,
        np.arange(n),
        firmness=np.full(n, fit.today.firmness.value * np.exp(fit.theta[FIRMNESS])),
        green=np.full(n, float(deceleration(fit.today.stimp_ft.value + fit.theta[STIMP]))),
        run=ln_run(fit.layout, fit.theta, shots),
    )
    return np.asarray(np.where(struck.reached[:, None], played, np.nan))


def _world(fit: Fit, ground: Ground, air: AirSpec, laws: Laws) -> World:
    return World(ground.compiled(), fit.today, fit.player, fit.layout, air, laws)


def _different(shots: Shots) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Rows of the strokes that differ, and for each stroke which of them it is."""
    table = np.column_stack([shots.start, shots.spot, shots.club, lie_numbers(shots.lies)])
    rows: dict[bytes, int] = {}
    group = np.array([rows.setdefault(row.tobytes(), len(rows)) for row in table], dtype=np.int64)
    first = np.full(len(rows), len(group), dtype=np.int64)
    np.minimum.at(first, group, np.arange(len(group)))
    return first, group


def lie_numbers(lies: Sequence[Lie]) -> NDArray[np.float64]:
    """(n,) a number for each lie, equal ones the same. Balls of a file share the object: that goes first."""
    by_object: dict[int, int] = {}
    by_lie: dict[Lie, int] = {}
    for lie in lies:
        if id(lie) not in by_object:
            by_object[id(lie)] = by_lie.setdefault(lie, len(by_lie))
    return np.array([by_object[id(lie)] for lie in lies], dtype=np.float64)
