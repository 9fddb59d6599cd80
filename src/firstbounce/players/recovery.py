"""Strokes to hole out from off the green, by turf, distance and level.

Anchor: the tour benchmark by lie (Broadie, Interfaces 42 (2012) 146, and Every Shot Counts, 2014). For each
lie and distance we solve for the mean distance left, Rayleigh in law, that gives the benchmark with tour
putting on level ground. A player of another level leaves more, by the ratio of the carry spreads of the
levels and by a share of mishits, and putts as that level does. Near the hole a putter through the grass
is taken instead whenever it costs less, so that there is no cliff at the edge of the green.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from firstbounce.players.mishits import MISHITS_OF_LEVEL, Mishits
from firstbounce.players.putt_kernels import look_up
from firstbounce.players.putts import GRID, putt_tables
from firstbounce.players.skill import TOUR_PUTTING, PuttingSkill
from firstbounce.players.spread import SPREAD_OF_LEVEL, Spread
from firstbounce.units import METRES_PER_YARD
from firstbounce.words import Level, LieKind, TurfKind

#: Tour strokes to hole out at these distances [yd], by lie. Rows 20, 40, 60, 80, 100 from memory (high),
#: 10, 30, 50 from memory (medium); spot checks of other rows agreed with a page that quotes the table.
BENCHMARK_YD = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0)
BENCHMARK: dict[str, tuple[float, ...]] = {
    "fairway": (2.18, 2.40, 2.52, 2.60, 2.66, 2.70, 2.75, 2.80),
    "rough": (2.34, 2.59, 2.70, 2.78, 2.87, 2.91, 2.96, 3.02),
    "sand": (2.43, 2.53, 2.66, 2.82, 2.98, 3.15, 3.24, 3.23),
}
MISHIT_LEAVES = 0.55  #: mean distance left by a mishit over the distance to the hole [-], a choice
MISHIT_COSTS = 0.3  #: strokes on top, as such a ball is often not on the green, a choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Recovery:
    """How one kind of ground is priced; all but the benchmark column are choices."""

    benchmark: str  #: column of BENCHMARK
    lie: LieKind  #: for the share of mishits
    leaves: float = 1.0  #: distance left over that of the benchmark column [-]
    putter_costs: (
        float | None
    )  #: strokes a short putt through it costs over the green; None: it cannot be putted
    relief: bool = False  #: the ball is lifted without penalty


RECOVERY: dict[TurfKind, Recovery] = {
    TurfKind.GREEN: Recovery(benchmark="fairway", lie=LieKind.FAIRWAY, putter_costs=0.0),
    TurfKind.FRINGE: Recovery(benchmark="fairway", lie=LieKind.FRINGE, putter_costs=0.05),
    TurfKind.FAIRWAY: Recovery(benchmark="fairway", lie=LieKind.FAIRWAY, putter_costs=0.15),
    TurfKind.LIGHT_ROUGH: Recovery(benchmark="rough", lie=LieKind.LIGHT_ROUGH, putter_costs=0.45),
    TurfKind.HEAVY_ROUGH: Recovery(
        benchmark="rough", lie=LieKind.HEAVY_ROUGH_DOWN, leaves=1.35, putter_costs=0.9
    ),
    TurfKind.BARE: Recovery(benchmark="fairway", lie=LieKind.BARE, leaves=1.2, putter_costs=0.15),
    TurfKind.MAT: Recovery(benchmark="fairway", lie=LieKind.MAT, putter_costs=0.12),
    TurfKind.TEMPORARY_GREEN: Recovery(benchmark="fairway", lie=LieKind.FAIRWAY, putter_costs=0.08),
    TurfKind.BUNKER: Recovery(benchmark="sand", lie=LieKind.SAND_EDGE, putter_costs=None),
    TurfKind.WATER: Recovery(benchmark="rough", lie=LieKind.LIGHT_ROUGH, putter_costs=None),
    TurfKind.STANDING_WATER: Recovery(
        benchmark="fairway", lie=LieKind.FAIRWAY, leaves=1.1, putter_costs=0.2, relief=True
    ),
}
ROOT_STEP = 0.1  #: lengths of the tables are squares of multiples of this [m^0.5]
_LENGTHS = 91  #: to 81 m
_RAYLEIGH_MEAN = (np.pi / 2) ** 0.5
_QUANTILES = (np.arange(40) + 0.5) / 40
_RAYLEIGH = np.sqrt(-2 * np.log1p(-_QUANTILES)) / _RAYLEIGH_MEAN  #: equally likely leaves over their mean
_RAYLEIGH /= _RAYLEIGH.mean()


class RecoveryTables(NamedTuple):
    """Strokes by chipping, by turf code and length; cost of a putter through the grass, by turf code."""

    strokes: NDArray[np.float64]  #: shape (kinds, lengths)
    putter_costs: NDArray[np.float64]  #: shape (kinds,); inf where it cannot be putted


@lru_cache(maxsize=32)
def recovery_tables(putting: PuttingSkill, spread: Spread, mishits: Mishits) -> RecoveryTables:
    """Strokes to hole out from off the green for one player, on the lengths of the table of putts."""
    lengths = np.square(np.arange(_LENGTHS) * ROOT_STEP)
    rows = [_strokes(RECOVERY[kind], lengths, putting, spread, mishits) for kind in TurfKind]
    costs = [RECOVERY[kind].putter_costs for kind in TurfKind]
    return RecoveryTables(
        np.ascontiguousarray(rows), np.array([np.inf if cost is None else cost for cost in costs])
    )


def tour_leave_m(column: str, distance_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean distance [m] a tour player leaves from this lie (a column of BENCHMARK) and distance [m]."""
    nodes = np.array(BENCHMARK_YD) * METRES_PER_YARD
    leaves = np.array(_solved_leaves(column))
    first = (leaves[1] - leaves[0]) / (nodes[1] - nodes[0])
    at_hole = max(leaves[0] - first * nodes[0], 0.3)
    return np.interp(distance_m, np.append(0.0, nodes), np.append(at_hole, leaves))


@lru_cache(maxsize=8)
def _solved_leaves(column: str) -> tuple[float, ...]:
    def excess(leave: float, strokes: float) -> float:
        return 1 + float(_putts_from(leave, TOUR_PUTTING)) - strokes

    return tuple(
        float(brentq(excess, 0.01, 60.0, args=(strokes,), xtol=1e-3)) for strokes in BENCHMARK[column]
    )


def _putts_from(mean_leave_m: float | NDArray[np.float64], putting: PuttingSkill) -> NDArray[np.float64]:
    """Expected putts on level ground over a Rayleigh law of leaves with this mean [m]."""
    putts = putt_tables(putting).putts
    roots = np.arange(putts.shape[0]) * GRID.root_step
    level = np.array([look_up(putts, GRID, root * root, 0.0, 0.0) for root in roots])
    leaves = np.multiply.outer(np.asarray(mean_leave_m, float), _RAYLEIGH)
    return np.asarray(np.interp(np.sqrt(leaves), roots, level).mean(axis=-1), dtype=np.float64)


def _strokes(
    ground: Recovery,
    lengths: NDArray[np.float64],
    putting: PuttingSkill,
    spread: Spread,
    mishits: Mishits,
) -> NDArray[np.float64]:
    expert = SPREAD_OF_LEVEL[Level.SCRATCH]
    wider = spread.along_m(lengths) / expert.along_m(lengths)
    clean = _putts_from(tour_leave_m(ground.benchmark, lengths) * wider * ground.leaves, putting)
    missed = _putts_from(MISHIT_LEAVES * lengths, putting) + MISHIT_COSTS
    # the benchmark holds the expert's own mishits already
    expected = MISHITS_OF_LEVEL[Level.SCRATCH].share_from(ground.lie)
    share = max(mishits.share_from(ground.lie) - expected, 0.0)
    return np.maximum.accumulate(1 + (1 - share) * clean + share * np.maximum(missed, clean))
