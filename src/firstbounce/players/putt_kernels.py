"""Compiled putts: one putt's chance, where its misses stop, and expected putts by iteration.

Slopes are slope numbers (see `putting.slope_number`): along the line, uphill positive, and across.
"""

from __future__ import annotations

import math
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.shot.compiler import compiled, inlined


class Putter(NamedTuple):
    """Errors of one player, and the hole of the published model."""

    angle_technique: float  #: sd of the start direction [rad]
    angle_reading: float  #: sd of the direction through reading, on the level [rad]
    share_technique: float  #: sd of roll over meant roll, technique [-]
    share_reading: float  #: sd of roll over meant roll, reading, on the level [-]
    clearance: float  #: hole radius less ball radius [m]
    aim_past: float  #: meant stop beyond the hole [m]
    too_fast: float  #: level roll past the hole from which the ball stays out [m]


class Grid(NamedTuple):
    """Axes of a table of putts: uniform in the root of length, in slope along and in slope across."""

    root_step: float  #: [m^0.5]
    along_low: float  #: [-]
    along_step: float  #: [-]
    across_step: float  #: [-]


@cache
def legendre(points: int = 16) -> NDArray[np.float64]:
    """Nodes and weights of a Gauss-Legendre rule on -1 to 1, shape (2, points)."""
    return np.ascontiguousarray(np.polynomial.legendre.leggauss(points))


@inlined
def normal_cdf(z):
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


@compiled
def offset_at_hole(length, roll, ratio, across):
    """Sideways way [m] at `length` of a ball that would roll `roll` >= length on a slope across.

    Closed form for constant braking along the path and small angles; checked against integration.
    """
    k = 1.0 / ratio
    w = max(1.0 - length / roll, 0.0)
    if abs(k - 1.0) < 1e-4:
        bend = 0.25 * (1.0 - w + (w * math.log(w) if w > 0.0 else 0.0))
    else:
        bend = (0.5 * (1.0 - w) - (1.0 - w ** (0.5 * (k + 1.0))) / (k + 1.0)) / (k - 1.0)
    return 2.0 * roll * across / ratio * bend


@compiled
def errors(length, along, across, p):
    """Standard deviations of a putt: of its roll [m] and of its angle as seen where it stops [rad]."""
    ratio = 1.0 + along
    roll = (length + p.aim_past) * math.hypot(p.share_technique, p.share_reading / ratio)
    technique = p.angle_technique * 2.0 * ratio / (1.0 + ratio)
    reading = p.angle_reading * 2.0 / (1.0 + ratio)
    breaks = p.share_reading * across / (1.0 + ratio)
    return roll, math.sqrt(technique * technique + reading * reading + breaks * breaks)


@compiled
def angle_at_hole(length, roll, along, across, p):
    """Standard deviation of the angle as seen at the hole [rad] of a ball that would roll `roll` >= length.

    On the level the same for every roll, as in the published model; at roll = length that of `errors`.
    """
    ratio = 1.0 + along
    k = 1.0 / ratio
    w = max(1.0 - length / roll, 0.0)
    technique = p.angle_technique * 2.0 * roll / length * (1.0 - w ** (0.5 * (k + 1.0))) / (k + 1.0)
    pulled = offset_at_hole(length, roll, ratio, 1.0)
    reading = p.angle_reading * pulled / offset_at_hole(length, roll, 1.0, 1.0)
    breaks = p.share_reading * across * pulled / length
    return math.sqrt(technique * technique + reading * reading + breaks * breaks)


@compiled
def first_putt(length, along, across, p, rule):
    """Chance to hole a putt of this length [m]."""
    if length <= p.clearance:
        return 1.0
    ratio = 1.0 + along
    sd, _ = errors(length, along, across, p)
    meant = length + p.aim_past
    low = max(length, meant - 6.0 * sd)
    high = min(length + p.too_fast / ratio, meant + 6.0 * sd)
    if high <= low:
        return 0.0
    opening = math.asin(p.clearance / length)
    aimed = offset_at_hole(length, meant, ratio, across)
    total = 0.0
    for i in range(rule.shape[1]):
        roll = 0.5 * (low + high) + 0.5 * (high - low) * rule[0, i]
        z = (roll - meant) / sd
        drift = (offset_at_hole(length, roll, ratio, across) - aimed) / length
        angle = angle_at_hole(length, roll, along, across, p)
        good = normal_cdf((opening - drift) / angle) - normal_cdf((-opening - drift) / angle)
        total += rule[1, i] * math.exp(-0.5 * z * z) * good
    return min(total * 0.5 * (high - low) / (sd * math.sqrt(2.0 * math.pi)), 1.0)


@compiled
def look_up(table, grid, length, along, across):
    """Value of a table of putts at a length [m] and slope numbers; the edges of the table hold beyond it.

    Lengths beyond the table go on with the slope of its last step.
    """
    n, m, k = table.shape
    s = math.sqrt(length) / grid.root_step
    i = min(int(s), n - 2)
    fs = s - i
    t = min(max((along - grid.along_low) / grid.along_step, 0.0), m - 1.000001)
    j = int(t)
    ft = t - j
    u = min(abs(across) / grid.across_step, k - 1.000001)
    q = int(u)
    fu = u - q
    near = (1.0 - ft) * ((1.0 - fu) * table[i, j, q] + fu * table[i, j, q + 1]) + ft * (
        (1.0 - fu) * table[i, j + 1, q] + fu * table[i, j + 1, q + 1]
    )
    far = (1.0 - ft) * ((1.0 - fu) * table[i + 1, j, q] + fu * table[i + 1, j, q + 1]) + ft * (
        (1.0 - fu) * table[i + 1, j + 1, q] + fu * table[i + 1, j + 1, q + 1]
    )
    return near + fs * (far - near)


@compiled
def from_miss(ahead, aside, along, across, p, table, grid):
    """Expected putts from a ball that stopped `ahead` beyond the hole and `aside` of the line [m].

    The plane falls to the side that the ball breaks to, so it climbs by -across toward positive `aside`.
    """
    left = math.hypot(ahead, aside)
    if left <= p.clearance:
        return 1.0
    up = -(along * ahead - across * aside) / left
    side = (along * aside + across * ahead) / left
    return look_up(table, grid, left, up, side)


@compiled
def after_miss(length, along, across, p, rule, table, grid):
    """Expected further putts times the chance to miss: the integral over all misses of a putt."""
    ratio = 1.0 + along
    sd, angle = errors(length, along, across, p)
    meant = length + p.aim_past
    aimed = offset_at_hole(length, meant, ratio, across) / length
    opening = math.asin(p.clearance / length)
    bottom, top = meant - 5.0 * sd, meant + 5.0 * sd
    fast = length + p.too_fast / ratio
    total = 0.0
    for piece in range(3):
        low = (bottom, max(length, bottom), max(fast, bottom))[piece]
        high = (min(length, top), min(fast, top), top)[piece]
        if high <= low:
            continue
        for i in range(rule.shape[1]):
            roll = 0.5 * (low + high) + 0.5 * (high - low) * rule[0, i]
            z = (roll - meant) / sd
            weight = (
                rule[1, i] * 0.5 * (high - low) * math.exp(-0.5 * z * z) / (sd * math.sqrt(2.0 * math.pi))
            )
            if weight < 1e-9:
                continue
            stop = max(roll, 0.0)
            base = stop * (across / (1.0 + ratio) - aimed)
            if piece == 1:
                drift = offset_at_hole(length, roll, ratio, across) / length - aimed
                at_hole = angle_at_hole(length, roll, along, across, p)
                total += weight * _missed_beside(
                    stop, stop - length, base, opening, drift, at_hole, angle, along, across, p, table, grid
                )
            else:
                total += weight * _missed_anyhow(
                    stop, stop - length, base, angle, along, across, p, table, grid
                )
    return total


@compiled
def _missed_anyhow(stop, ahead, base, angle, along, across, p, table, grid):
    """Mean of further putts over all angles: a 3-point Gauss-Hermite rule."""
    wide = stop * angle * math.sqrt(3.0)
    middle = from_miss(ahead, base, along, across, p, table, grid)
    right = from_miss(ahead, base + wide, along, across, p, table, grid)
    left = from_miss(ahead, base - wide, along, across, p, table, grid)
    return (4.0 * middle + right + left) / 6.0


@compiled
def _missed_beside(stop, ahead, base, opening, drift, at_hole, angle, along, across, p, table, grid):
    """Further putts times chance, over the angles that pass the hole on either side."""
    total = 0.0
    for side in (-1.0, 1.0):
        edge = (opening - side * drift) / at_hole
        chance = normal_cdf(-edge)
        if chance < 1e-9:
            continue
        # the mean of a normal beyond its edge stands for that side
        mean = math.exp(-0.5 * edge * edge) / math.sqrt(2.0 * math.pi) / chance
        aside = base + side * mean * angle * stop
        total += chance * from_miss(ahead, aside, along, across, p, table, grid)
    return total


@compiled
def fill_makes(makes, grid, p, rule):
    """Fill a table with the chance to hole the putt."""
    n, m, k = makes.shape
    for i in range(n):
        length = (i * grid.root_step) ** 2
        for j in range(m):
            for q in range(k):
                makes[i, j, q] = first_putt(
                    length, grid.along_low + j * grid.along_step, q * grid.across_step, p, rule
                )


@compiled
def sweep(table, grid, p, rule):
    """One iteration of expected putts, in place and from short to long; returns the largest change."""
    n, m, k = table.shape
    change = 0.0
    for i in range(n):
        length = (i * grid.root_step) ** 2
        for j in range(m):
            along = grid.along_low + j * grid.along_step
            for q in range(k):
                value = 1.0
                if length > p.clearance:
                    value += after_miss(length, along, q * grid.across_step, p, rule, table, grid)
                change = max(change, abs(value - table[i, j, q]))
                table[i, j, q] = value
    return change
