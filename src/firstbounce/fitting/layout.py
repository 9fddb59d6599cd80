"""The order of the unknowns of the day and the strokes, and what is believed of them before any ball.

ln firmness, Stimp, lean, lean of each club, discrepancy of each club, its change with carry, what each rough
kind of lie adds, its change with loft and carry together, ln hang time. Readings and usual delivery are 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.assumptions import Assumptions, lever
from firstbounce.ground.conditions import GreenToday
from firstbounce.players.clubs import Club
from firstbounce.players.delivery import CLUB_LEAN_SD_DEG
from firstbounce.players.player import Player
from firstbounce.words import Lie, LieKind

Floats = NDArray[np.float64]

FIRMNESS, STIMP, LEAN = 0, 1, 2  #: places of ln firmness [-], Stimp [ft], lean [deg]
_FIRST = 3
LIE_GROUPS = ("clean grass", "light rough", "heavy rough", "sand edge")
_GROUP = {
    LieKind.LIGHT_ROUGH: 1,
    LieKind.HEAVY_ROUGH_UP: 2,
    LieKind.HEAVY_ROUGH_DOWN: 2,
    LieKind.SAND_EDGE: 3,
}


def lie_group(lie: Lie) -> int:
    """Index into LIE_GROUPS: lies of one group share a discrepancy."""
    return _GROUP.get(lie.kind, 0)


class Belief(NamedTuple):
    """Mean (size,) and covariance (size, size) of the unknowns before any ball."""

    mean: Floats
    covariance: Floats


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each unknown stands for a bag of lofted clubs."""

    clubs: tuple[Club, ...]

    @property
    def n_clubs(self) -> int:
        return len(self.clubs)

    @property
    def size(self) -> int:
        return _FIRST + 2 * self.n_clubs + 1 + len(LIE_GROUPS) - 1 + 2

    @property
    def lofts_deg(self) -> Floats:
        return np.array([club.loft_deg for club in self.clubs])

    @property
    def club_lean(self) -> slice:
        return slice(_FIRST, _FIRST + self.n_clubs)

    @property
    def discrepancy(self) -> slice:
        return slice(_FIRST + self.n_clubs, _FIRST + 2 * self.n_clubs)

    @property
    def carry_slope(self) -> int:
        return _FIRST + 2 * self.n_clubs

    def lie(self, group: int) -> int:
        """Place of a lie group's discrepancy; group 0 has none."""
        return self.carry_slope + group

    @property
    def loft_carry(self) -> int:
        """Place of the discrepancy's change with loft (in tens of degrees) and ln carry at once."""
        return self.size - 2

    @property
    def hang(self) -> int:
        return self.size - 1

    def names(self) -> tuple[str, ...]:
        """A name for every unknown, with its unit."""
        clubs = [club.name for club in self.clubs]
        return (
            "ln firmness",
            "stimp_ft",
            "lean_deg",
            *(f"lean_deg of {club}" for club in clubs),
            *(f"ln run of {club}" for club in clubs),
            "ln run by ln carry",
            *(f"ln run from {group}" for group in LIE_GROUPS[1:]),
            "ln run by loft and ln carry",
            "ln hang time",
        )

    def carry_slopes(self, theta: Floats) -> Floats:
        """Change of ln run with ln carry of each club (..., clubs) from unknowns (..., size)."""
        return np.asarray(
            theta[..., [self.carry_slope]] + theta[..., [self.loft_carry]] * lever(self.lofts_deg)
        )

    def belief(self, today: GreenToday, player: Player, assumed: Assumptions) -> Belief:
        """What is believed of the unknowns before any ball."""
        mean = np.zeros(self.size)
        mean[self.discrepancy] = assumed.law_loft * lever(self.lofts_deg)
        mean[self.carry_slope], mean[self.loft_carry] = assumed.law_carry, assumed.law_cross
        return Belief(mean, self.prior(today, player, assumed))

    def prior(self, today: GreenToday, player: Player, assumed: Assumptions) -> Floats:
        """Prior covariance (size, size)."""
        cov = np.zeros((self.size, self.size))
        lean_sd = np.hypot(player.extra_lean_deg.sd, assumed.attack_lean_deg)
        club_sd = np.hypot(CLUB_LEAN_SD_DEG, [club.loft_sd_deg for club in self.clubs])
        singles = [max(today.firmness.sd, 0.02), max(today.stimp_ft.sd, 0.05), lean_sd]
        singles += [*club_sd, *np.zeros(self.n_clubs), 0.0]
        singles += [assumed.lie_sd] * (len(LIE_GROUPS) - 1) + [0.0, assumed.hang_sd]
        np.fill_diagonal(cov, np.square(singles))
        cov[self.discrepancy, self.discrepancy] = assumed.loft_covariance(self.lofts_deg)
        cov[self.discrepancy, self.discrepancy] += 1e-8 * np.eye(self.n_clubs)
        by_law = np.zeros(
            (self.size, 4)
        )  # how each unknown moves with the four parts of the laws in question
        by_law[self.discrepancy, 0], by_law[self.discrepancy, 1] = 1.0, lever(self.lofts_deg)
        by_law[self.carry_slope, 2] = by_law[self.loft_carry, 3] = 1.0
        return np.asarray(cov + by_law @ assumed.law_covariance @ by_law.T)
