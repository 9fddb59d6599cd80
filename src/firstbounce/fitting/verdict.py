"""Whether the balls agree with any day and player we can think of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.fitting.likelihood import POINT
from firstbounce.fitting.result import Verdict
from firstbounce.fitting.solve import Seen, Solution

FEWEST_BALLS = 3  #: fewer runs than this leave the usual values as they are
#: Scatter of single runs beyond this is no ground's; shuffled logs give 0.4 and more.
LARGEST_SCATTER = 0.34
LARGEST_ODD_SHARE = 0.5  #: more probable mishits than this among balls that nobody tagged
FARTHEST = 4.0  #: length of the departure of day and player in prior sds; choice, 3.3 seen in trials


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict with its reasons."""

    verdict: Verdict
    remarks: tuple[str, ...]


def judge(solution: Solution, seen: Seen, prior: np.ndarray, untagged: np.ndarray) -> Judged:
    """The verdict on a solution; `untagged` (n,) says which balls nobody called clean or a mishit."""
    n = int((seen.finishes.kind < 6).sum())
    if n < FEWEST_BALLS:
        return Judged("prior only", (f"{n} balls with a known run: from {FEWEST_BALLS} on they count.",))
    remarks = [
        *_scatter_remark(solution),
        *_odd_remark(solution, seen, untagged),
        *_far_remark(solution, prior),
    ]
    return Judged("balls disagree" if remarks else "fitted", tuple(remarks))


def _scatter_remark(solution: Solution) -> list[str]:
    scatter = float(np.exp(solution.ln_scatter))
    if scatter < LARGEST_SCATTER:
        return []
    return [
        f"The same stroke runs differently by {100 * scatter:.0f} percent from ball to ball, more than a "
        "green does: check clubs, starts and which landing belongs to which finish."
    ]


def _odd_remark(solution: Solution, seen: Seen, untagged: np.ndarray) -> list[str]:
    rows = untagged & (seen.finishes.kind == POINT)
    if rows.sum() < 4 or np.mean(1 - solution.clean[rows]) < LARGEST_ODD_SHARE:
        return []
    return ["More than half of the balls look like mishits though none was called one: check the log."]


def _far_remark(solution: Solution, prior: np.ndarray) -> list[str]:
    far = float(np.sqrt(solution.theta @ np.linalg.solve(prior, solution.theta)))
    if far < FARTHEST:
        return []
    return ["No usual green and delivery give these runs: check the unit of lengths, green speed and lofts."]
