"""Expected putts and one-putt chances by length and slope, for one player, from the roll model.

A table has no green speed of its own: slope enters as slope number, pull over braking, so one table
serves every Stimp. On level ground it does not depend on green speed, as the published data do not say
how it should.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import OutOfRange
from firstbounce.players.putt_kernels import Grid, Putter, fill_makes, legendre, look_up, sweep
from firstbounce.players.putting import STEEPEST_DOWN, STEEPEST_UP, putter_numbers, slope_number
from firstbounce.players.skill import PuttingSkill

LONGEST_M = 36.0  #: last length of the table; beyond it putts go on rising as in the last step [m]
_LENGTHS, _ALONGS, _ACROSSES = 61, 16, 5
_MISS_POINTS = 10  #: of the quadrature over misses; more change expected putts by about 0.005 at most
_TOLERANCE = 3e-4  #: of expected putts, at which the iteration ends
_MOST_SWEEPS = 40

GRID = Grid(
    root_step=LONGEST_M**0.5 / (_LENGTHS - 1),
    along_low=STEEPEST_DOWN,
    along_step=(STEEPEST_UP - STEEPEST_DOWN) / (_ALONGS - 1),
    across_step=STEEPEST_UP / (_ACROSSES - 1),
)


class PuttTables(NamedTuple):
    """Expected putts and one-putt chance over GRID, each of shape (lengths, alongs, acrosses)."""

    putts: NDArray[np.float64]
    makes: NDArray[np.float64]


@lru_cache(maxsize=32)
def putt_tables(skill: PuttingSkill) -> PuttTables:
    """Tables for one skill, worked out at first use by iterating putt after putt until nothing changes."""
    player = Putter(*putter_numbers(skill))
    makes = np.empty((_LENGTHS, _ALONGS, _ACROSSES))
    fill_makes(makes, GRID, player, legendre())
    table = 2.0 - makes
    for _ in range(_MOST_SWEEPS):
        if sweep(table, GRID, player, legendre(_MISS_POINTS)) < _TOLERANCE:
            break
    table.flags.writeable = makes.flags.writeable = False
    return PuttTables(table, makes)


def expected_putts(
    skill: PuttingSkill,
    length_m: ArrayLike,
    *,
    green_deceleration: float,
    slope: float = 0.0,
    slope_across: float = 0.0,
) -> NDArray[np.float64]:
    """Expected putts from lengths [m] on a plane; slopes are rise over run, uphill positive."""
    along = float(slope_number(slope, green_deceleration))
    across = float(slope_number(slope_across, green_deceleration))
    lengths = np.asarray(length_m, float)
    if not np.all(lengths >= 0):
        raise OutOfRange("A putt cannot be shorter than 0 m.")
    table = putt_tables(skill).putts
    flat = [look_up(table, GRID, length, along, across) for length in lengths.ravel()]
    return np.array(flat).reshape(lengths.shape)
