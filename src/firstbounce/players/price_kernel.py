"""Compiled price of many finishes at once."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from firstbounce.players.putt_kernels import look_up
from firstbounce.shot.compiler import compiled
from firstbounce.shot.laws import (
    CANNOT_STOP,
    HOLED_FLYING,
    HOLED_ROLLING,
    IN_WATER,
    LEFT_MAP,
    PLUGGED,
)


class PriceRules(NamedTuple):
    """Numbers of the price that are not in the tables."""

    pull: float  #: 5/7 of gravity [m/s2]
    root_step: float  #: of the lengths of recovery strokes [m^0.5]
    penalty: float  #: strokes after a drop: the penalty and the shot from the start again
    lost_further: float  #: how much further a ball that ran off is taken to be [m]
    lost_turf: int  #: turf code it is taken to lie on
    plugged_costs: float  #: strokes a plugged ball costs over one that sits on the same ground
    putter_doubles: float  #: length of a putt off the green at which its extra cost has doubled [m]
    chip_in: float  #: chance to hole a chip from beside the green [-]


@compiled
def row_at(row, root_step, length):
    """Value of one row of recovery strokes at a length [m]; goes on as in the last step beyond it."""
    s = math.sqrt(length) / root_step
    i = min(int(s), row.shape[0] - 2)
    return row[i] + (s - i) * (row[i + 1] - row[i])


@compiled
def price_one(length, along, across, outcome, turf, tables, costs, grid, rules):
    """Strokes still to play from one finish, and the chance that the next one is holed."""
    putts, makes, recovery = tables
    if outcome in (HOLED_ROLLING, HOLED_FLYING):
        return 0.0, 0.0
    if outcome == IN_WATER:
        return rules.penalty, 0.0
    if outcome in (LEFT_MAP, CANNOT_STOP):
        return row_at(recovery[rules.lost_turf], rules.root_step, length + rules.lost_further), 0.0
    chip = row_at(recovery[turf], rules.root_step, length)
    if outcome == PLUGGED:
        return chip + rules.plugged_costs, 0.0
    through = costs[turf] * (1.0 + length / rules.putter_doubles)
    putt = look_up(putts, grid, length, along, across) + through
    if turf == 0 or putt <= chip:
        return putt, look_up(makes, grid, length, along, across) * (1.0 - min(through, 1.0))
    return chip, rules.chip_in / (1.0 + length)


@compiled
def price_all(
    finish, rise, gradient, hole, braking, outcome, turf, tables, costs, grid, rules, strokes, next_holes
):
    """Fill strokes and next_holes for n finishes; arrays of one row serve all finishes."""
    for i in range(finish.shape[0]):
        h = i if hole.shape[0] > 1 else 0
        x = hole[h, 0] - finish[i, 0]
        y = hole[h, 1] - finish[i, 1]
        length = math.sqrt(x * x + y * y)
        number = rules.pull / (braking[i] if braking.shape[0] > 1 else braking[0])
        along = 0.0
        across = 0.0
        if length > 1e-9:
            k = i if gradient.shape[0] > 1 else 0
            along = number * rise[i] / max(length, 0.25)
            across = number * (gradient[k, 0] * y - gradient[k, 1] * x) / length
        strokes[i], next_holes[i] = price_one(
            length, along, across, outcome[i], turf[i], tables, costs, grid, rules
        )


def empty(n: int) -> tuple[np.ndarray, np.ndarray]:
    """Arrays for n prices."""
    return np.empty(n), np.empty(n)
