"""Review a set of balls: the split, its shares, the verdict with its reasons. See docs/review.md."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate
from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.players.circle import circle_radius_m
from firstbounce.review.ask import FEWEST, Usual, ask, usual_of
from firstbounce.review.mishits import is_clean, mishit_chance
from firstbounce.review.questions import Answer
from firstbounce.review.split import PARTS, UNTAGGED, LeftOut, Split, split
from firstbounce.review.spread import Scores, Value, bootstrap_means, scores
from firstbounce.review.verdict import Telling, Verdict, judge
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.units import LengthUnit
from firstbounce.words import Ball

Floats = NDArray[np.float64]
CIRCLE_SHARE = 0.7  #: the circle that counts are made with holds this share of the usual clean landings


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A part of the mean square miss: its own square, with a 90 % interval; cross terms make up the rest."""

    part: str
    square_m2: Value
    mean_along: float  #: [m]
    mean_across: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Review:
    """Everything a review says of a set."""

    split: Split
    clean: NDArray[np.bool_]
    chance: Floats  #: (n,) of being a mishit
    left_out: tuple[LeftOut, ...]
    usual: Usual
    circle_m: float  #: radius that holds 70 % of the usual clean landings
    in_circle: int
    landing: Scores | None  #: of L - S, clean balls
    finish: Scores | None  #: of F - H, clean balls that have a finish
    mean_square_m2: float
    shares: tuple[Share, ...]
    answers: tuple[Answer, ...]
    verdict: Verdict

    @property
    def probably_mishit(self) -> tuple[str, ...]:
        """Ids of untagged balls that were probably mishits."""
        balls = zip(self.split.balls, self.clean, self.split.kind, strict=True)
        return tuple(ball.id for ball, clean, kind in balls if kind == UNTAGGED and not clean)

    def to_dict(self) -> dict[str, Any]:
        """The shape of `review --json`."""
        from firstbounce.review.shape import review_dict

        return review_dict(self)


def review(
    balls: Sequence[Ball],
    *,
    then: Fit,
    now: Fit | None = None,
    usual: Fit | None = None,
    ground: Ground,
    rng: np.random.Generator,
    air: AirSpec | None = None,
    laws: Laws | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """Review balls of one green and day.

    then: the model when the plan was made, not fitted to these balls. now: the model after them; None: the
    same. usual: where the player's usual spread comes from, not these balls; None: `then`.
    CannotEstimate when no ball can be split; ParameterError for balls of another green or unknown clubs.
    """
    whole, out = split(balls, then=then, now=now, ground=ground, air=air, laws=laws)
    normal = usual_of(usual or then, whole)
    placing = np.array([b.landed_sd_m for b in whole.balls])
    chance = mishit_chance(whole, np.hypot(normal.sd, placing[:, None]), normal.share)
    clean = is_clean(whole, chance)
    if len(whole) >= FEWEST and not clean.any():
        raise CannotEstimate(
            f"None of the {len(whole)} balls was struck cleanly: work on contact first; "
            "the landings say nothing yet."
        )
    answers = ask(whole, clean, normal, then) if clean.any() else []
    telling = Telling(split=whole, clean=clean, then=then, now=now or then, unit=unit)
    radius = _circle(normal)
    finished = clean & whole.finished
    return Review(
        split=whole,
        clean=clean,
        chance=chance,
        left_out=out,
        usual=normal,
        circle_m=radius,
        in_circle=int((np.hypot(*whole.missed.T) <= radius).sum()),
        landing=scores(whole.missed[clean], rng, float(placing[clean].mean())) if clean.any() else None,
        finish=scores(whole.total[finished], rng) if finished.any() else None,
        mean_square_m2=float((whole.total[finished] ** 2).sum(1).mean()) if finished.any() else 0.0,
        shares=_shares(whole.take(finished), rng),
        answers=tuple(answers),
        verdict=judge(answers, telling),
    )


def _circle(usual: Usual) -> float:
    along, across = np.sqrt((usual.sd**2).mean(0))
    return circle_radius_m(CIRCLE_SHARE, along_m=float(along), across_m=float(across))


def _shares(balls: Split, rng: np.random.Generator) -> tuple[Share, ...]:
    """Mean square of each part, with a bootstrap over balls; the cross terms are in "together"."""
    n = len(balls)
    if n == 0:
        return ()
    parts = {name: getattr(balls, name) for name in PARTS}
    squares = {name: (part**2).sum(1) for name, part in parts.items()}
    squares["together"] = (balls.total**2).sum(1) - sum(squares.values())
    means = {name: part.mean(0) for name, part in parts.items()} | {"together": np.zeros(2)}
    values = bootstrap_means(np.column_stack(list(squares.values())), rng)
    return tuple(
        Share(
            part=name,
            square_m2=values[k],
            mean_along=float(means[name][0]),
            mean_across=float(means[name][1]),
        )
        for k, name in enumerate(squares)
    )
