"""What a review says, in plain coach words. No number here decides anything."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.layout import FIRMNESS, STIMP
from firstbounce.fitting.result import Fit
from firstbounce.planning.sentences import length_text
from firstbounce.review.ask import groups
from firstbounce.review.counts import Counts
from firstbounce.review.questions import Answer, Question
from firstbounce.review.split import Split
from firstbounce.review.tallied import TallySet
from firstbounce.technique.marks import Judged
from firstbounce.units import LengthUnit
from firstbounce.words import Fault, Strike, TallyLanding

LONG_SHIFT = 0.25  #: a spot moved by more than this share of the carry asks for another club as well [choice]

FAULT_OF: dict[Question, tuple[Fault, ...]] = {
    Question.PLAN: (),  # the spot was wrong, not the player
    Question.PLAN_SIDE: (),
    Question.READING: (Fault.READING,),
    Question.DISTANCE_BIAS: (Fault.DISTANCE,),
    Question.DIRECTION_BIAS: (Fault.DIRECTION,),
    Question.DISTANCE_SPREAD: (Fault.DISTANCE,),
    Question.DIRECTION_SPREAD: (Fault.DIRECTION,),
    Question.CONTACT: (Fault.HEAVY, Fault.THIN),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Telling:
    """What the words need: the set, the fits, the counts, the unit."""

    split: Split
    clean: NDArray[np.bool_]
    tallied: TallySet
    counts: Counts
    then: Fit
    now: Fit
    unit: LengthUnit
    days: tuple[Telling, ...] = ()  #: each day on its own

    def of(self, answer: Answer) -> Telling:
        """The day that an answer is about, or all of them."""
        return self.days[answer.day] if self.days and answer.day >= 0 else self

    @property
    def n(self) -> int:
        """Clean balls, placed and tallied."""
        return int(self.clean.sum()) + int(self.tallied.struck_well.sum())

    @property
    def all(self) -> int:
        """All balls, placed and tallied."""
        return len(self.split) + len(self.tallied)

    @property
    def judged(self) -> NDArray[np.bool_]:
        """(n,) clean placed balls with a finish."""
        return self.clean & self.split.finished

    def length(self, length_m: float) -> str:
        """A length without its sign."""
        return length_text(abs(length_m), self.unit)

    def mean(self, what: str, rows: NDArray[np.bool_]) -> float:
        """Mean of something foreseen, over these placed balls, or over the tallies when there are none."""
        of = getattr(self.split.then, what)[rows]
        return float((of if len(of) else getattr(self.tallied.then, what)).mean())


def answer_words(answer: Answer, telling: Telling) -> tuple[str, str, tuple[Fault, ...]]:
    """Sentence, reason and faults of one answer."""
    question, telling = answer.question, telling.of(answer)
    if question is Question.CONTACT:
        return _contact_words(answer, telling)
    if question in (Question.PLAN, Question.PLAN_SIDE):
        words = _plan_words(answer, telling)
    elif question is Question.READING:
        words = _reading_words(answer, telling)
    else:
        words = _strike_words(answer, telling)
    return (*words, FAULT_OF[question])


def balls_text(answer: Answer) -> str:
    """The balls behind an answer."""
    placed = f"{answer.n} clean ball" + ("" if answer.n == 1 else "s")
    if not answer.tallied:
        return placed
    return f"{placed} and {answer.tallied} tallied" if answer.n else f"{answer.tallied} tallied balls"


def _plan_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    split = telling.split
    rows = telling.judged & (groups(split) == answer.group) if len(split) else telling.judged
    along = answer.question is Question.PLAN
    shift = answer.effect / telling.mean("gain" if along else "side_gain", rows)
    more, less = ("past", "short of") if along else ("to the right of", "to the left of")
    away = ("shorter", "longer") if along else ("further left", "further right")
    least = (
        "at least " if not answer.n and not (math.isfinite(answer.low) and math.isfinite(answer.high)) else ""
    )
    sentence = f"Change the plan: land it {least}{telling.length(shift)} {away[0 if shift > 0 else 1]}"
    carry = float(split.carry[rows].mean()) if rows.any() else float(telling.tallied.carry.mean())
    if along and abs(shift) > LONG_SHIFT * carry:
        sentence += ", or take a club with " + ("more loft" if shift > 0 else "less loft")
    at = f" ({answer.where})" if answer.where else ""
    ball = "A clean ball that lands on the spot" if answer.n else "A ball that lands in the circle"
    reason = (
        f"{ball}{at} finishes {least}{telling.length(answer.effect)} "
        f"{more if answer.effect > 0 else less} the hole on average{_between(answer, telling, along)}; "
        f"{balls_text(answer)}."
    )
    return f"{sentence}.", reason


def _between(answer: Answer, telling: Telling, along: bool) -> str:
    if not (math.isfinite(answer.low) and math.isfinite(answer.high)):
        return ""
    words = ("past", "short") if along else ("right", "left")
    ends = [f"{telling.length(v)} {words[0 if v > 0 else 1]}" for v in (answer.low, answer.high)]
    return f", between {ends[0]} and {ends[1]}"


def _reading_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    further = answer.effect > 0
    run = telling.mean("run", telling.judged)
    ends = [f"{100 * end:+.0f}" for end in (answer.low, answer.high) if math.isfinite(end)]
    likely = f" (likely {ends[0]} to {ends[1]})" if len(ends) == 2 else ""
    at = f" ({answer.where})" if answer.where else ""
    reason = (
        f"Balls that landed where they did{at} should have run {telling.length(run)}; they ran "
        f"{100 * abs(answer.effect):.0f} percent {'further' if further else 'less'}{likely}, more than "
        f"could be expected from what was known of the day; {balls_text(answer)}."
    )
    how = _faster_or_firmer(telling, further)
    return f"Read the green again: it is {how} than we took it for.", reason


def _faster_or_firmer(telling: Telling, further: bool) -> str:
    """Speed or firmness, by which of the two the balls moved more against what was known; often both."""
    speed, firm = ("faster", "firmer") if further else ("slower", "softer")
    both = f"{speed} or {firm}"
    if telling.now is telling.then:
        return both
    moved = np.abs(telling.now.theta - telling.then.theta) / np.sqrt(np.diag(telling.then.covariance))
    if moved[STIMP] > 2 * moved[FIRMNESS]:
        return speed
    return firm if moved[FIRMNESS] > 2 * moved[STIMP] else both


def _strike_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    question = answer.question
    along = question in (Question.DISTANCE_BIAS, Question.DISTANCE_SPREAD)
    part = "distance" if along else "direction"
    if question in (Question.DISTANCE_BIAS, Question.DIRECTION_BIAS):
        ways = ("long", "short") if along else ("right", "left")
        way = ways[0] if answer.effect > 0 else ways[1]
        far = telling.length(answer.effect)
        reason = f"The balls land {far} {way} of the spot on average; {balls_text(answer)}."
        return f"Practise the strike: {part}, usually {way}.", reason
    likely = ""
    if math.isfinite(answer.low) and math.isfinite(answer.high):
        likely = f" (likely {1 + answer.low:.1f} to {1 + answer.high:.1f})"
    reason = (
        f"The landings are spread {1 + answer.effect:.1f} times as wide as is usual for this player{likely}; "
        f"{balls_text(answer)}."
    )
    return f"Practise the strike: {part}, the landings are too far apart.", reason


def _contact_words(answer: Answer, telling: Telling) -> tuple[str, str, tuple[Fault, ...]]:
    placed = [b.strike for b, clean in zip(telling.split.balls, telling.clean, strict=True) if not clean]
    tallied = [t.strike for t in telling.tallied.tallies if t.strike not in (None, Strike.CLEAN)]
    named = [str(strike) for strike in (*placed, *tallied) if strike not in (None, Strike.CLEAN)]
    kinds = sorted(set(named), key=lambda kind: (-named.count(kind), kind))
    most = kinds[0] if kinds else ""
    faults = {"heavy": (Fault.HEAVY,), "thin": (Fault.THIN,)}.get(most, FAULT_OF[Question.CONTACT])
    counts = ", ".join(f"{named.count(kind)} {kind}" for kind in kinds)
    told = f" ({counts})" if counts else ""
    sentence = "Practise the strike: contact" + (f", mostly {most}." if most else ".")
    bad = len(placed) + len(tallied)
    return sentence, f"{bad} of {answer.balls} balls were not clean{told}, more than is usual.", faults


def counts_text(telling: Telling) -> str:
    """Plain counts: how many landed in the circle, and how many finished close."""
    c = telling.counts
    landed = f"{c.in_circle} of {c.landing_seen} landed in the circle"
    if not c.finish_seen:
        return f"{landed}."
    return f"{landed}, {c.close} of {c.finish_seen} finished within two paces of the hole."


def hunch_text(telling: Telling) -> str:
    """Something to try from three balls: the middle of the misses says which way."""
    if telling.clean.any():
        along = float(np.median(telling.split.missed[telling.clean, 0]))
        if abs(along) > 0.5:
            way = "shorter" if along > 0 else "longer"
            return f"Next three: try to land it {telling.length(along)} {way}."
        rows = telling.judged
        left = float(np.median(telling.split.from_spot[rows, 0])) if rows.any() else 0.0
        if abs(left) > 0.75:
            gain = float(telling.split.then.gain[rows].mean())
            way = "nearer" if left > 0 else "further"
            return f"Next three: move the spot {telling.length(left / gain)} {way}."
        return "Next three: the same spot and the same stroke."
    long, short = (int(telling.tallied.landed(w).sum()) for w in (TallyLanding.LONG, TallyLanding.SHORT))
    if long == short:
        return "Next three: the same spot and the same stroke."
    return f"Next three: try to land it a little {'shorter' if long > short else 'longer'}."


def eye_text(failed: Sequence[Judged]) -> tuple[str, str]:
    """What the coach saw wanting, and a drill for the first of it."""
    seen = ", ".join(str(one.item) for one in failed)
    drill = f' Try "{failed[0].drills[0]}".' if failed[0].drills else ""
    return f"By the coach's eye, wanting: {seen}.", drill
