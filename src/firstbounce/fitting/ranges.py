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

    Polar integral in the frame where the cloud is round, so that a thin cloud needs no more nodes than a
    round one: along each ray the density times r integrates in closed form, the angles by Gauss's rule.
    """
    low, high = sector
    pieces = max(1, round((high - low) / (math.pi / 2)))
    edges = [_rounded(c, angle) for angle in np.linspace(low, high, pieces + 1)]
    total = np.zeros(len(c.along))
    for start, stop in pairwise(edges):
        half = (0.5 * (stop - start))[:, None]
        angle = (0.5 * (stop + start))[:, None] + half * _NODES
        total += (half * _ray(c, np.asarray(radius_m, dtype=np.float64), angle)) @ _WEIGHTS
    return np.clip(total, SMALLEST, 1.0)


def _rounded(c: Cloud, angle: float) -> Floats:
    """A direction (n,) [rad] in the frame where the cloud is round; whole turns are kept."""
    turned = np.arctan2(math.sin(angle) / c.sd_across, math.cos(angle) / c.sd_along)
    return np.asarray(turned + 2 * math.pi * np.round((angle - turned) / (2 * math.pi)))


def _ray(c: Cloud, radius: Floats, angle: Floats) -> Floats:
    """Integral from the circle to infinity of density times r along each angle of the round frame."""
    cos, sin = np.cos(angle), np.sin(angle)
    edge = np.broadcast_to(radius, c.along.shape)[:, None] / np.hypot(
        c.sd_along[:, None] * cos, c.sd_across[:, None] * sin
    )
    u, v = (c.along / c.sd_along)[:, None], (c.across / c.sd_across)[:, None]
    nearest = u * cos + v * sin
    t = math.sqrt(0.5) * (edge - nearest)
    level = np.exp(-0.5 * (u * sin - v * cos) ** 2)
    part = np.exp(-t * t) + nearest * math.sqrt(0.5 * math.pi) * erfc(t)
    return np.asarray(level * part / (2 * math.pi))


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
