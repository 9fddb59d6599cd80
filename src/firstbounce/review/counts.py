"""Plain counts of a set, placed balls and tallies together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.review.split import Split
from firstbounce.review.tallied import CLOSE, TWO_PACES_M, TallySet
from firstbounce.words import TallyFinish, TallyLanding


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """How many balls did what. A placed ball is held against the review's circle, a tally against its own."""

    balls: int
    landing_seen: int
    in_circle: int
    finish_seen: int
    close: int  #: within two paces of the hole, or in it
    holed: int


def counts_of(split: Split, tallied: TallySet, circle_m: float) -> Counts:
    """Count placed balls and tallies; circle_m: radius about the landing spot [m]."""
    holed = sum(ball.holed for ball in split.balls)
    near = int((np.hypot(*split.total[split.finished].T) <= TWO_PACES_M).sum())
    landing, finish = ~tallied.landed(TallyLanding.NOT_SEEN), ~tallied.finished(TallyFinish.NOT_SEEN)
    tally_holed = int(tallied.finished(TallyFinish.HOLED).sum())
    return Counts(
        balls=len(split) + len(tallied),
        landing_seen=len(split) + int(landing.sum()),
        in_circle=int((np.hypot(*split.missed.T) <= circle_m).sum())
        + int(tallied.landed(TallyLanding.IN_CIRCLE).sum()),
        finish_seen=int(split.finished.sum()) + holed + int(finish.sum()),
        close=near + holed + int(tallied.finished(*CLOSE).sum()),
        holed=holed + tally_holed,
    )
