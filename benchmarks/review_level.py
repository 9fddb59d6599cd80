"""What a review can learn at all: a small model of one station on a level green, thousands of sets at once.

`python -m benchmarks.review_level`. No flight and no bounce: a run of known length whose logarithm is moved
by the speed and the firmness of the green and by what is not known of the player and the law; landings with
the usual spread; finishes that follow the landing with a gain. The questions are those of the review.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import fdtrc, stdtr

from firstbounce.review.questions import FALSE_ALARM, MATTERS, WEIGHT, Question

Floats = NDArray[np.float64]
SETS = 6_000
PLACING_M, READING_SD_FT = 0.25, 0.4
FLOOR_M, SHARE, DIRECTION_DEG = 0.8, 0.11, 4.0  #: usual spread of a player of handicap 10 to 18
SCATTER_LN_SD = 0.35  #: what the scatter of a day differs from the usual one
GAIN_LN_SD = 0.1  #: what the gain of the model differs from the true one
SCATTER_WORTH = 6.0  #: balls that the usual scatter is worth


@dataclass(frozen=True)
class Station:
    """A club at one carry, with the derivatives of the fitted model on a 9 ft green."""

    club: str
    carry: float
    run: float
    gain: float  #: finish per metre of landing
    per_ft: float  #: change of ln run with a foot of Stimp
    per_firmness: float  #: with ln firmness
    scatter: float  #: relative, of single runs
    unknown: float  #: sd of ln run by player and law before any ball


STATIONS = (
    Station("9i", 5.0, 11.1, 2.7, 0.083, 0.50, 0.109, 0.28),
    Station("PW", 6.0, 10.2, 2.0, 0.080, 0.58, 0.118, 0.27),
    Station("SW", 9.0, 6.1, 1.2, 0.072, 0.87, 0.144, 0.33),
)


@dataclass(frozen=True)
class Knowledge:
    """What is known when the plan is made."""

    name: str
    player: float | None  #: sd of ln run by player and law; None: that of the station
    firmness: float  #: sd of ln firmness
    speed_ft: float  #: sd of the speed
    spread_worth: float  #: balls that the usual spread is worth


KNOWLEDGE = (
    Knowledge("nobody's balls", None, 0.25, READING_SD_FT, 6),
    Knowledge("earlier days", 0.05, 0.25, READING_SD_FT, 40),
    Knowledge("earlier days, drop test", 0.05, 0.10, READING_SD_FT, 40),
    Knowledge("same day", 0.035, 0.0, 0.0, 40),
)


@dataclass(frozen=True)
class Case:
    """What is wrong."""

    name: str
    ln_run: float = 0.0  #: the green lets the ball run further by this, ln
    spot_m: float = 0.0  #: the landing spot is off by this much [m]
    finish_m: float = 0.0  #: or where a ball from the spot finishes [m]
    spread: float = 1.0  #: over the usual
    faster_ft: float = 0.0  #: than entered


CASES = (
    Case("nothing wrong"),
    Case("landing spot 1.5 m wrong", spot_m=1.5),
    Case("finish from the spot 1.5 m wrong", finish_m=1.5),
    Case("landings spread twice as wide", spread=2.0),
    Case("green 2 ft faster than entered", faster_ft=2.0),
)


FURTHER = tuple(
    Case(f"runs {p} percent further than entered", ln_run=float(np.log1p(p / 100))) for p in (10, 20, 30, 40)
)
KINDS = {
    "plan": (Question.PLAN,),
    "reading": (Question.READING,),
    "scatter": (Question.DISTANCE_SPREAD, Question.DIRECTION_SPREAD),
    "habit": (Question.DISTANCE_BIAS, Question.DIRECTION_BIAS),
}


def called(rng: np.random.Generator, at: Station, known: Knowledge, case: Case, n: int) -> dict[str, float]:
    """Share of sets in which each kind of question is called."""
    landed, across, unforeseen, from_spot = _sets(rng, at, known, case, n)
    usual = (at.scatter * at.run) ** 2 + PLACING_M**2 + (at.gain * PLACING_M) ** 2
    unknown = _unknown(at, known)
    worth = SCATTER_WORTH + n - 1
    mixed = (SCATTER_WORTH * usual + (n - 1) * from_spot.var(axis=1, ddof=1)) / worth
    off = unforeseen.mean(axis=1)
    times = np.maximum(1 + off / at.run, 0.05)
    sd = (np.hypot(FLOOR_M, SHARE * at.carry), at.carry * np.tan(np.radians(DIRECTION_DEG)))
    guess = np.exp(rng.normal(0, np.sqrt(1 / (2 * known.spread_worth)), SETS))
    ratio = [
        x.var(axis=1, ddof=1) / (s**2 + PLACING_M**2) / guess**2
        for x, s in zip((landed, across), sd, strict=True)
    ]
    effects = {
        Question.PLAN: from_spot.mean(axis=1),
        Question.READING: off / at.run,
        Question.DISTANCE_BIAS: landed.mean(axis=1),
        Question.DIRECTION_BIAS: across.mean(axis=1),
        Question.DISTANCE_SPREAD: np.sqrt(ratio[0]) - 1,
        Question.DIRECTION_SPREAD: np.sqrt(ratio[1]) - 1,
    }
    chances = {
        Question.PLAN: _student(effects[Question.PLAN], mixed / n, worth),
        Question.READING: _student(np.log(times), unknown + mixed / (times * at.run) ** 2 / n, 1e6),
        Question.DISTANCE_BIAS: _student(landed.mean(axis=1), landed.var(axis=1, ddof=1) / n, n - 1),
        Question.DIRECTION_BIAS: _student(across.mean(axis=1), across.var(axis=1, ddof=1) / n, n - 1),
        Question.DISTANCE_SPREAD: fdtrc(n - 1, known.spread_worth, ratio[0]),
        Question.DIRECTION_SPREAD: fdtrc(n - 1, known.spread_worth, ratio[1]),
    }
    corrected = _holm(np.column_stack(list(chances.values())), np.array([WEIGHT[q] for q in chances]))
    is_called = {
        q: (corrected[:, k] <= FALSE_ALARM) & (np.abs(effects[q]) >= MATTERS[q])
        for k, q in enumerate(chances)
    }
    return {
        name: float(np.logical_or.reduce([is_called[q] for q in qs]).mean()) for name, qs in KINDS.items()
    }


def _sets(rng: np.random.Generator, at: Station, known: Knowledge, case: Case, n: int) -> tuple[Floats, ...]:
    """Landings along and across, finishes against those foreseen and against the hole, (SETS, n) [m]."""
    landed = rng.normal(0, case.spread * np.hypot(FLOOR_M, SHARE * at.carry), (SETS, n))
    across = rng.normal(0, case.spread * at.carry * np.tan(np.radians(DIRECTION_DEG)), (SETS, n))
    seen, seen_across = (x + rng.normal(0, PLACING_M, x.shape) for x in (landed, across))
    ln_run = rng.normal(0, np.sqrt(_unknown(at, known)), SETS)[:, None] + case.faster_ft * at.per_ft
    ln_run = ln_run + case.ln_run
    run = at.run * np.exp(ln_run)
    scatter = at.scatter * np.exp(rng.normal(0, SCATTER_LN_SD, SETS))[:, None]
    gain = at.gain * np.exp(rng.normal(0, GAIN_LN_SD, SETS))[:, None]
    loose = run * scatter * rng.standard_t(5, (SETS, n)) * np.sqrt(3 / 5)
    about = loose + gain * landed + rng.normal(0, PLACING_M, (SETS, n)) - at.gain * seen
    wrong = case.finish_m + case.spot_m * at.gain
    return seen, seen_across, run - at.run + about, wrong + about


def _unknown(at: Station, known: Knowledge) -> float:
    """Variance of ln run that is not known when the plan is made."""
    player = at.unknown if known.player is None else known.player
    return player**2 + (at.per_firmness * known.firmness) ** 2 + (at.per_ft * known.speed_ft) ** 2


def _student(mean: Floats, square: Floats, freedom: float) -> Floats:
    return np.asarray(2 * stdtr(freedom, -np.abs(mean) / np.sqrt(square)))


def _holm(chances: Floats, weights: Floats) -> Floats:
    """Weighted step-down correction of each row."""
    corrected, worst, left = (
        np.empty_like(chances),
        np.zeros(len(chances)),
        np.full(len(chances), weights.sum()),
    )
    rows = np.arange(len(chances))
    for column in np.argsort(chances / weights, axis=1).T:
        worst = np.maximum(worst, np.minimum(1.0, chances[rows, column] * left / weights[column]))
        corrected[rows, column] = worst
        left = left - weights[column]
    return corrected


def main(argv: list[str] | None = None) -> int:
    """Print how often each question is called, in percent."""
    argparse.ArgumentParser(description=__doc__).parse_args(argv)
    rng = np.random.default_rng(7)
    for known in KNOWLEDGE:
        print(f"\n{known.name}: percent of sets in which each is called, mean of {len(STATIONS)} stations")
        print(f"{'':<36}{'balls':>6}" + "".join(f"{name:>10}" for name in KINDS))
        for case in (*CASES, *FURTHER):
            for n in (5, 10, 20):
                found = [called(rng, at, known, case, n) for at in STATIONS]
                means = [100 * np.mean([one[name] for one in found]) for name in KINDS]
                print(f"{case.name:<36}{n:>6}" + "".join(f"{mean:>10.1f}" for mean in means), flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
