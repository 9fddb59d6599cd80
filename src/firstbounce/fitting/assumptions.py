"""What the fit believes before any ball: the sizes of everything unknown. See docs/fit.md.

What the laws in question do to the run (`law_...`) is read off an ensemble of laws that the facts leave open,
`python -m benchmarks.fit_laws`; the other sizes are choices.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError

Floats = NDArray[np.float64]

MIDDLE_LOFT_DEG = 47.0  #: loft about which straight-line parts turn [deg]
USUAL_CARRY_M = 7.0  #: carry at which the discrepancy is that of its loft alone [m]
#: Correlation of the four parts of what the laws in question do; `python -m benchmarks.fit_laws` prints it.
LAW_CORRELATION = np.array(
    [
        [1.0, 0.2, 0.6, 0.4],
        [0.2, 1.0, -0.1, 0.4],
        [0.6, -0.1, 1.0, 0.7],
        [0.4, 0.4, 0.7, 1.0],
    ]
)


def lever(loft_deg: ArrayLike) -> Floats:
    """Loft from the middle one, in tens of degrees."""
    return (np.asarray(loft_deg, dtype=np.float64) - MIDDLE_LOFT_DEG) / 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """Prior standard deviations and shapes; all [-] unless the name has a unit."""

    loft_sd: float = 0.12  #: of the smooth part of the discrepancy of ln run
    loft_length_deg: float = 9.0  #: over which that part changes
    law_sd: float = 0.20  #: of what the laws in question share, on ln run
    law_loft: float = 0.06  #: what they add on average for 10 degrees of loft
    law_loft_sd: float = 0.10
    law_carry: float = 0.08  #: what they add on average for a carry e times as long
    law_carry_sd: float = 0.18
    law_cross: float = 0.11  #: what they add on average for both at once
    law_cross_sd: float = 0.11
    lie_sd: float = 0.15  #: of what a lie other than clean grass adds to ln run
    attack_lean_deg: float = 1.8  #: lean-like sd of an attack angle that nobody measured
    hang_sd: float = 0.06  #: of ln hang time, the same for all balls of a day
    hang_reading_s: float = 0.06  #: of one timing by hand or phone
    scatter: float = 0.12  #: median relative sd of single runs at the middle loft
    scatter_sd: float = 0.5  #: of its logarithm
    scatter_rise: float = 0.02  #: rise of ln scatter per degree of loft
    tail: float = 5.0  #: degrees of freedom of clean scatter
    across: float = 0.4  #: scatter across the run over that along it
    mishit_spread: float = 0.6  #: relative spread of the run of a mishit
    share_strength: float = 10.0  #: balls that the usual share of mishits is worth

    def __post_init__(self) -> None:
        if self.tail <= 2 or self.scatter <= 0 or self.loft_length_deg <= 0:
            raise ParameterError("The fit needs tail above 2, scatter and loft length above 0.")

    def loft_covariance(self, lofts_deg: ArrayLike) -> Floats:
        """Prior covariance (k, k) of the smooth part of the discrepancy of clubs of these lofts [deg]."""
        loft = np.asarray(lofts_deg, dtype=np.float64)
        apart = (loft[:, None] - loft) / self.loft_length_deg
        return np.asarray(self.loft_sd**2 * np.exp(-0.5 * apart**2))

    @property
    def law_covariance(self) -> Floats:
        """Prior covariance (4, 4) of what the laws in question do: all, by loft, by carry, by both."""
        sd = np.array([self.law_sd, self.law_loft_sd, self.law_carry_sd, self.law_cross_sd])
        return np.asarray(LAW_CORRELATION * np.outer(sd, sd))

    def scatter_factor(self, loft_deg: ArrayLike) -> Floats:
        """Relative scatter of a club's runs over that at the middle loft [-]."""
        return np.exp(self.scatter_rise * (np.asarray(loft_deg, dtype=np.float64) - MIDDLE_LOFT_DEG))

    @property
    def ln_scatter(self) -> float:
        """Prior mean of ln scatter."""
        return math.log(self.scatter)


WITHOUT_DISCREPANCY = Assumptions(
    loft_sd=1e-4,
    law_sd=1e-4,
    law_loft=0.0,
    law_loft_sd=1e-4,
    law_carry=0.0,
    law_carry_sd=1e-4,
    law_cross=0.0,
    law_cross_sd=1e-4,
    hang_sd=1e-3,
)  #: for comparisons only: as if our bounce law were the real one
