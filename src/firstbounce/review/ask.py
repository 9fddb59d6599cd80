"""The questions put to a split set: plan, reading, landing bias and spread, contact."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.result import Fit
from firstbounce.players.mishits import LIE_SHARE_FACTOR
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.review.questions import (
    Answer,
    Question,
    freedom_of,
    holm,
    mean_chance,
    mishit_tail,
    shifted_mean,
    spread_chance,
)
from firstbounce.review.split import Split

Floats = NDArray[np.float64]
FEWEST = 3  #: balls from which anything is said
FEWEST_TO_ASK = 4  #: clean balls of one station and club before its plan is judged


@dataclass(frozen=True, slots=True, eq=False)
class Usual:
    """What is usual for this player at the balls' carries and lies, and how well that is known."""

    sd: Floats  #: (n, 2) spread of clean landings along and across, without placing error [m]
    ln_sd: tuple[float, float]  #: how well each is known: sd of its logarithm
    share: Floats  #: (n,) of mishits
    strength: float  #: balls that this share is worth


def usual_of(fit: Fit, split: Split) -> Usual:
    """The usual spread and mishits by a fit that has not seen these balls."""
    lie = np.array([LIE_FACTOR[b.lie.kind] for b in split.balls])
    worse = np.array([LIE_SHARE_FACTOR[b.lie.kind] for b in split.balls])
    share = 1 / (1 + math.exp(-fit.landing.values[5]))
    sd = np.column_stack([fit.landing.sd_along(split.carry, lie), fit.landing.sd_across(split.carry, lie)])
    ln = _ln_sd(fit, float(np.mean(split.carry)))
    strength = 1 / max(fit.landing.covariance[5, 5] * share * (1 - share), 1e-3)
    return Usual(sd, ln, np.clip(share * worse, 1e-3, 0.9), strength)


def _ln_sd(fit: Fit, carry: float) -> tuple[float, float]:
    """How well the spread along and across is known at a carry [m]: sd of its logarithm."""
    floor, grown = fit.landing.floor**2, (fit.landing.share * carry) ** 2
    slope = np.array([floor, grown]) / (floor + grown)
    covariance = fit.landing.covariance
    along = float(slope @ covariance[:2, :2] @ slope)
    return math.sqrt(max(along, 1e-6)), math.sqrt(max(float(covariance[2, 2]), 1e-6))


def ask(split: Split, clean: NDArray[np.bool_], usual: Usual, fit: Fit) -> list[Answer]:
    """Every question that the balls allow, corrected for asking all of them. `fit` is the model then."""
    rows = clean & split.finished
    answers = [
        *_plans(split, rows),
        *_readings(split, rows, fit),
        *_biases(split, clean),
        *_spreads(split, clean, usual),
        *_contact(split, clean, usual),
    ]
    corrected = holm([answer.chance for answer in answers])
    return [replace(answer, corrected=c) for answer, c in zip(answers, corrected, strict=True)]


def labels(split: Split) -> NDArray[np.int64]:
    """(n,) number of the station, club and landing spot of each ball."""
    return split.then.group


def label_words(split: Split, row: int) -> str:
    """Station and club of a ball, as people say it."""
    ball = split.balls[row]
    return f"{ball.station}, {ball.club}" if ball.station else ball.club


def _plans(split: Split, rows: NDArray[np.bool_]) -> Iterable[Answer]:
    """For each station, club and spot: where balls that land on the spot finish, against the hole.

    Both ends of the line together (along), and across; a plan is wrong when either is.
    """
    group = labels(split)
    for one in np.unique(group[rows]):
        mine = np.flatnonzero(rows & (group == one))
        if len(mine) < FEWEST_TO_ASK:
            continue
        mean, low, high, chance = mean_chance(split.from_spot[mine, 0])
        yield Answer(
            question=Question.PLAN,
            effect=mean,
            low=low,
            high=high,
            chance=chance,
            n=len(mine),
            costs=mean**2 * len(mine) / max(int(rows.sum()), 1),
            where=label_words(split, int(mine[0])),
        )


def _readings(split: Split, rows: NDArray[np.bool_], fit: Fit) -> Iterable[Answer]:
    """Whether the balls ran further or less than foreseen, by more than the model then held possible.

    The predictive variance of the mean holds what was not known of the day, the player and the law, the
    ground's scatter, and the placing errors.
    """
    n = int(rows.sum())
    if n < FEWEST_TO_ASK:
        return
    off = split.unforeseen[rows]
    slope = split.then.slope[rows].mean(0)
    unknown = float(slope @ fit.covariance @ slope)
    scatter = split.then.scatter[rows] ** 2 + _placing(split, rows)
    chance_part = max(float(off.var(ddof=1)), float(scatter.mean())) / n
    error = math.sqrt(unknown + chance_part)
    freedom = (unknown + chance_part) ** 2 / (chance_part**2 / (n - 1) + 1e-12)
    mean, low, high, chance = shifted_mean(float(off.mean()), error, min(freedom, 1e6))
    run = float(split.then.run[rows].mean())
    yield Answer(
        question=Question.READING,
        effect=mean,
        low=low,
        high=high,
        chance=chance,
        n=n,
        costs=(mean * run) ** 2,
    )


def _placing(split: Split, rows: NDArray[np.bool_]) -> Floats:
    """Squares of the placing errors in the run over the run (m,) [-]."""
    balls = [b for b, keep in zip(split.balls, rows, strict=True) if keep]
    landed = np.array([b.landed_sd_m for b in balls])
    finished = np.array([b.finished_sd_m for b in balls])
    square = finished**2 + (split.then.gain[rows] * landed) ** 2
    return np.asarray(square / split.then.run[rows] ** 2)


def _biases(split: Split, clean: NDArray[np.bool_]) -> Iterable[Answer]:
    n = int(clean.sum())
    if n < FEWEST_TO_ASK:
        return
    gain = float(split.then.gain[clean].mean())
    for axis, question in enumerate((Question.DISTANCE_BIAS, Question.DIRECTION_BIAS)):
        mean, low, high, chance = mean_chance(split.missed[clean, axis])
        costs = (mean * (gain if axis == 0 else 1.0)) ** 2
        yield Answer(question=question, effect=mean, low=low, high=high, chance=chance, n=n, costs=costs)


def _spreads(split: Split, clean: NDArray[np.bool_], usual: Usual) -> Iterable[Answer]:
    """Spread of clean landings against the usual one, placing error allowed for."""
    n = int(clean.sum())
    if n < FEWEST_TO_ASK:
        return
    placing = np.array([b.landed_sd_m for b in split.balls])[clean]
    gain = float(split.then.gain[clean].mean())
    pairs = ((Question.DISTANCE_SPREAD, gain), (Question.DIRECTION_SPREAD, 1.0))
    for axis, (question, grows) in enumerate(pairs):
        sd = usual.sd[clean, axis]
        z = split.missed[clean, axis] / np.hypot(sd, placing)
        square = float(z.var(ddof=1))
        known = usual.ln_sd[axis] * float(np.mean(sd**2 / (sd**2 + placing**2)))
        ratio, low, high = _ratio(square, n, known)
        yield Answer(
            question=question,
            effect=ratio - 1,
            low=low - 1,
            high=high - 1,
            chance=spread_chance(square, n - 1, freedom_of(known)),
            n=n,
            costs=max(square - 1, 0.0) * float(np.mean(sd**2 + placing**2)) * grows**2,
        )


def _ratio(square: float, n: int, ln_sd: float) -> tuple[float, float, float]:
    """Spread over the usual one with a 90 % interval, both sides' uncertainty in it."""
    half = 1.645 * math.hypot(ln_sd, 1 / math.sqrt(2 * (n - 1)))
    ratio = math.sqrt(square)
    return ratio, ratio * math.exp(-half), ratio * math.exp(half)


def _contact(split: Split, clean: NDArray[np.bool_], usual: Usual) -> Iterable[Answer]:
    n = len(split)
    if n < FEWEST_TO_ASK:
        return
    bad, share = int((~clean).sum()), float(usual.share.mean())
    seen, error = bad / n, math.sqrt((bad + 1) * (n - bad + 1) / (n + 2) ** 3)
    away = split.missed[~clean & split.finished] if bad else np.zeros((0, 2))
    yield Answer(
        question=Question.CONTACT,
        effect=seen - share,
        low=seen - share - 1.645 * error,
        high=seen - share + 1.645 * error,
        chance=mishit_tail(bad, n, share, usual.strength),
        n=n,
        costs=float((away**2).sum() / n),
    )
