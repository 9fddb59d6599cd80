"""The course of the hands from address to strike: when they leave, when they turn, how far back they go.

A curve of six numbers is fitted to every frame of the way back and down, least squares: start, turn, address,
arc, and one shape each for the way back (between half a cosine wave and the movement of least jerk; T. Flash
and N. Hogan, J. Neuroscience 5, 1985) and for the way down (between a quarter of a cosine and a parabola).
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np
from scipy.optimize import minimize

from firstbounce.technique.signals import Array

BEFORE_S: Final = 0.25  #: frames this long before the first guess of the start are used [s]
LEAST_FRAMES: Final = 10
LEAST_BACK_S: Final = 0.15
LEAST_DOWN_S: Final = 0.06
IMPOSSIBLE: Final = 1e12


class Course(NamedTuple):
    """When the hands leave the address and turn at the top [s], and the hand angle at both [deg]."""

    start: float
    top: float
    address_deg: float
    top_deg: float


def fitted_course(time: Array, angle: Array, start: float, top: float, strike: float) -> Course | None:
    """The course that fits best, from first guesses; None when there are too few frames or nothing fits.

    angle: of the hands, towards the target positive [deg]. strike: taken as known [s].
    """
    use = (time >= start - BEFORE_S) & (time <= strike)
    t, a = time[use], angle[use]
    if len(t) < LEAST_FRAMES or top - start < LEAST_BACK_S or strike - top < LEAST_DOWN_S:
        return None

    def squares(moments: Any) -> float:
        return _levels(t, a, float(moments[0]), float(moments[1]), strike)[1]

    tries: list[Any] = []
    for early in (0.0, 0.08):
        corner = [start - early, top]
        simplex = [corner, [corner[0] - 0.04, top], [corner[0], top + 0.03]]
        options: Any = {"initial_simplex": simplex, "xatol": 1e-5, "fatol": 1e-12, "maxiter": 300}
        tries.append(minimize(squares, corner, method="Nelder-Mead", options=options))
    best = min(tries, key=lambda found: float(found.fun))
    if best.fun >= IMPOSSIBLE:
        return None
    first, turn = (float(x) for x in best.x)
    levels, _ = _levels(t, a, first, turn, strike)
    return Course(first, turn, float(levels[0]), float(levels[0] - levels[1]))


def _levels(t: Array, a: Array, start: float, top: float, strike: float) -> tuple[Array, float]:
    """Address, arc and two shapes times the arc [deg] for given moments, and the sum of squares left."""
    if top - start < LEAST_BACK_S or strike - top < LEAST_DOWN_S:
        return np.zeros(4), IMPOSSIBLE
    columns = _columns(t, start, top, strike)
    found: Array = np.linalg.lstsq(columns, a, rcond=None)[0].astype(float)
    shape = found[2] / found[1] if found[1] else 0.0
    if not 0.0 <= shape <= 1.0:
        shape = float(np.clip(shape, 0.0, 1.0))
        fewer = np.column_stack([columns[:, 0], columns[:, 1] + shape * columns[:, 2], columns[:, 3]])
        three = np.linalg.lstsq(fewer, a, rcond=None)[0]
        found = np.array([three[0], three[1], shape * three[1], three[2]])
    return found, float(((a - columns @ found) ** 2).sum())


def _columns(t: Array, start: float, top: float, strike: float) -> Array:
    """What multiplies address, arc, and the two shapes (n, 4)."""
    back = t <= top
    s, u = np.clip((t - start) / (top - start), 0, 1), np.clip((t - top) / (strike - top), 0, 1)
    wave, jerk = (1 - np.cos(np.pi * s)) / 2, s**3 * (10 - 15 * s + 6 * s**2)
    quarter, parabola = np.cos(np.pi / 2 * u), 1 - u**2
    away = np.where(back, wave, quarter)
    return np.column_stack(
        [np.ones_like(t), -away, -np.where(back, jerk - wave, 0), -np.where(back, 0, parabola - quarter)]
    )
