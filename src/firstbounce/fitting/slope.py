"""What is not known of the green's slope, as the fit feels it: longer or shorter runs, and balls sideways."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.ground import Ground
from firstbounce.units import GRAVITY, stimp_to_deceleration

Floats = NDArray[np.float64]


class UnsureSlope(NamedTuple):
    """Standard deviations that one unknown slope gives all balls of a day."""

    along: float  #: of ln run [-]
    across: float  #: of the finish across the run, per metre of run [-]


def slope_of(ground: Ground, spots: Floats, stimp_ft: float) -> UnsureSlope:
    """From how well the surface knows its own gradient where balls landed, spots (n, 2) [m].

    A slope s changes the deceleration a of a roll by (5/7) g s: ln run by (5/7) g s / a, and a ball that
    comes to rest is carried across by half of that per metre: x'' = (5/7) g s - x' / (T - t) gives
    (5/7) g s T^2 / 4 for a roll of time T.
    """
    sd_at = getattr(ground.surface, "slope_sd_at", None)
    if sd_at is None or len(spots) == 0:
        return UnsureSlope(0.0, 0.0)
    sd = float(np.mean(sd_at(spots[:, 0], spots[:, 1])))
    along = 5 / 7 * GRAVITY * sd / float(stimp_to_deceleration(max(stimp_ft, 2.5)))
    return UnsureSlope(along, 0.5 * along)
