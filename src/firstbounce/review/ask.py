"""The questions put to a set: plan, reading, landing bias and spread, contact; placed and tallied balls."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.result import Fit
from firstbounce.review.questions import (
    Answer,
    Question,
    correct,
    freedom_of,
    mishit_tail,
    moderated,
    shifted,
    shifted_mean,
    spread_chance,
    together,
    weighted,
)
from firstbounce.review.split import UNTAGGED, Split
from firstbounce.review.spread import may_be_mishits, trimmed_square
from firstbounce.review.usual import Usual, mishit_share, mishit_strength
from firstbounce.words import Ball, Strike, Tally

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]
FEWEST = 3  #: balls from which anything is said
FEWEST_TO_ASK = 4  #: clean balls before a question is asked of them
MOST_USUAL_BALLS = 12.0  #: that the usual scatter of a run is worth against that of the day, at most [choice]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """What the questions are put to."""

    split: Split
    clean: Rows
    usual: Usual
    then: Fit  #: the model when the plan was made; it has not seen these balls
    weight: Floats  #: (n,) chance that a ball was clean; 1 when tagged so

    @property
    def judged(self) -> Rows:
        """(n,) clean balls with a finish."""
        return self.clean & self.split.finished


def ask(asked: Asked, tallies: Sequence[Tally], tallied: Sequence[Answer]) -> list[Answer]:
    """Every question that the balls allow, corrected for asking all of them.

    tallied: what the tallies alone answer (`review.tallied`); balls of both kinds are put together.
    """
    placed = [*_plans(asked), *_readings(asked), *_biases(asked), *_spreads(asked)]
    answers = [*_merged(placed, tallied), *_contact(asked, tallies)]
    corrected = correct([a.question for a in answers], [a.chance for a in answers])
    return [replace(answer, corrected=c) for answer, c in zip(answers, corrected, strict=True)]


def _merged(placed: Sequence[Answer], tallied: Sequence[Answer]) -> list[Answer]:
    """Answers of placed balls with those of the tallies; effect and interval stay those of placed balls."""
    other = {(answer.question, answer.where): answer for answer in tallied}
    merged = []
    for one in placed:
        more = other.pop((one.question, one.where), None)
        merged.append(one if more is None else _both(one, more))
    return merged + list(other.values())


def _both(placed: Answer, tallied: Answer) -> Answer:
    parts = [(placed.chance, placed.effect, placed.n), (tallied.chance, tallied.effect, tallied.tallied)]
    return replace(placed, tallied=tallied.tallied, chance=together(placed.question, parts))


def label_words(ball: Ball | Tally) -> str:
    """Station and club of a ball, as people say it."""
    return f"{ball.station}, {ball.club}" if ball.station else ball.club


def groups(split: Split) -> NDArray[np.int64]:
    """(n,) number of the station, hole, club, lie and landing spot of each ball."""
    table = np.column_stack([split.then.group.astype(np.float64), split.hole])
    return np.unique(table, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)


def _plans(asked: Asked) -> Iterable[Answer]:
    """For each station, club and spot: where balls that land on the spot finish, against the hole."""
    split, rows = asked.split, asked.judged
    if not rows.any():
        return
    group, total = groups(split), int(rows.sum())
    for one in np.unique(group[rows]):
        mine = np.flatnonzero(rows & (group == one))
        if len(mine) < FEWEST_TO_ASK:
            continue
        for axis, question in enumerate((Question.PLAN, Question.PLAN_SIDE)):
            mean, low, high, chance = _from_spot(asked, mine, axis)
            yield Answer(
                question=question,
                effect=mean,
                low=low,
                high=high,
                chance=chance,
                n=len(mine),
                costs=mean**2 * len(mine) / total,
                own=float(split.plan[mine, axis].mean()),
                group=int(one),
                where=label_words(split.balls[mine[0]]),
            )


def _from_spot(asked: Asked, mine: NDArray[np.int64], axis: int) -> tuple[float, float, float, float]:
    """Mean finish of balls that land on the spot, its interval and chance; the usual scatter weighed in."""
    mean = weighted(asked.split.from_spot[mine, axis], asked.weight[mine])
    usual, worth = (_usual_square(asked, mine), usual_worth(asked.then)) if axis == 0 else (0.0, 0.0)
    square, freedom = moderated(mean, usual, worth)
    return shifted_mean(mean.value, math.sqrt(square / mean.n), freedom)


def usual_worth(fit: Fit) -> float:
    """The number of balls that the usual scatter of single runs is worth."""
    return min(freedom_of(fit.ln_scatter[1]), MOST_USUAL_BALLS)


def _usual_square(asked: Asked, rows: NDArray[np.int64]) -> float:
    """Usual mean square of a finish along the line about its mean, landing taken out, placing in [m2]."""
    then = asked.split.then
    landed, finished = _placing_sd(asked.split)
    square = (then.scatter * then.run) ** 2 + finished**2 + (then.gain * landed) ** 2
    return float(square[rows].mean())


def _placing_sd(split: Split) -> tuple[Floats, Floats]:
    """Placing errors (n,) of landings and finishes [m]."""
    landed = np.array([b.landed_sd_m for b in split.balls], dtype=np.float64)
    return landed, np.array([b.finished_sd_m for b in split.balls], dtype=np.float64)


def _readings(asked: Asked) -> Iterable[Answer]:
    """Whether the balls ran further or less than foreseen, by more than the model then held possible.

    The predictive variance of the mean holds what was not known of the day, the player, the law and the
    shape of the green, the ground's scatter, and the placing errors.
    """
    split, rows = asked.split, asked.judged
    n = int(rows.sum())
    if n < FEWEST_TO_ASK:
        return
    then = split.then
    slope = then.slope[rows].mean(0)
    unknown = float(slope @ asked.then.covariance @ slope) + float(then.unsure_slope[rows].mean()) ** 2
    landed, finished = _placing_sd(split)
    usual = then.scatter**2 + (finished**2 + (then.gain * landed) ** 2) / then.run**2
    off = weighted(split.unforeseen[rows], asked.weight[rows])
    square, freedom = moderated(off, float(usual[rows].mean()), usual_worth(asked.then))
    times = max(1 + off.value, 0.05)  # how many times as far as foreseen; what is not known multiplies
    luck = square / off.n / times**2
    freedom = (unknown + luck) ** 2 / (luck**2 / freedom + 1e-12)
    _, low, high, chance = shifted_mean(math.log(times), math.sqrt(unknown + luck), min(freedom, 1e6))
    run = float(then.run[rows].mean())
    yield Answer(
        question=Question.READING,
        effect=off.value,
        low=math.exp(low) - 1,
        high=math.exp(high) - 1,
        chance=chance,
        n=n,
        costs=(off.value * run) ** 2,
    )


def _biases(asked: Asked) -> Iterable[Answer]:
    split, clean = asked.split, asked.clean
    n = int(clean.sum())
    if n < FEWEST_TO_ASK:
        return
    gains = (float(split.then.gain[clean].mean()), float(split.then.side_gain[clean].mean()))
    for axis, question in enumerate((Question.DISTANCE_BIAS, Question.DIRECTION_BIAS)):
        mean, low, high, chance = shifted(weighted(split.missed[clean, axis], asked.weight[clean]))
        costs = (mean * gains[axis]) ** 2
        yield Answer(question=question, effect=mean, low=low, high=high, chance=chance, n=n, costs=costs)


def _spreads(asked: Asked) -> Iterable[Answer]:
    """Spread of clean landings against the usual one, placing error allowed for."""
    split, clean, usual = asked.split, asked.clean, asked.usual
    n = int(clean.sum())
    if n < FEWEST_TO_ASK:
        return
    placing = _placing_sd(split)[0][clean]
    untagged = split.kind[clean] == UNTAGGED
    dropped = may_be_mishits(usual.share[clean][untagged])
    gains = (split.then.gain[clean].mean(), split.then.side_gain[clean].mean())
    for axis, question in enumerate((Question.DISTANCE_SPREAD, Question.DIRECTION_SPREAD)):
        sd = usual.sd[clean, axis]
        z = split.missed[clean, axis] / np.hypot(sd, placing)
        square, freedom = trimmed_square(z, dropped)
        known = usual.ln_sd[axis] * float(np.mean(sd**2 / (sd**2 + placing**2)))
        ratio, low, high = _ratio(square, freedom, known)
        yield Answer(
            question=question,
            effect=ratio - 1,
            low=low - 1,
            high=high - 1,
            chance=spread_chance(square, freedom, freedom_of(known)),
            n=n,
            costs=max(square - 1, 0.0) * float(np.mean(sd**2 + placing**2)) * float(gains[axis]) ** 2,
        )


def _ratio(square: float, freedom: float, ln_sd: float) -> tuple[float, float, float]:
    """Spread over the usual one with a 90 % interval, both sides' uncertainty in it."""
    half = 1.645 * math.hypot(ln_sd, 1 / math.sqrt(2 * freedom))
    ratio = math.sqrt(square)
    return ratio, ratio * math.exp(-half), ratio * math.exp(half)


def _contact(asked: Asked, tallies: Sequence[Tally]) -> Iterable[Answer]:
    """Mishits against the usual share; a tally counts when somebody said how it was struck."""
    split, clean = asked.split, asked.clean
    said = [tally for tally in tallies if tally.strike is not None]
    off = sum(tally.strike is not Strike.CLEAN for tally in said)
    n, bad = len(split) + len(said), int((~clean).sum()) + off
    if n < FEWEST_TO_ASK:
        return
    share = float(asked.usual.share.mean()) if len(split) else mishit_share(asked.then)
    seen, error = bad / n, math.sqrt((bad + 1) * (n - bad + 1) / (n + 2) ** 3)
    away = split.missed[~clean]
    yield Answer(
        question=Question.CONTACT,
        effect=seen - share,
        low=seen - share - 1.645 * error,
        high=seen - share + 1.645 * error,
        chance=mishit_tail(bad, n, share, mishit_strength(asked.then)),
        n=len(split),
        tallied=len(said),
        costs=float((away**2).sum() / n),
    )
