"""The exact split of each ball into plan, reading, landing and run miss (DESIGN 6).

H is the hole, S the landing spot, L landed, F finished; f0 and f1 the model then and now:
F - H = (f0(S) - H) + (f1(S) - f0(S)) + (f1(L) - f1(S)) + (F - f1(L)).
Along and across the line from start to hole: long and right positive.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.review.expected import Foresight, finishes, foresee, shots_to
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Strike

Floats = NDArray[np.float64]
PARTS = ("plan", "reading", "landing", "run")
SHORTEST_LINE = 0.5  #: start and hole closer than this have no line [m]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A ball that cannot be split, and why. It stays in the log."""

    id: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """n balls; every part is (n, 2) along and across the line from start to hole [m].

    A holed ball has no finish: `total`, `run` and `unforeseen` are nan there, its landing counts.
    """

    balls: tuple[Ball, ...]
    total: Floats  #: F - H
    plan: Floats  #: f0(S) - H
    reading: Floats  #: f1(S) - f0(S)
    landing: Floats  #: f1(L) - f1(S)
    run: Floats  #: F - f1(L)
    missed: Floats  #: L - S: where it landed against the landing spot
    unforeseen: Floats  #: (n,) F - f0(L) along the run, over the run that was expected [-]
    turned: Floats  #: (n,) the same across the run
    then: Foresight  #: the model then, for the landing spots
    carry: Floats  #: (n,) meant [m]
    kind: NDArray[np.int64]  #: (n,) UNTAGGED, CLEAN or MISHIT

    def __len__(self) -> int:
        return len(self.balls)

    @property
    def from_spot(self) -> Floats:
        """(n, 2) where the ball would have finished against the hole had it landed on its spot [m]."""
        return self.total - self.landing

    @property
    def finished(self) -> NDArray[np.bool_]:
        """(n,) whether the ball has a finish."""
        return np.isfinite(self.total[:, 0])

    def take(self, rows: NDArray[np.bool_]) -> Split:
        """Some of the balls."""
        kept = {f.name: getattr(self, f.name) for f in fields(self)}
        balls = tuple(ball for ball, keep in zip(self.balls, rows, strict=True) if keep)
        then = Foresight(**{f.name: getattr(self.then, f.name)[rows] for f in fields(self.then)})
        arrays = {name: value[rows] for name, value in kept.items() if isinstance(value, np.ndarray)}
        return Split(balls=balls, then=then, **arrays)


UNTAGGED, CLEAN, MISHIT = 0, 1, 2


def split(
    balls: Sequence[Ball],
    *,
    then: Fit,
    now: Fit | None = None,
    ground: Ground,
    air: AirSpec | None = None,
    laws: Laws | None = None,
) -> tuple[Split, tuple[LeftOut, ...]]:
    """Split balls by the model as it was when the plan was made (`then`) and as it is now (`now`).

    CannotEstimate when no ball can be split; ParameterError when balls are of another green.
    """
    air, laws, now = air or AirSpec(), laws or Laws(), now or then
    kept, out = _sorted_out(balls, then, ground)
    if not kept:
        raise CannotEstimate(_nothing(balls, out))
    spots, landed = (
        np.array([getattr(b, name) for b in kept], dtype=np.float64) for name in ("aim", "landed")
    )
    to_spot, to_landed = shots_to(then, kept, spots), shots_to(then, kept, landed)
    seen = foresee(then, ground, to_spot, air, laws)
    f0_landed = finishes(then, ground, to_landed, air, laws)
    if now is then:
        f1_spot, f1_landed = seen.finish, f0_landed
    else:
        f1_spot = finishes(now, ground, to_spot, air, laws)
        f1_landed = finishes(now, ground, to_landed, air, laws)
    played = np.asarray(np.isfinite(f1_spot + f1_landed + f0_landed).all(axis=1))
    whole = _parts(kept, spots, landed, seen, f0_landed, f1_spot, f1_landed)
    out += [
        LeftOut(b.id, "the model cannot land a ball there")
        for b, ok in zip(kept, played, strict=True)
        if not ok
    ]
    if not played.any():
        raise CannotEstimate(_nothing(balls, out))
    return whole.take(played), tuple(out)


def _sorted_out(balls: Sequence[Ball], fit: Fit, ground: Ground) -> tuple[list[Ball], list[LeftOut]]:
    kept, out = [], []
    putters = {name for name in {ball.club for ball in balls} if fit.player.bag.club(name).is_putter}
    for ball in balls:
        reason = _why_not(ball, ball.club in putters, fit.wet)
        if reason:
            out.append(LeftOut(ball.id, reason))
        else:
            kept.append(ball)
    for ball in kept:
        if not all(place is None or ground.holds(place) for place in (ball.start, ball.hole, ball.landed)):
            raise ParameterError(
                f"Ball {ball.id} lies outside the map of this green: review the balls of one green at a time."
            )
    return kept, out


def _why_not(ball: Ball, is_putt: bool, wet: bool) -> str | None:
    if is_putt:
        return "a putt has no landing"
    if ball.lie.wet != wet:
        return "its lie is wet and the day is dry" if ball.lie.wet else "its lie is dry and the day is wet"
    missing = {
        "no landing spot was set for it": ball.aim is None,
        "no hole was set for it": ball.hole is None,
        "nobody placed where it landed": ball.landed is None,
        "nobody placed where it finished": ball.finished is None and not ball.holed,
    }
    reason = next((words for words, is_missing in missing.items() if is_missing), None)
    if reason or ball.aim is None or ball.hole is None or ball.landed is None:
        return reason
    if _far(ball.start, ball.hole) < SHORTEST_LINE:
        return "it was hit from beside the hole"
    if min(_far(ball.start, ball.aim), _far(ball.start, ball.landed)) < SHORTEST_LINE:
        return "it carried less than half a metre"
    return None


def _far(a: tuple[float, float], b: tuple[float, float]) -> float:
    return math.hypot(a[0] - b[0], a[1] - b[1])


def _nothing(balls: Sequence[Ball], out: Sequence[LeftOut]) -> str:
    if not balls:
        return "There are no placed balls to review: log at least three."
    return f"None of the {len(balls)} balls can be reviewed; the first one: {out[0].reason}."


def _parts(
    balls: Sequence[Ball],
    spots: Floats,
    landed: Floats,
    seen: Foresight,
    f0_landed: Floats,
    f1_spot: Floats,
    f1_landed: Floats,
) -> Split:
    hole = np.array([b.hole for b in balls], dtype=np.float64)
    start = np.array([b.start for b in balls], dtype=np.float64)
    gone = (np.nan, np.nan)
    finish = np.array(
        [gone if b.holed or b.finished is None else b.finished for b in balls], dtype=np.float64
    )
    line = hole - start
    line = line / np.hypot(*line.T)[:, None]
    away = finish - f0_landed
    axis, run = seen.axis, seen.run
    return Split(
        balls=tuple(balls),
        total=to_line(finish - hole, line),
        plan=to_line(seen.finish - hole, line),
        reading=to_line(f1_spot - seen.finish, line),
        landing=to_line(f1_landed - f1_spot, line),
        run=to_line(finish - f1_landed, line),
        missed=to_line(landed - spots, line),
        unforeseen=(away * axis).sum(1) / run,
        turned=(away[:, 0] * axis[:, 1] - away[:, 1] * axis[:, 0]) / run,
        then=seen,
        carry=np.hypot(*(spots - start).T),
        kind=np.array([_kind(b.strike) for b in balls], dtype=np.int64),
    )


def to_line(way: Floats, line: Floats) -> Floats:
    """World vectors (n, 2) as along and across unit vectors (n, 2): long and right positive."""
    along = (way * line).sum(1)
    return np.column_stack([along, way[:, 0] * line[:, 1] - way[:, 1] * line[:, 0]])


def _kind(strike: Strike | None) -> int:
    if strike is None:
        return UNTAGGED
    return CLEAN if strike is Strike.CLEAN else MISHIT
