"""One sentence a player understands, its reason and its balls; the coach may overrule, and both are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.layout import FIRMNESS, STIMP
from firstbounce.fitting.result import Fit
from firstbounce.planning.sentences import length_text
from firstbounce.review.ask import FEWEST, FEWEST_TO_ASK, labels
from firstbounce.review.questions import Answer, Question, balls_needed
from firstbounce.review.split import Split
from firstbounce.units import LengthUnit
from firstbounce.words import Fault

LONG_SHIFT = 0.25  #: a spot moved by more than this share of the carry asks for another club as well [choice]
CLOSE_M = 1.8  #: "close" to the hole: two paces [m]


class Call(StrEnum):
    """What a review tells the coach to do."""

    CHANGE_PLAN = "change the plan"
    PRACTISE_STRIKE = "practise the strike"
    READ_AGAIN = "read the green again"
    KEEP = "keep plan and strike"
    NOT_ENOUGH = "not enough balls yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The call with its words. `by_coach` is the coach's own call when it differs; both stay."""

    call: Call
    sentence: str
    reason: str
    n: int  #: clean balls behind it
    certainty: str  #: sure, likely or hunch
    faults: tuple[Fault, ...] = ()
    to_try: str = ""  #: something for the next three balls, when there are not enough yet
    more_balls: int | None = None  #: how many more before it can be said; None: cannot be told yet
    answer: Answer | None = None
    by_coach: Call | None = None
    coach_note: str = ""

    def overruled(self, call: Call, note: str = "") -> Verdict:
        """The same verdict with the coach's own call beside it."""
        return replace(self, by_coach=call, coach_note=note)


FAULT_OF: dict[Question, tuple[Fault, ...]] = {
    Question.READING: (Fault.READING,),
    Question.DISTANCE_BIAS: (Fault.DISTANCE,),
    Question.DIRECTION_BIAS: (Fault.DIRECTION,),
    Question.DISTANCE_SPREAD: (Fault.DISTANCE,),
    Question.DIRECTION_SPREAD: (Fault.DIRECTION,),
    Question.CONTACT: (Fault.HEAVY, Fault.THIN),
}
CALL_OF: dict[Question, Call] = {
    Question.PLAN: Call.CHANGE_PLAN,
    Question.READING: Call.READ_AGAIN,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Telling:
    """What the words need: the set, the fits, the unit."""

    split: Split
    clean: NDArray[np.bool_]
    then: Fit
    now: Fit
    unit: LengthUnit

    @property
    def n(self) -> int:
        return int(self.clean.sum())

    def length(self, length_m: float) -> str:
        return length_text(abs(length_m), self.unit)


def judge(answers: Sequence[Answer], telling: Telling) -> Verdict:
    """The verdict: what costs most among what is called; otherwise the likeliest hint, marked as such."""
    called = [answer for answer in answers if answer.called]
    if called:
        worst = max(called, key=lambda answer: answer.costs)
        return _said(worst, telling, "sure")
    if telling.n < FEWEST:
        return _too_few(telling)
    hint = min(answers, key=lambda answer: answer.chance, default=None)
    if hint is None:
        return _counted(telling)
    return _not_enough(hint, telling) if _open(answers, telling) else _keep(telling)


def _open(answers: Sequence[Answer], telling: Telling) -> bool:
    """Whether a plan error of one metre could still hide in these few balls."""
    plans = [answer for answer in answers if answer.question is Question.PLAN]
    return telling.n < 8 or any(max(-a.low, a.high) > 1.5 for a in plans) or not plans


def _said(answer: Answer, telling: Telling, certainty: str) -> Verdict:
    sentence, reason, faults = words_of(answer, telling)
    call = CALL_OF.get(answer.question, Call.PRACTISE_STRIKE)
    return Verdict(
        call=call,
        sentence=sentence,
        reason=reason,
        n=answer.n,
        certainty=certainty,
        faults=faults,
        answer=answer,
    )


def words_of(answer: Answer, telling: Telling) -> tuple[str, str, tuple[Fault, ...]]:
    """Sentence, reason and faults of one answer."""
    question = answer.question
    if question is Question.PLAN:
        return (*_plan_words(answer, telling), (Fault.READING,))
    if question is Question.READING:
        return (*_reading_words(answer, telling), FAULT_OF[question])
    if question is Question.CONTACT:
        return _contact_words(answer, telling)
    return (*_strike_words(answer, telling), FAULT_OF[question])


def _plan_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    rows = telling.clean & telling.split.finished & (labels(telling.split) == _group_of(answer, telling))
    gain = float(telling.split.then.gain[rows].mean())
    carry = float(telling.split.carry[rows].mean())
    shift = answer.effect / gain
    way = "shorter" if shift > 0 else "longer"
    sentence = f"Change the plan: land it {telling.length(shift)} {way}"
    if abs(shift) > LONG_SHIFT * carry:
        sentence += ", or take a club with " + ("more loft" if shift > 0 else "less loft")
    end = "past" if answer.effect > 0 else "short of"
    at = f" ({answer.where})" if answer.where else ""
    reason = (
        f"A clean ball that lands on the spot{at} finishes {telling.length(answer.effect)} {end} the hole on "
        f"average, between {_ends(answer, telling)}; {answer.n} clean balls."
    )
    return f"{sentence}.", reason


def _group_of(answer: Answer, telling: Telling) -> int:
    """Number of the station, club and spot that an answer is about."""
    from firstbounce.review.ask import label_words

    group = labels(telling.split)
    for row in range(len(group)):
        same = telling.clean & telling.split.finished & (group == group[row])
        if label_words(telling.split, row) == answer.where and int(same.sum()) == answer.n:
            return int(group[row])
    return int(group[0])


def _ends(answer: Answer, telling: Telling) -> str:
    def end(value: float) -> str:
        return f"{telling.length(value)} {'past' if value > 0 else 'short'}"

    return f"{end(answer.low)} and {end(answer.high)}"


def _reading_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    further = answer.effect > 0
    how = _faster_or_firmer(telling, further)
    run = float(telling.split.then.run[telling.clean & telling.split.finished].mean())
    reason = (
        f"Balls that landed where they did should have run {telling.length(run)}; they ran "
        f"{100 * abs(answer.effect):.0f} percent {'further' if further else 'less'} (likely "
        f"{100 * answer.low:+.0f} to {100 * answer.high:+.0f}), more than could be expected from what was "
        f"known of the day; {answer.n} clean balls."
    )
    return f"Read the green again: it is {how} than we took it for.", reason


def _faster_or_firmer(telling: Telling, further: bool) -> str:
    """Speed or firmness, by which of the two the balls moved more against what was known; often both."""
    moved = telling.now.theta - telling.then.theta
    size = np.abs(moved) / np.sqrt(np.diag(telling.then.covariance))
    speed, firm = ("faster", "firmer") if further else ("slower", "softer")
    if telling.now is not telling.then and size[STIMP] > 2 * size[FIRMNESS]:
        return speed
    if telling.now is not telling.then and size[FIRMNESS] > 2 * size[STIMP]:
        return firm
    return f"{speed} or {firm}"


def _strike_words(answer: Answer, telling: Telling) -> tuple[str, str]:
    question, n = answer.question, answer.n
    if question in (Question.DISTANCE_BIAS, Question.DIRECTION_BIAS):
        ways = ("long", "short") if question is Question.DISTANCE_BIAS else ("right", "left")
        way = ways[0] if answer.effect > 0 else ways[1]
        part = "distance" if question is Question.DISTANCE_BIAS else "direction"
        reason = (
            f"The balls land {telling.length(answer.effect)} {way} of the spot on average; {n} clean balls."
        )
        return f"Practise the strike: {part}, usually {way}.", reason
    part = "distance" if question is Question.DISTANCE_SPREAD else "direction"
    reason = (
        f"The landings are spread {1 + answer.effect:.1f} times as wide as is usual for this player (likely "
        f"{1 + answer.low:.1f} to {1 + answer.high:.1f}); {n} clean balls."
    )
    return f"Practise the strike: {part}, the landings are too far apart.", reason


def _contact_words(answer: Answer, telling: Telling) -> tuple[str, str, tuple[Fault, ...]]:
    bad = [b.strike for b, clean in zip(telling.split.balls, telling.clean, strict=True) if not clean]
    named = [str(strike) for strike in bad if strike is not None]
    kinds = sorted(set(named), key=lambda kind: (-named.count(kind), kind))
    most = kinds[0] if kinds else ""
    faults = {"heavy": (Fault.HEAVY,), "thin": (Fault.THIN,)}.get(most, FAULT_OF[Question.CONTACT])
    counts = ", ".join(f"{named.count(kind)} {kind}" for kind in kinds)
    told = f" ({counts})" if counts else ""
    sentence = "Practise the strike: contact" + (f", mostly {most}." if most else ".")
    return sentence, f"{len(bad)} of {answer.n} balls were not clean{told}, more than is usual.", faults


def _too_few(telling: Telling) -> Verdict:
    need = FEWEST - telling.n
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet: {need} more clean before anything is said.",
        reason=f"{telling.n} of {len(telling.split)} balls were clean.",
        n=telling.n,
        certainty="hunch",
        more_balls=need,
    )


def _counted(telling: Telling) -> Verdict:
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet: {FEWEST_TO_ASK - telling.n} more.",
        reason=counts_text(telling),
        n=telling.n,
        certainty="hunch",
        to_try=_hunch(telling),
        more_balls=FEWEST_TO_ASK - telling.n,
    )


def _hunch(telling: Telling) -> str:
    """Something to try from three balls: the middle of the misses says which way."""
    along = float(np.median(telling.split.missed[telling.clean, 0]))
    if abs(along) > 0.5:
        return f"Next three: try to land it {telling.length(along)} {'shorter' if along > 0 else 'longer'}."
    rows = telling.clean & telling.split.finished
    if rows.any():
        left = float(np.median(telling.split.from_spot[rows, 0]))
        if abs(left) > 0.75:
            gain = float(telling.split.then.gain[rows].mean())
            way = "nearer" if left > 0 else "further"
            return f"Next three: move the spot {telling.length(left / gain)} {way}."
    return "Next three: the same spot and the same stroke."


def _not_enough(hint: Answer, telling: Telling) -> Verdict:
    sentence, reason, faults = words_of(hint, telling)
    error = (hint.high - hint.low) / 3.3
    need = balls_needed(hint.effect, error, hint.n)
    more = None if need is None else max(need - hint.n, 1)
    told = "many more" if more is None or more > 60 else f"about {more} more"
    lead = sentence[0].lower() + sentence[1:]
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet ({told}).",
        reason=f"{counts_text(telling)} {reason}",
        n=telling.n,
        certainty=hint.certainty,
        faults=faults if hint.certainty == "likely" else (),
        to_try=f"Perhaps: {lead}" if hint.certainty == "likely" else _hunch(telling),
        more_balls=more,
        answer=hint,
    )


def _keep(telling: Telling) -> Verdict:
    return Verdict(
        call=Call.KEEP,
        sentence="Keep the plan and the strike: nothing here stands out from what is usual for this player.",
        reason=counts_text(telling),
        n=telling.n,
        certainty="likely",
    )


def counts_text(telling: Telling) -> str:
    """Plain counts: how many finished close, and in how many the ball landed within two paces of the spot."""
    known = telling.split.finished
    holed = int(sum(ball.holed for ball in telling.split.balls))
    near = int((np.hypot(*telling.split.total[known].T) <= CLOSE_M).sum()) + holed
    landed = int((np.hypot(*telling.split.missed.T) <= CLOSE_M).sum())
    return (
        f"{landed} of {len(telling.split)} landed within two paces of the spot, {near} finished within two "
        "paces of the hole."
    )
