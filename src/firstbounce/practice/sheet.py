"""The scoring sheet of a block: one box a try, what counts, and what passes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstbounce.practice.drill import Drill


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What to write down. `targets` has the carry of each try where they change, in its order."""

    drill: str
    counts: str  #: what one success is
    tries: int
    passes: int
    targets: tuple[str, ...] = ()

    def lines(self) -> tuple[str, ...]:
        """The sheet as text, ten tries a line."""
        heads = [f"{self.drill}: {self.counts}. Passed with {self.passes} of {self.tries}."]
        for first in range(0, self.tries, 10):
            numbers = range(first + 1, min(first + 10, self.tries) + 1)
            if self.targets:
                cells = [f"{k} {self.targets[k - 1]} [ ]" for k in numbers]
            else:
                cells = [f"{k} [ ]" for k in numbers]
            heads.append("  ".join(cells))
        return tuple(heads)


def sheet_of(drill: Drill, counts: str, balls: int, targets: tuple[str, ...] = ()) -> Sheet:
    """The sheet for this many balls; the pass mark keeps the drill's share, rounded up."""
    tries = max(balls // drill.balls_a_try, 1)
    return Sheet(
        drill=drill.name,
        counts=counts,
        tries=tries,
        passes=passes_of(drill, tries),
        targets=targets[:tries],
    )


def passes_of(drill: Drill, tries: int) -> int:
    """Successes that pass, of this many tries."""
    return max(math.ceil(tries * drill.passes / drill.out_of - 1e-9), 1)
