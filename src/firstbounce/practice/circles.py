"""The landing circle for a wanted success rate: about the player's own centre, and about the spot.

The first is for training consistency, the second for testing accuracy; both hold unequal spreads along and
across, and the second the bias. The integrals are those of players.circle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstbounce.errors import ParameterError
from firstbounce.players.circle import circle_radius_m

ROPE_STEP_M = 0.1  #: a rope circle is laid to this [m]
SMALLEST_M = 0.3  #: smaller rope circles cannot be laid or seen from 15 m [m], a choice


@dataclass(frozen=True, slots=True, kw_only=True)
class CircleSize:
    """Radii [m] for one success rate."""

    success: float
    consistency_m: float  #: about the own centre
    accuracy_m: float  #: about the spot

    @property
    def shown_m(self) -> float:
        """The accuracy radius as rope can show it [m]."""
        return rope_radius_m(self.accuracy_m)


def circle_size(
    success: float,
    *,
    along_m: float,
    across_m: float,
    bias_along_m: float = 0.0,
    bias_across_m: float = 0.0,
) -> CircleSize:
    """Both radii for spreads and biases [m] along and across the line."""
    return CircleSize(
        success=success,
        consistency_m=circle_radius_m(success, along_m=along_m, across_m=across_m),
        accuracy_m=circle_radius_m(
            success,
            along_m=along_m,
            across_m=across_m,
            bias_along_m=bias_along_m,
            bias_across_m=bias_across_m,
        ),
    )


def rope_radius_m(radius_m: float) -> float:
    """A radius rounded to what a rope shows [m]."""
    if not (math.isfinite(radius_m) and radius_m > 0):
        raise ParameterError(f"A circle needs a radius above 0 m, got {radius_m:g}.")
    return max(round(radius_m / ROPE_STEP_M) * ROPE_STEP_M, SMALLEST_M)
