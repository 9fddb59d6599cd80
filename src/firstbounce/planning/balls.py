"""Balls played in the mind: where they landed and finished, and what they cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from firstbounce.planning.landing import Floats

Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Balls:
    """n balls of one choice, all arrays one row a ball."""

    long: Floats  #: error along, in the player's own spreads [-]
    wide: Floats  #: error across, in the player's own spreads, right positive [-]
    landed: Floats  #: (n, 2) [m]
    finished: Floats  #: (n, 2) [m]
    outcome: NDArray[np.uint8]  #: index into shot.OUTCOMES
    on_green: Bools  #: on the green, or in the hole
    cost: Floats  #: expected strokes to hole out, this one included
    up_and_down: Floats  #: chance to be in the hole in two strokes or fewer [-]

    def __len__(self) -> int:
        return len(self.cost)

    @property
    def holed(self) -> Bools:
        return (self.outcome == 1) | (self.outcome == 2)

    @property
    def run(self) -> Floats:
        """Landed to finished, straight [m]."""
        return np.hypot(*(self.finished - self.landed).T)

    def first(self, n: int) -> Balls:
        """The first n of them."""
        return Balls(*(getattr(self, field.name)[:n] for field in fields(self)))


def joined(parts: Sequence[Balls]) -> Balls:
    """All balls of several lots, in order."""
    return Balls(*(np.concatenate([getattr(p, field.name) for p in parts]) for field in fields(Balls)))


CLEAN_PER_UNIT = 4  #: clean strikes that share one draw of the unknowns with one mishit [choice]


@dataclass(frozen=True, slots=True)
class Units:
    """Balls in units: one draw of the unknowns, four clean strikes and one mishit each.

    Mishits are rare but dear, so they are played on their own and weighted by their share: the mean of a unit
    has the expected cost of a strike with much less noise than drawing mishits by chance.
    """

    clean: Balls  #: 4 a unit, in order
    mishit: Balls | None  #: 1 a unit; None for a putt
    mishit_share: float  #: [-]

    @property
    def cost(self) -> Floats:
        """Expected strokes of each unit."""
        return self._mean(self.clean.cost, None if self.mishit is None else self.mishit.cost)

    @property
    def up_and_down(self) -> Floats:
        """Chance of up and down in each unit."""
        return self._mean(self.clean.up_and_down, None if self.mishit is None else self.mishit.up_and_down)

    def share(self, what: str) -> float:
        """Chance of `holed` or `on_green`, mishits counted by their share."""
        clean = getattr(self.clean, what).astype(float)
        mishit = None if self.mishit is None else getattr(self.mishit, what).astype(float)
        return float(self._mean(clean, mishit).mean())

    def _mean(self, clean: Floats, mishit: Floats | None) -> Floats:
        per_unit: Floats = clean.reshape(-1, CLEAN_PER_UNIT).mean(axis=1)
        if mishit is None:
            return per_unit
        return (1 - self.mishit_share) * per_unit + self.mishit_share * mishit

    @property
    def weights(self) -> tuple[Floats, Floats]:
        """Weight of each clean strike and of each mishit; all sum to 1."""
        n = len(self.clean)
        if self.mishit is None:
            return np.full(n, 1 / n), np.empty(0)
        k = len(self.mishit)
        return np.full(n, (1 - self.mishit_share) / n), np.full(k, self.mishit_share / k)


def joined_units(parts: Sequence[Units]) -> Units:
    """All units of several lots, in order."""
    mishits = [p.mishit for p in parts if p.mishit is not None]
    return Units(
        joined([p.clean for p in parts]), joined(mishits) if mishits else None, parts[0].mishit_share
    )
