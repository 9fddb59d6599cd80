"""Prices by a short formula, so that tests of the planner need no table of strokes.

Putting of a 90-golfer by the angle and distance model (1.29 degrees, 18.5 %), a chip and 1.9 putts from off
the green, a stroke more when the ball is lost.
"""

import numpy as np
from scipy.special import ndtr

from firstbounce.planning.prices import Price

ANGLE, SHARE, ROOM = np.radians(1.29), 0.185, 0.054 - 0.0213


class FormulaPrices:
    """Expected strokes on a green that is the same everywhere."""

    def __init__(self, ground, hole):
        self.ground, self.hole = ground, np.asarray(hole)

    def price(self, finished, outcome):
        far = np.hypot(*(finished - self.hole).T)
        one = one_putt(far)
        green = self.ground.on_green(finished[:, 0], finished[:, 1])
        cost = np.where(green, 1 + (1 - one) * (1.02 + 0.004 * far), 2.9 + 0.02 * far)
        lost = (outcome == 4) | (outcome == 5)
        cost = np.where(lost, 4.0, cost)
        holed = (outcome == 1) | (outcome == 2)
        return Price(
            1 + np.where(holed, 0.0, cost),
            np.where(holed, 1.0, np.where(green & ~lost, one, 0.0)),
            holed | (green & ~lost),
        )


def one_putt(far):
    """Chance to hole a putt of `far` metres, angle and distance model (Gelman & Nolan; aim 0.3 m past)."""
    feet = np.maximum(far / 0.3048, 1e-3)
    angle = np.where(
        far > ROOM, 2 * ndtr(np.arcsin(np.minimum(ROOM / np.maximum(far, ROOM), 1)) / ANGLE) - 1, 1
    )
    sd = (feet + 1) * SHARE
    return angle * (ndtr(2 / sd) - ndtr(-1 / sd))
