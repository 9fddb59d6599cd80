"""Review a set of balls: the split, its shares, the verdict with its reasons. See docs/review.md."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.players.circle import circle_radius_m
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.review.ask import ask
from firstbounce.review.asked import Asked, asked_of, placing_sd
from firstbounce.review.counts import Counts, counts_of
from firstbounce.review.questions import Answer
from firstbounce.review.sentences import Telling
from firstbounce.review.split import PARTS, UNTAGGED, LeftOut, Split
from firstbounce.review.spread import BallEllipse, Scores, Value, ball_ellipse, bootstrap_means, scores
from firstbounce.review.tallied import TallySet
from firstbounce.review.usual import Usual, usual_sd
from firstbounce.review.verdict import Call, Verdict, judge
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.technique.marks import Judged
from firstbounce.units import LengthUnit
from firstbounce.words import Ball, Fault, Tally

Floats = NDArray[np.float64]
CIRCLE_SHARE = 0.7  #: the circle that counts are made with holds this share of the usual clean landings
ELLIPSE_SHARE = 0.5  #: of the next balls that an ellipse holds
FEWEST_FOR_ELLIPSE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A part of the mean square miss: its own square, with a 90 % interval; cross terms make up the rest."""

    part: str
    square_m2: Value
    mean_along: float  #: [m]
    mean_across: float


class Held(NamedTuple):
    """The balls of one day in a review."""

    day: str
    placed: int  #: split into parts
    tallied: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Review:
    """Everything a review says of a set: of one day, or of several days together."""

    days: tuple[Held, ...]
    split: Split
    clean: NDArray[np.bool_]
    chance: Floats  #: (n,) of being a mishit
    left_out: tuple[LeftOut, ...]
    tallied: TallySet
    usual: Usual
    circle_m: float  #: radius that holds 70 % of the usual clean landings
    counts: Counts
    landing: Scores | None  #: of L - S, clean balls
    finish: Scores | None  #: of F - H, clean balls that have a finish
    mean_square_m2: float
    shares: tuple[Share, ...]
    ellipses: Mapping[str, BallEllipse]  #: "spot" of L - S, "finish" of F - H, and of each part
    answers: tuple[Answer, ...]
    verdict: Verdict
    by_eye: tuple[Judged, ...] = ()
    learned_from: int = 0  #: balls that the model now was fitted to

    @property
    def in_circle(self) -> int:
        """Placed balls that landed in the circle."""
        return int((np.hypot(*self.split.missed.T) <= self.circle_m).sum())

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What to practise: the verdict's faults, then those the coach saw."""
        return self.verdict.faults

    @property
    def probably_mishit(self) -> tuple[str, ...]:
        """Ids of untagged balls that were probably mishits."""
        balls = zip(self.split.balls, self.clean, self.split.kind, strict=True)
        return tuple(ball.id for ball, clean, kind in balls if kind == UNTAGGED and not clean)

    def overruled(self, call: Call, note: str = "") -> Review:
        """The same review with the coach's own call beside the verdict."""
        return replace(self, verdict=self.verdict.overruled(call, note))

    def to_dict(self) -> dict[str, Any]:
        """The shape of `review --json`."""
        from firstbounce.review.shape import review_dict

        return review_dict(self)


def review(
    balls: Sequence[Ball],
    tallies: Sequence[Tally] = (),
    *,
    then: Fit,
    now: Fit | None = None,
    usual: Fit | None = None,
    ground: Ground,
    rng: np.random.Generator,
    by_eye: Sequence[Judged] = (),
    air: AirSpec | None = None,
    laws: Laws | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """Review balls and tallies of one green and day; arguments and errors as `asked_of`."""
    asked = asked_of(
        balls, tallies, then=then, now=now, usual=usual, ground=ground, rng=rng, air=air, laws=laws
    )
    return review_together([asked], rng=rng, by_eye=by_eye, unit=unit)


def review_together(
    days: Sequence[Asked],
    *,
    rng: np.random.Generator,
    by_eye: Sequence[Judged] = (),
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """The review of the balls of one day, or of several days of one player, each split by its own models."""
    whole = Split.together([day.split for day in days])
    counted = TallySet.together([day.tallied for day in days])
    normal = Usual.together([day.usual for day in days])
    clean = np.concatenate([day.clean for day in days])
    radius = _circle(normal, counted, days[0].usual_fit)
    counts = counts_of(whole, counted, radius)
    answers = ask(days)
    tellings = [_telling(day, counts, unit) for day in days]
    telling = replace(tellings[0], split=whole, clean=clean, tallied=counted, days=tuple(tellings))
    finished = clean & whole.finished
    placing = placing_sd(whole)[0][clean]
    return Review(
        days=tuple(Held(day.day, len(day.split), len(day.tallied)) for day in days),
        split=whole,
        clean=clean,
        chance=np.concatenate([day.chance for day in days]),
        left_out=tuple(one for day in days for one in day.left_out),
        tallied=counted,
        usual=normal,
        circle_m=radius,
        counts=counts,
        landing=scores(whole.missed[clean], rng, float(placing.mean())) if clean.any() else None,
        finish=scores(whole.total[finished], rng) if finished.any() else None,
        mean_square_m2=float((whole.total[finished] ** 2).sum(1).mean()) if finished.any() else 0.0,
        shares=_shares(whole.take(finished), rng),
        ellipses=_ellipses(whole, clean),
        answers=tuple(answers),
        verdict=judge(answers, telling, by_eye),
        by_eye=tuple(by_eye),
        learned_from=sum(day.learned_from for day in days),
    )


def _telling(day: Asked, counts: Counts, unit: LengthUnit) -> Telling:
    return Telling(
        split=day.split,
        clean=day.clean,
        tallied=day.tallied,
        counts=counts,
        then=day.then,
        now=day.now,
        unit=unit,
    )


def _circle(usual: Usual, tallied: TallySet, fit: Fit) -> float:
    """Radius that holds CIRCLE_SHARE of the usual clean landings [m]."""
    sd = usual.sd
    if not len(sd):
        lie = np.array([LIE_FACTOR[t.lie.kind] for t in tallied.tallies], dtype=np.float64)
        sd = usual_sd(fit, tallied.carry, lie)
    along, across = np.sqrt((sd**2).mean(0))
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


def _ellipses(whole: Split, clean: NDArray[np.bool_]) -> dict[str, BallEllipse]:
    """Where half of the next balls will be: landing about the spot, finish about the hole, and parts."""
    finished = clean & whole.finished
    clouds = {"spot": whole.missed[clean], "finish": whole.total[finished]}
    clouds |= {name: getattr(whole, name)[finished] for name in PARTS}
    return {
        name: ball_ellipse(cloud, ELLIPSE_SHARE)
        for name, cloud in clouds.items()
        if len(cloud) >= FEWEST_FOR_ELLIPSE
    }
