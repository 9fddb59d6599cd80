"""One verdict for a set: what to do next; the coach may overrule, and both are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from firstbounce.review.questions import (
    FEWEST,
    FEWEST_TO_ASK,
    WEIGHT,
    Answer,
    Question,
    balls_needed,
)
from firstbounce.review.sentences import (
    FAULT_OF,
    Telling,
    answer_words,
    counts_text,
    eye_text,
    hunch_text,
)
from firstbounce.technique.marks import Judged
from firstbounce.technique.marks import Verdict as Eye
from firstbounce.words import Fault

ENOUGH = 8  #: balls from which "keep" may be said [choice]
LARGEST_HIDDEN_M = 1.5  #: and only when no larger plan error could hide behind the balls [m], a choice


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
    n: int  #: clean balls behind it, placed and tallied
    certainty: str  #: sure, likely or hunch
    faults: tuple[Fault, ...] = ()
    to_try: str = ""  #: something for the next three balls, when there are not enough yet
    more_balls: int | None = None  #: how many more before it can be said; None: cannot be told yet
    answer: Answer | None = None
    by_eye: tuple[Judged, ...] = ()  #: what the coach saw wanting, coach-judged
    by_coach: Call | None = None
    coach_note: str = ""

    def overruled(self, call: Call, note: str = "") -> Verdict:
        """The same verdict with the coach's own call beside it."""
        return replace(self, by_coach=call, coach_note=note)


CALL_OF: dict[Question, Call] = {
    Question.PLAN: Call.CHANGE_PLAN,
    Question.PLAN_SIDE: Call.CHANGE_PLAN,
    Question.READING: Call.READ_AGAIN,
}


def judge(answers: Sequence[Answer], telling: Telling, by_eye: Sequence[Judged] = ()) -> Verdict:
    """The verdict: what costs most among what is called; otherwise the likeliest hint, marked as such."""
    called = _explained([answer for answer in answers if answer.called])
    if not telling.n and telling.all >= FEWEST:
        verdict = _none_clean(telling, called)
    elif called:
        verdict = _said(max(called, key=lambda answer: answer.costs), telling)
    elif telling.n < FEWEST:
        verdict = _too_few(telling)
    elif not answers:
        verdict = _counted(telling)
    elif _open(answers, telling):
        verdict = _not_enough(min(answers, key=_unlikely), telling)
    else:
        verdict = _keep(telling)
    return _with_eye(verdict, tuple(one for one in by_eye if one.verdict is Eye.FAILED))


def _explained(called: Sequence[Answer]) -> list[Answer]:
    """A green misread that day explains balls that miss the hole: its plan counts by its own model only."""
    misread = {answer.day for answer in called if answer.question is Question.READING}
    return [
        replace(answer, costs=min(answer.costs, answer.own**2))
        if answer.question in (Question.PLAN, Question.PLAN_SIDE) and answer.day in misread
        else answer
        for answer in called
    ]


def _unlikely(answer: Answer) -> tuple[bool, float]:
    """Hints first, the least likely by luck first."""
    return not answer.hints, answer.chance / WEIGHT[answer.question]


def _open(answers: Sequence[Answer], telling: Telling) -> bool:
    """Whether a plan error that matters could still hide in these few balls."""
    plans = [answer for answer in answers if answer.question is Question.PLAN]
    hidden = any(max(-a.low, a.high) > LARGEST_HIDDEN_M for a in plans)
    return telling.n < ENOUGH or hidden or not plans


def _said(answer: Answer, telling: Telling) -> Verdict:
    sentence, reason, faults = answer_words(answer, telling)
    return Verdict(
        call=CALL_OF.get(answer.question, Call.PRACTISE_STRIKE),
        sentence=sentence,
        reason=reason,
        n=answer.balls,
        certainty=answer.certainty,
        faults=faults,
        answer=answer,
    )


def _none_clean(telling: Telling, called: Sequence[Answer]) -> Verdict:
    return Verdict(
        call=Call.PRACTISE_STRIKE,
        sentence=f"Practise the strike: contact first, none of the {telling.all} balls was struck cleanly.",
        reason="The landings say nothing yet of plan, distance or direction.",
        n=telling.all,
        certainty=called[0].certainty if called else "hunch",
        faults=FAULT_OF[Question.CONTACT],
    )


def _too_few(telling: Telling) -> Verdict:
    need = FEWEST - telling.n
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet: {need} more clean before anything is said.",
        reason=f"{telling.n} of {telling.all} balls were clean.",
        n=telling.n,
        certainty="hunch",
        more_balls=need,
    )


def _counted(telling: Telling) -> Verdict:
    need = max(FEWEST_TO_ASK - telling.n, 1)
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet: {need} more.",
        reason=counts_text(telling),
        n=telling.n,
        certainty="hunch",
        to_try=hunch_text(telling),
        more_balls=need,
    )


def _not_enough(hint: Answer, telling: Telling) -> Verdict:
    sentence, reason, faults = answer_words(hint, telling)
    error = (hint.high - hint.low) / 3.3
    need = balls_needed(hint.effect, error, hint.balls, WEIGHT[hint.question])
    more = None if need is None else max(need - hint.balls, 1)
    told = "many more" if more is None or more > 60 else f"about {more} more"
    lead = sentence[0].lower() + sentence[1:]
    return Verdict(
        call=Call.NOT_ENOUGH,
        sentence=f"Not enough balls yet ({told}).",
        reason=f"{counts_text(telling)} {reason}" if hint.hints else counts_text(telling),
        n=telling.n,
        certainty="hunch",
        faults=faults if hint.hints else (),
        to_try=f"Next three: perhaps {lead}" if hint.hints else hunch_text(telling),
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


def _with_eye(verdict: Verdict, failed: tuple[Judged, ...]) -> Verdict:
    """The same with what the coach saw: its faults after those of the balls, something to try when open."""
    if not failed:
        return verdict
    seen = tuple(one.fault for one in failed if one.fault is not None)
    faults = tuple(dict.fromkeys((*verdict.faults, *seen)))
    reason, drill = eye_text(failed)
    if verdict.call in (Call.NOT_ENOUGH, Call.KEEP):
        lead = f"{verdict.to_try} " if verdict.to_try else ""
        return replace(verdict, faults=faults, by_eye=failed, to_try=f"{lead}{reason}{drill}")
    return replace(verdict, faults=faults, by_eye=failed, reason=f"{verdict.reason} {reason}")
