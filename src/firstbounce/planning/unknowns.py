"""What is not known of the day and the player, as draws: each draw is one world that the balls allow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.fitting.assumptions import USUAL_CARRY_M
from firstbounce.fitting.result import FitDraws
from firstbounce.planning.landing import Floats

SHORTEST_SHARE = 0.05  #: no ball runs less than this share of what was expected [-]


@dataclass(frozen=True, slots=True)
class Unknowns:
    """n draws of everything uncertain, shared by all clubs; arrays have shape (n,)."""

    deceleration: Floats  #: of a rolling ball on the level green [m/s2]
    firmness: Floats  #: firmness index of the day [-]
    loft_deg: Mapping[str, Floats]  #: by club: added to the usual delivered loft [deg]
    ln_run: Mapping[str, Floats]  #: by club: log of the factor on the run at the usual carry [-]
    carry_slope: Mapping[str, Floats]  #: by club: change of that with ln carry [-]
    scatter: Mapping[str, Floats]  #: by club: relative scatter of single runs [-]
    ground: NDArray[np.int64]  #: which of the drawn surfaces

    def __post_init__(self) -> None:
        n = len(self.deceleration)
        maps = (self.loft_deg, self.ln_run, self.carry_slope, self.scatter)
        by_club = [row for one in maps for row in one.values()]
        if n == 0 or any(len(row) != n for row in (self.firmness, self.ground, *by_club)):
            raise ParameterError("Every unknown needs the same number of draws, at least one.")

    @classmethod
    def of(cls, draws: FitDraws, surfaces: int = 1) -> Unknowns:
        """The worlds of a fit, dealt out evenly over the drawn surfaces."""
        return cls(
            deceleration=draws.green_deceleration,
            firmness=draws.firmness,
            loft_deg=draws.loft_deg,
            ln_run=draws.ln_run,
            carry_slope=draws.carry_slope,
            scatter=draws.scatter,
            ground=np.arange(len(draws), dtype=np.int64) % surfaces,
        )

    def __len__(self) -> int:
        return len(self.deceleration)

    def run_factor(self, club: str, carry: Floats, draw: NDArray[np.int64], chance: Floats) -> Floats:
        """Log of the factor on the run of single balls [-]: what the laws leave out, and the ball's scatter.

        `chance` are standard draws, heavy-tailed, one a ball.
        """
        way = np.log(np.maximum(carry, 0.5) / USUAL_CARRY_M)
        mean = self.ln_run[club][draw] + self.carry_slope[club][draw] * way
        own: Floats = np.log(np.maximum(1 + self.scatter[club][draw] * chance, SHORTEST_SHARE))
        return mean + own

    def features(self, club: str) -> Floats:
        """What a curve over the draws may depend on for this club, (n, k); the first two are the day's."""
        columns = [np.log(self.deceleration), np.log(self.firmness)]
        columns += [self.loft_deg[club], self.ln_run[club]] if club in self.loft_deg else []
        return np.column_stack(columns)

    def middle(self) -> Unknowns:
        """One draw with the middle value of each unknown, on the first surface, without scatter."""
        zero = np.zeros(1)
        return Unknowns(
            deceleration=np.exp(np.log(self.deceleration).mean(keepdims=True)),
            firmness=np.exp(np.log(self.firmness).mean(keepdims=True)),
            loft_deg={club: row.mean(keepdims=True) for club, row in self.loft_deg.items()},
            ln_run={club: row.mean(keepdims=True) for club, row in self.ln_run.items()},
            carry_slope={club: row.mean(keepdims=True) for club, row in self.carry_slope.items()},
            scatter=dict.fromkeys(self.scatter, zero),
            ground=np.zeros(1, dtype=np.int64),
        )
