"""What is not known of the day and the player, as draws: each draw is one world that the balls allow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.planning.landing import Floats


@dataclass(frozen=True, slots=True)
class Unknowns:
    """n draws of everything uncertain, shared by all clubs; arrays have shape (n,)."""

    deceleration: Floats  #: of a rolling ball on the level green [m/s2]
    firmness: Floats  #: firmness index of the day [-]
    loft_deg: Mapping[str, Floats]  #: by club: added to the usual delivered loft [deg]
    ln_run: Mapping[str, Floats]  #: by club: log of the factor on the run that the laws do not explain [-]
    run_scatter: Floats  #: size of the scatter of ln run from ball to ball [-]
    ground: NDArray[np.int64]  #: which of the drawn surfaces

    def __post_init__(self) -> None:
        n = len(self.deceleration)
        rows = (self.firmness, self.run_scatter, self.ground, *self.loft_deg.values(), *self.ln_run.values())
        if n == 0 or any(len(row) != n for row in rows):
            raise ParameterError("Every unknown needs the same number of draws, at least one.")

    def __len__(self) -> int:
        return len(self.deceleration)

    def features(self, club: str) -> Floats:
        """What a curve over the draws may depend on for this club: (n, k), constant columns left out."""
        columns = [np.log(self.deceleration), np.log(self.firmness)]
        columns += [self.loft_deg[club], self.ln_run[club]] if club in self.loft_deg else []
        kept = [column for column in columns if np.ptp(column) > 1e-12]
        return np.column_stack(kept) if kept else np.zeros((len(self), 1))

    def middle(self) -> Unknowns:
        """One draw with the middle value of each unknown, on the first surface."""
        return Unknowns(
            np.array([np.exp(np.log(self.deceleration).mean())]),
            np.array([np.exp(np.log(self.firmness).mean())]),
            {club: np.array([row.mean()]) for club, row in self.loft_deg.items()},
            {club: np.array([row.mean()]) for club, row in self.ln_run.items()},
            np.zeros(1),
            np.zeros(1, dtype=np.int64),
        )
