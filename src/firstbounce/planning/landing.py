"""Where a player's clean strikes land: errors of carry and of direction around the spot they meant."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.players.spread import LIE_FACTOR, Spread
from firstbounce.words import LieKind

Floats = NDArray[np.float64]

SHORTEST_CARRY = 0.25  #: a struck ball flies at least this far [m]
LEAST_SPREAD = 0.02  #: nobody lands balls closer together than this [m]
LEAST_DIRECTION = 1e-3  #: nor starts them on a truer line [rad]


@dataclass(frozen=True, slots=True)
class LandingErrors:
    """Independent normal errors of carry (floor and share in quadrature) and of direction."""

    floor: float  #: sd of carry that does not shrink with the shot [m]
    share: float  #: sd of carry over carry [-]
    direction: float  #: sd of direction [rad]

    def __post_init__(self) -> None:
        if not (self.floor > 0 and self.share >= 0 and self.direction > 0):
            raise ParameterError(f"A spread needs floor > 0, share >= 0 and direction > 0, got {self}.")

    @classmethod
    def of(cls, spread: Spread, lie: LieKind) -> LandingErrors:
        """The errors of a player's spread from a lie."""
        return cls(
            floor=max(LIE_FACTOR[lie] * spread.floor_m, LEAST_SPREAD),
            share=LIE_FACTOR[lie] * spread.share,
            direction=max(spread.direction(lie), LEAST_DIRECTION),
        )

    def sd_long(self, carry: Floats) -> Floats:
        """Standard deviation of carry [m] of clean strikes meant to carry `carry` [m]."""
        return np.hypot(self.floor, self.share * np.asarray(carry))

    def land(self, carry: Floats, azimuth: Floats, normals: Floats) -> tuple[Floats, Floats]:
        """Carry [m] and azimuth [rad] landed at, from standard normals (n, 2)."""
        landed = carry + self.sd_long(carry) * normals[:, 0]
        return np.maximum(landed, SHORTEST_CARRY), azimuth + self.direction * normals[:, 1]

    def carry_density(self, carry: Floats, meant: Floats) -> Floats:
        """Density [1/m] up to a constant, (n, k), of n carries when each of k is meant."""
        sd = self.sd_long(meant)
        miss = (carry[:, None] - meant) / sd
        return np.exp(-0.5 * miss * miss) / sd

    def azimuth_density(self, azimuth: Floats, meant: Floats) -> Floats:
        """Density [1/rad] up to a constant, (n, k), of n azimuths when each of k is meant."""
        miss = (azimuth[:, None] - meant) / self.direction
        return np.exp(-0.5 * miss * miss)
