"""The exact split of each ball into plan, reading, landing and run miss (DESIGN 6).

H is the hole, S the landing spot, L landed, F finished; f0 and f1 the model then and now:
F - H = (f0(S) - H) + (f1(S) - f0(S)) + (f1(L) - f1(S)) + (F - f1(L)).
Along and across the line from start to hole: long and right positive.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.review.expected import Foresight, finishes, foresee, places, shots_to
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Strike, Tally

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
    start: Floats  #: (n, 2) [m]
    hole: Floats  #: (n, 2) [m]
    line: Floats  #: (n, 2) unit vectors from start to hole

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

    @classmethod
    def together(cls, splits: Sequence[Split]) -> Split:
        """The balls of several days, one after another; what the unknowns did (`then.slope`) stays apart."""
        if len(splits) == 1:
            return splits[0]
        arrays = {
            f.name: np.concatenate([getattr(one, f.name) for one in splits])
            for f in fields(cls)
            if f.name not in ("balls", "then")
        }
        then = Foresight.together([one.then for one in splits])
        return cls(balls=tuple(ball for one in splits for ball in one.balls), then=then, **arrays)


UNTAGGED, CLEAN, MISHIT = 0, 1, 2


def split(
    balls: Sequence[Ball],
    *,
    then: Fit,
    now: Fit | None = None,
    ground: Ground,
    air: AirSpec | None = None,
    laws: Laws | None = None,
    shapes: Sequence[Ground] = (),
) -> tuple[Split, tuple[LeftOut, ...]]:
    """Split balls by the model as it was when the plan was made (`then`) and as it is now (`now`).

    shapes: the green as it may be, when its shape is not known well. Nothing to split gives an empty split;
    ParameterError when balls are of another green.
    """
    air, laws, now = air or AirSpec(), laws or Laws(), now or then
    at = _places(balls)
    kept, out = _sorted_out(balls, at, then, ground)
    some = [ball for ball, keep in zip(balls, kept, strict=True) if keep]
    at = at.take(kept)
    to_spot, to_landed = shots_to(then, some, at.spot), shots_to(then, some, at.landed)
    seen = foresee(then, ground, to_spot, air, laws, shapes)
    f0_landed = finishes(then, ground, to_landed, air, laws)
    if now is then:
        f1_spot, f1_landed = seen.finish, f0_landed
    else:
        first = np.unique(seen.group, return_index=True)[1]
        f1_spot = finishes(now, ground, to_spot.take(first), air, laws)[seen.group]
        f1_landed = finishes(now, ground, to_landed, air, laws)
    played = np.asarray(np.isfinite(f1_spot + f1_landed + f0_landed).all(axis=1))
    whole = _parts(some, at, seen, f0_landed, f1_spot, f1_landed)
    out += [
        LeftOut(some[i].id, "the model cannot land a ball there") for i in np.flatnonzero(~played).tolist()
    ]
    return whole.take(played), tuple(out)


class _Places(NamedTuple):
    """Places of n balls (n, 2) [m]; nan where there is none."""

    start: Floats
    hole: Floats
    spot: Floats
    landed: Floats
    finished: Floats

    def take(self, rows: NDArray[np.bool_]) -> _Places:
        return _Places(*(place[rows] for place in self))


def _places(balls: Sequence[Ball]) -> _Places:
    return _Places(
        places(b.start for b in balls),
        places(b.hole for b in balls),
        places(b.aim for b in balls),
        places(b.landed for b in balls),
        places(None if b.holed else b.finished for b in balls),
    )


def _sorted_out(
    balls: Sequence[Ball], at: _Places, fit: Fit, ground: Ground
) -> tuple[NDArray[np.bool_], list[LeftOut]]:
    """(n,) which balls can be split, and why the others cannot. ParameterError for another green's."""
    putters = {name for name in {ball.club for ball in balls} if fit.player.bag.club(name).is_putter}
    holed = np.array([ball.holed for ball in balls], dtype=bool)
    wet = np.array([ball.lie.wet for ball in balls], dtype=bool)
    day = "wet" if fit.wet else "dry"
    reasons: list[tuple[NDArray[np.bool_], str]] = [
        (np.array([ball.club in putters for ball in balls], dtype=bool), "a putt has no landing"),
        (wet != fit.wet, f"its lie is {'dry' if fit.wet else 'wet'} and the day is {day}"),
        (_missing(at.spot), "no landing spot was set for it"),
        (_missing(at.hole), "no hole was set for it"),
        (_missing(at.landed), "nobody placed where it landed"),
        (_missing(at.finished) & ~holed, "nobody placed where it finished"),
        (_near(at.start, at.hole), "it was hit from beside the hole"),
        (_near(at.start, at.spot) | _near(at.start, at.landed), "it carried less than half a metre"),
    ]
    kept, out = np.ones(len(balls), dtype=bool), []
    for row in np.flatnonzero(np.logical_or.reduce([rows for rows, _ in reasons])).tolist():
        kept[row] = False
        out.append(LeftOut(balls[row].id, next(words for rows, words in reasons if rows[row])))
    off = kept & ~(_on_map(ground, at.start) & _on_map(ground, at.hole) & _on_map(ground, at.landed))
    if off.any():
        raise ParameterError(
            f"Ball {balls[int(np.argmax(off))].id} lies outside the map of this green: review the balls of "
            "one green at a time."
        )
    return kept, out


def _missing(place: Floats) -> NDArray[np.bool_]:
    return np.asarray(np.isnan(place).any(axis=1))


def _near(a: Floats, b: Floats) -> NDArray[np.bool_]:
    return np.asarray(np.hypot(*(a - b).T) < SHORTEST_LINE)


def _on_map(ground: Ground, place: Floats) -> NDArray[np.bool_]:
    b = ground.map
    x, y = place.T
    return np.asarray((b.x_min <= x) & (x <= b.x_max) & (b.y_min <= y) & (y <= b.y_max))


def label_words(ball: Ball | Tally) -> str:
    """Station and club of a ball, as people say it."""
    return f"{ball.station}, {ball.club}" if ball.station else ball.club


def nothing_words(n: int, out: Sequence[LeftOut]) -> str:
    """Why none of n placed balls can be split, in one sentence."""
    if n == 0:
        return "There are no placed balls to review: log at least three."
    return f"None of the {n} balls can be reviewed; the first one, {out[0].id}: {out[0].reason}."


def _parts(
    balls: Sequence[Ball], at: _Places, seen: Foresight, f0_landed: Floats, f1_spot: Floats, f1_landed: Floats
) -> Split:
    hole, finish = at.hole, at.finished
    line = hole - at.start
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
        missed=to_line(at.landed - at.spot, line),
        unforeseen=(away * axis).sum(1) / run,
        turned=(away[:, 0] * axis[:, 1] - away[:, 1] * axis[:, 0]) / run,
        then=seen,
        start=at.start,
        hole=hole,
        line=line,
        carry=np.hypot(*(at.spot - at.start).T),
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
