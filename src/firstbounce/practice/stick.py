"""Where the stick goes that marks the end of the follow-through, for a wanted carry.

The prior: in a short swing with equal backswing and follow-through the hands turn through an arc, and club
speed grows with the arc as a pendulum's does, v proportional to sin(arc / 2); carry grows with speed squared
(no air, one launch angle), so stick distance grows as the root of carry. Measured sources say only that the
length of the swing predicts speed well in every golfer and that each also changes the timing (putting; read),
so the power and the size are both uncertain: stick = size * carry^power, in logarithms a straight line with a
normal prior on both numbers, updated exactly by each logged pair. Sizes of the prior are choices.

Stick distance: along the ground from the ball to the foot of the stick, target side [m].
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from firstbounce.errors import ParameterError

Floats = NDArray[np.float64]

REFERENCE_CARRY_M = 10.0  #: carry at which the prior is stated [m]
PRIOR_STICK_M = 0.75  #: usual stick distance there: 0.6 to 0.9 m in the drill, the middle [m]
PRIOR_LN_SIZE_SD = 0.25
PRIOR_POWER, PRIOR_POWER_SD = 0.5, 0.12
SCATTER, SCATTER_BALLS = 0.12, 4.0  #: ln scatter of stick at a carry, and the balls it is worth
SHORTEST_M, LONGEST_M = 0.3, 2.5  #: a stick nearer or farther is no chip's finish [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class StickPlace:
    """Where to put the stick, with a 90 % interval of what this carry may need, and what it rests on."""

    distance_m: float
    low_m: float
    high_m: float
    n: int  #: logged pairs behind it

    @property
    def source(self) -> str:
        """Said to the coach."""
        return f"learned from {self.n} balls" if self.n else "typical, no balls logged yet"


@dataclass(frozen=True, slots=True)
class StickModel:
    """A line ln stick = a + b ln(carry / 10 m) with its normal-inverse-gamma posterior."""

    mean: tuple[float, float]
    precision: tuple[tuple[float, float], tuple[float, float]]  #: over the scatter's variance
    freedom: float
    square: float  #: scatter variance estimate
    n: int = 0

    def learn(self, stick_m: float, carry_m: float) -> StickModel:
        """The model after one more logged ball. ParameterError for lengths that no chip has."""
        if not (SHORTEST_M <= stick_m <= LONGEST_M and 0.5 <= carry_m <= 60):
            raise ParameterError(
                f"A stick stands {SHORTEST_M:g} to {LONGEST_M:g} m from the ball, chips carry 0.5 to 60 m; "
                f"got {stick_m:g} m and {carry_m:g} m."
            )
        row, seen = _row(carry_m), math.log(stick_m)
        old, mean = np.array(self.precision), np.array(self.mean)
        new = old + np.outer(row, row)
        after = np.linalg.solve(new, old @ mean + row * seen)
        ahead = 1 + float(row @ np.linalg.solve(old, row))
        freedom = self.freedom + 1
        square = (self.freedom * self.square + (seen - float(row @ mean)) ** 2 / ahead) / freedom
        p = ((float(new[0, 0]), float(new[0, 1])), (float(new[1, 0]), float(new[1, 1])))
        return StickModel((float(after[0]), float(after[1])), p, freedom, square, self.n + 1)

    def place(self, carry_m: float) -> StickPlace:
        """Where the stick goes for a carry [m]."""
        if not 0.5 <= carry_m <= 60:
            raise ParameterError(f"A chip carries 0.5 to 60 m, got {carry_m:g}.")
        row = _row(carry_m)
        middle = float(row @ np.array(self.mean))
        spread = 1 + float(row @ np.linalg.solve(np.array(self.precision), row))
        half = float(stdtrit(self.freedom, 0.95)) * math.sqrt(self.square * spread)
        return StickPlace(
            distance_m=math.exp(middle),
            low_m=math.exp(middle - half),
            high_m=math.exp(middle + half),
            n=self.n,
        )


def _row(carry_m: float) -> Floats:
    return np.array([1.0, math.log(carry_m / REFERENCE_CARRY_M)])


def stick_prior() -> StickModel:
    """What is usual before any logged ball."""
    size, power = SCATTER**2 / PRIOR_LN_SIZE_SD**2, SCATTER**2 / PRIOR_POWER_SD**2
    mean, precision = (math.log(PRIOR_STICK_M), PRIOR_POWER), ((size, 0.0), (0.0, power))
    return StickModel(mean, precision, SCATTER_BALLS, SCATTER**2)


def stick_model(pairs: Sequence[tuple[float, float]]) -> StickModel:
    """The model after these logged (stick distance, carry) pairs [m]."""
    model = stick_prior()
    for stick_m, carry_m in pairs:
        model = model.learn(stick_m, carry_m)
    return model
