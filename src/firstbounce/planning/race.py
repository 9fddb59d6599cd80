"""A race between choices on common draws: play on until the front runner is clear or the balls run out.

Each round plays more draws for the choices still in the race, all with the same luck. A choice leaves when
its paired difference from the front runner is clearly above zero. Nothing is decided on unpaired means.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from firstbounce.planning.landing import Floats

INDIFFERENCE = 0.015  #: strokes: choices closer than this are told to be equal [choice]
CLEAR = 2.6  #: standard errors at which a paired difference counts as seen (about 99 %)

Play = Callable[[int, int, int], Floats]  #: (choice, first draw, draw after the last) -> costs of those draws


@dataclass(frozen=True, slots=True)
class Standing:
    """One choice after the race: mean cost, and its difference from the front runner on common draws."""

    index: int
    mean: float
    behind: float  #: mean paired difference from the front runner [strokes]
    behind_error: float  #: its standard error [strokes]
    draws: int  #: draws that were played for it

    @property
    def equal(self) -> bool:
        """Cannot be told from the front runner, or the difference does not matter."""
        return self.behind <= max(INDIFFERENCE, CLEAR * self.behind_error)

    @property
    def clearly_behind(self) -> bool:
        return self.behind - CLEAR * self.behind_error > 0


def run_race(play: Play, choices: int, rounds: Sequence[int]) -> list[Standing]:
    """Race `choices` over the draws up to each of `rounds` in turn; standings with the front runner first."""
    costs: list[Floats] = [np.empty(0) for _ in range(choices)]
    running = set(range(choices))
    for end in rounds:
        for choice in sorted(running):
            costs[choice] = np.concatenate([costs[choice], play(choice, len(costs[choice]), end)])
        standings = stand(costs, running)
        running = {s.index for s in standings if s.index in running and not s.clearly_behind}
        if len(running) == 1:
            break
    return stand(costs, running)


def stand(costs: list[Floats], running: set[int]) -> list[Standing]:
    """Standings from the costs so far; the front runner is the cheapest still running."""
    front = min(sorted(running), key=lambda i: float(costs[i].mean()))
    rows = [_standing(i, costs[i], costs[front]) for i in range(len(costs)) if len(costs[i])]
    return sorted(rows, key=lambda s: (s.index != front, s.behind))


def _standing(index: int, cost: Floats, front: Floats) -> Standing:
    n = min(len(cost), len(front))
    difference = cost[:n] - front[:n]
    error = float(difference.std(ddof=1) / np.sqrt(n)) if n > 1 else float("inf")
    return Standing(index, float(cost.mean()), float(difference.mean()), error, len(cost))
