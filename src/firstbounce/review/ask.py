"""The questions put to a set: plan, reading, landing bias and spread, contact; placed and tallied balls.

Plan and reading belong to one day. Habit, scatter and contact are the player's: of several days together.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.result import Fit
from firstbounce.review.asked import Asked, placing_sd
from firstbounce.review.questions import (
    FEWEST_TO_ASK,
    ONE_SIDED,
    Answer,
    Question,
    correct,
    freedom_of,
    mishit_tail,
    moderated,
    shifted,
    shifted_days,
    shifted_mean,
    spread_chance,
    together,
    weighted,
)
from firstbounce.review.split import UNTAGGED, Split, label_words
from firstbounce.review.spread import may_be_mishits, trimmed_square
from firstbounce.review.tallied import tally_answers
from firstbounce.review.usual import mishit_share, mishit_strength
from firstbounce.words import Strike

Floats = NDArray[np.float64]
MOST_USUAL_BALLS = 12.0  #: that the usual scatter of a run is worth against that of the day, at most [choice]
DAY_SHIFT = 0.25  #: usual sd of a day's mean landing over the spread of single ones [choice]
DAY_SPREAD = 0.10  #: usual sd between days of ln of the spread, as in `review.progress` [choice]
OF_A_DAY = (Question.PLAN, Question.PLAN_SIDE, Question.READING)


def ask(days: Sequence[Asked]) -> list[Answer]:
    """Every question that the balls of these days allow, corrected for asking all of them."""
    tallied = [tally_answers(day.tallied, day.usual_fit) for day in days]
    answers = []
    for k, (day, said) in enumerate(zip(days, tallied, strict=True)):
        share = day.all / sum(one.all for one in days)
        placed = [*_plans(day), *_readings(day)]
        for answer in _merged(placed, [one for one in said if one.question in OF_A_DAY]):
            where = ", ".join(word for word in (answer.where, day.day if len(days) > 1 else "") if word)
            answers.append(replace(answer, day=k, where=where, costs=answer.costs * share))
    strikes = [one for said in tallied for one in said if one.question not in OF_A_DAY]
    answers += _merged([*_biases(days), *_spreads(days)], _tallied_together(strikes))
    answers += _contact(days)
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


def _tallied_together(answers: Sequence[Answer]) -> list[Answer]:
    """One answer a question from the tallies of several days: their mean, by balls, and one chance."""
    pooled = []
    for question in dict.fromkeys(answer.question for answer in answers):
        of = [answer for answer in answers if answer.question is question]
        if len(of) == 1:
            pooled += of
            continue
        n = sum(answer.tallied for answer in of)
        effect, low, high, costs = (
            sum(getattr(answer, name) * answer.tallied for answer in of) / n
            for name in ("effect", "low", "high", "costs")
        )
        chance = together(question, [(answer.chance, answer.effect, answer.tallied) for answer in of])
        pooled.append(
            replace(of[0], effect=effect, low=low, high=high, costs=costs, chance=chance, tallied=n)
        )
    return pooled


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
    landed, finished = placing_sd(asked.split)
    square = (then.scatter * then.run) ** 2 + finished**2 + (then.gain * landed) ** 2
    return float(square[rows].mean())


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
    landed, finished = placing_sd(split)
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


def _gains(days: Sequence[Asked]) -> tuple[float, float]:
    """Finish per metre of landing, along and across, mean over clean balls."""
    along, across = (
        np.concatenate([getattr(day.split.then, name)[day.clean] for day in days])
        for name in ("gain", "side_gain")
    )
    return float(along.mean()), float(across.mean())


def _biases(days: Sequence[Asked]) -> Iterable[Answer]:
    days = [day for day in days if day.clean.any()]
    n = sum(int(day.clean.sum()) for day in days)
    if n < FEWEST_TO_ASK:
        return
    gains = _gains(days)
    for axis, question in enumerate((Question.DISTANCE_BIAS, Question.DIRECTION_BIAS)):
        means = [weighted(day.split.missed[day.clean, axis], day.weight[day.clean]) for day in days]
        usual = DAY_SHIFT * float(np.concatenate([day.usual.sd[day.clean, axis] for day in days]).mean())
        mean, low, high, chance = shifted(means[0]) if len(days) == 1 else shifted_days(means, usual)
        costs = (mean * gains[axis]) ** 2
        yield Answer(question=question, effect=mean, low=low, high=high, chance=chance, n=n, costs=costs)


def _spreads(days: Sequence[Asked]) -> Iterable[Answer]:
    """Spread of clean landings about each day's own middle against the usual one, placing allowed for."""
    n = sum(int(day.clean.sum()) for day in days)
    days = [day for day in days if day.clean.sum() > 1]
    if n < FEWEST_TO_ASK or not days:
        return
    gains = _gains(days)
    for axis, question in enumerate(ONE_SIDED[:2]):
        squares = [_square(day, axis) for day in days]
        freedom = sum(one[1] for one in squares)
        square = sum(value * freedom_ for value, freedom_ in squares) / freedom
        sd = np.concatenate([day.usual.sd[day.clean, axis] for day in days])
        placing = np.concatenate([placing_sd(day.split)[0][day.clean] for day in days])
        known = days[0].usual.ln_sd[axis] * float(np.mean(sd**2 / (sd**2 + placing**2)))
        if len(days) > 1:
            known = math.hypot(known, DAY_SPREAD / math.sqrt(len(days)))
        ratio, low, high = _ratio(square, freedom, known)
        yield Answer(
            question=question,
            effect=ratio - 1,
            low=low - 1,
            high=high - 1,
            chance=spread_chance(square, freedom, freedom_of(known)),
            n=n,
            costs=max(square - 1, 0.0) * float(np.mean(sd**2 + placing**2)) * gains[axis] ** 2,
        )


def _square(day: Asked, axis: int) -> tuple[float, float]:
    """Variance of clean landings over the usual one, and its freedom."""
    split, clean = day.split, day.clean
    untagged = split.kind[clean] == UNTAGGED
    dropped = may_be_mishits(day.usual.share[clean][untagged])
    wide = np.hypot(day.usual.sd[clean, axis], placing_sd(split)[0][clean])
    return trimmed_square(split.missed[clean, axis] / wide, dropped)


def _ratio(square: float, freedom: float, ln_sd: float) -> tuple[float, float, float]:
    """Spread over the usual one with a 90 % interval, both sides' uncertainty in it."""
    half = 1.645 * math.hypot(ln_sd, 1 / math.sqrt(2 * freedom))
    ratio = math.sqrt(square)
    return ratio, ratio * math.exp(-half), ratio * math.exp(half)


def _contact(days: Sequence[Asked]) -> Iterable[Answer]:
    """Mishits against the usual share; a tally counts when somebody said how it was struck."""
    said = [tally for day in days for tally in day.tallied.tallies if tally.strike is not None]
    off = sum(tally.strike is not Strike.CLEAN for tally in said)
    placed = sum(len(day.split) for day in days)
    n, bad = placed + len(said), sum(int((~day.clean).sum()) for day in days) + off
    if n < FEWEST_TO_ASK:
        return
    usual = np.concatenate([day.usual.share for day in days])
    share = float(usual.mean()) if placed else mishit_share(days[0].usual_fit)
    seen, error = bad / n, math.sqrt((bad + 1) * (n - bad + 1) / (n + 2) ** 3)
    away = sum(float((day.split.missed[~day.clean] ** 2).sum()) for day in days)
    yield Answer(
        question=Question.CONTACT,
        effect=seen - share,
        low=seen - share - 1.645 * error,
        high=seen - share + 1.645 * error,
        chance=mishit_tail(bad, n, share, mishit_strength(days[0].usual_fit)),
        n=placed,
        tallied=len(said),
        costs=away / n,
    )
