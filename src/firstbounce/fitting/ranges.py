"""Chances of ranges: how likely a normal cloud puts a ball inside a circle or beyond it on one side."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import erfc, ndtr

Floats = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(20)
SMALLEST = 1e-12  #: no chance is taken as smaller


class Cloud(NamedTuple):
    """Independent normals along (long positive) and across (right positive), about a centre; (n,) [m]."""

    along: Floats
    across: Floats
    sd_along: Floats
    sd_across: Floats


#: Sectors by the angle from straight long, toward the right [rad]; a landing is named by its larger miss.
SECTORS: dict[str, tuple[float, float]] = {
    "long": (-math.pi / 4, math.pi / 4),
    "right": (math.pi / 4, 3 * math.pi / 4),
    "short": (3 * math.pi / 4, 5 * math.pi / 4),
    "left": (5 * math.pi / 4, 7 * math.pi / 4),
    "past": (-math.pi / 2, math.pi / 2),
    "not past": (math.pi / 2, 3 * math.pi / 2),
}


def cloud(along: ArrayLike, across: ArrayLike, sd_along: ArrayLike, sd_across: ArrayLike) -> Cloud:
    """A cloud from numbers that broadcast."""
    parts = [np.atleast_1d(np.asarray(a, dtype=np.float64)) for a in (along, across, sd_along, sd_across)]
    return Cloud(*np.broadcast_arrays(*parts))


def chance_beyond(c: Cloud, radius_m: ArrayLike, sector: tuple[float, float]) -> Floats:
    """Chance (n,) that a ball lies outside a circle about the origin, within a sector of angles.

    Polar integral: along each ray the normal density times r integrates in closed form, the angles by
    Gauss's rule with 20 nodes in each quarter turn.
    """
    low, high = sector
    pieces = max(1, round((high - low) / (math.pi / 2)))
    edges = np.linspace(low, high, pieces + 1)
    total = np.zeros(len(c.along))
    for start, stop in pairwise(edges):
        angle = 0.5 * (stop + start) + 0.5 * (stop - start) * _NODES
        rays = _ray(c, np.asarray(radius_m, dtype=np.float64), angle)
        total += 0.5 * (stop - start) * rays @ _WEIGHTS
    return np.clip(total, SMALLEST, 1.0)


def _ray(c: Cloud, radius: Floats, angle: Floats) -> Floats:
    """Integral from the radius to infinity of density times r along each angle, (n, angles)."""
    u = np.cos(angle) / c.sd_along[:, None]
    v = np.sin(angle) / c.sd_across[:, None]
    a = u * u + v * v
    b = u * (c.along / c.sd_along)[:, None] + v * (c.across / c.sd_across)[:, None]
    rest = (c.along / c.sd_along) ** 2 + (c.across / c.sd_across) ** 2
    nearest = b / a
    t = np.sqrt(0.5 * a) * (np.broadcast_to(radius, c.along.shape)[:, None] - nearest)
    level = np.exp(-0.5 * (rest[:, None] - b * nearest))
    part = np.exp(-t * t) / a + nearest * np.sqrt(0.5 * math.pi / a) * erfc(t)
    return level * part / (2 * math.pi * (c.sd_along * c.sd_across)[:, None])


def chance_within(c: Cloud, radius_m: ArrayLike) -> Floats:
    """Chance (n,) that a ball lies within a circle about the origin."""
    outside = chance_beyond(c, radius_m, SECTORS["past"]) + chance_beyond(c, radius_m, SECTORS["not past"])
    return np.clip(1.0 - outside, SMALLEST, 1.0)


def chance_between(mean: ArrayLike, sd: ArrayLike, low: ArrayLike, high: ArrayLike) -> Floats:
    """Chance that a normal lies between two bounds, kept accurate in both tails."""
    mean, sd, low, high = (np.asarray(a, dtype=np.float64) for a in (mean, sd, low, high))
    a, b = (low - mean) / sd, (high - mean) / sd
    flip = a > 0
    return np.clip(np.where(flip, ndtr(-a) - ndtr(-b), ndtr(b) - ndtr(a)), SMALLEST, 1.0)
