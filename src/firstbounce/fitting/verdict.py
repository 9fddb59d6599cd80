"""Whether the balls agree with any day and player we can think of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtrc

from firstbounce.fitting.layout import Belief
from firstbounce.fitting.likelihood import POINT
from firstbounce.fitting.result import Verdict
from firstbounce.fitting.solve import Seen, Solution

FEWEST_BALLS = 3  #: fewer runs than this leave the usual values as they are
#: Scatter of single runs beyond this is no ground's; shuffled logs give 0.4 and more.
LARGEST_SCATTER = 0.34
LARGEST_ODD_SHARE = 0.5  #: more probable mishits than this among balls that nobody tagged
RARE_SESSIONS = 0.001  #: sessions as different as this by chance are not of one day; choice
FARTHEST = 4.0  #: length of the departure of day and player in prior sds; choice, 3.3 seen in trials


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict with its reasons."""

    verdict: Verdict
    remarks: tuple[str, ...]


def judge(
    solution: Solution, seen: Seen, prior: Belief, untagged: np.ndarray, sessions: Sequence[str | None] = ()
) -> Judged:
    """The verdict on a solution; `untagged` (n,) says which balls nobody called clean or a mishit.

    `sessions` (n,) names the session of each ball: several are taken as one day, and said to be, unless
    their runs differ by more than one day's could.
    """
    n = int((seen.finishes.kind < 6).sum())
    if n < FEWEST_BALLS:
        return Judged("prior only", (f"{n} balls with a known run: from {FEWEST_BALLS} on they count.",))
    remarks = [
        *_scatter_remark(solution),
        *_odd_remark(solution, seen, untagged),
        *_far_remark(solution, prior),
        *_session_remark(solution, seen, sessions),
    ]
    if remarks:
        return Judged("balls disagree", tuple(remarks))
    return Judged("fitted", _one_day_remark(sessions))


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


def _far_remark(solution: Solution, prior: Belief) -> list[str]:
    off = solution.theta - prior.mean
    far = float(np.sqrt(off @ np.linalg.solve(prior.covariance, off)))
    if far < FARTHEST:
        return []
    return ["No usual green and delivery give these runs: check the unit of lengths, green speed and lofts."]


def _session_remark(solution: Solution, seen: Seen, sessions: Sequence[str | None]) -> list[str]:
    """Sessions whose runs lie apart from one another by more than chance allows."""
    names = np.array([name or "" for name in sessions])
    used = seen.finishes.kind == POINT
    if len(names) != len(used) or len(set(names[used])) < 2:
        return []
    off = np.clip(solution.along / np.maximum(solution.expected_sd, 1e-9), -3.0, 3.0)[used]
    middle = float(off.mean())
    groups = [off[names[used] == name] for name in dict.fromkeys(names[used])]
    apart = sum(len(group) * (float(group.mean()) - middle) ** 2 for group in groups)
    chance = float(chdtrc(len(groups) - 1, apart / max(float(off.var()), 1.0)))
    if chance > RARE_SESSIONS:
        return []
    return [
        f"The runs of {len(groups)} sessions differ more than those of one day on one green would: "
        "give the balls of each session on their own."
    ]


def _one_day_remark(sessions: Sequence[str | None]) -> tuple[str, ...]:
    names = list(dict.fromkeys(name for name in sessions if name))
    if len(names) < 2:
        return ()
    return (f"Balls of {len(names)} sessions ({', '.join(names)}) are taken as hit on one green on one day.",)
