"""What a plan without measurements says in plain coach words."""

from __future__ import annotations

from collections.abc import Sequence

from firstbounce.planning.rough import Reading, RoughChoice, TestBalls
from firstbounce.planning.sentences import club_text, paces_range_text, paces_text

PACE_M = 0.9  #: a walking coach's pace when nobody states another [choice]
WORTH_A_WORD = 0.01  #: strokes a ball that a reading or test must save to be called for [choice]

_HOW: dict[str, str] = {
    "green speed": "Roll three balls up and three back down one line and pace both.",
    "firmness": "Drop a ball from shoulder height on the green and see how high it bounces.",
    "slope": "Lay a level on the line from the landing spot to the hole.",
    "lofts": "Read the lofts on the clubs, or have them checked.",
}


def how_text(name: str) -> str:
    """How to take a reading."""
    return _HOW[name]


def answer_text(head: str, choices: Sequence[RoughChoice], pace_m: float) -> str:
    """What to do, in paces, with what to expect of the run."""
    first = choices[0]
    equals = [c.choice for c in choices[1:] if c.choice.equal]
    text = head
    if not first.choice.is_putt:
        run = first.choice.run_m
        text += f" (most balls run {paces_range_text(run.low, run.high, pace_m)})"
    if equals:
        names = " or ".join("a putt" if c.is_putt else f"the {club_text(c.club)}" for c in equals)
        return f"{text}; {names} would do as well."
    return f"{text}: it holds up best over all greens that are likely here."


def reading_text(readings: Sequence[Reading]) -> str:
    """The one reading that could change the choice, or that none could."""
    if not readings or readings[0].worth_strokes < WORTH_A_WORD:
        return "No single reading would change this choice enough to matter."
    best = readings[0]
    return f"The one reading that could change it is {_named(best.name)}. {best.how}"


def _named(name: str) -> str:
    return {"green speed": "the speed of the green", "slope": "the slope", "lofts": "the lofts"}.get(
        name, "how firm the green is"
    )


def test_text(test: TestBalls | None, pace_m: float) -> str:
    """What three balls would tell."""
    if test is None:
        return "Roll three putts along the line to feel the speed."
    before = paces_range_text(test.run_before_m.low, test.run_before_m.high, pace_m)
    after = paces_range_text(test.run_after_m.low, test.run_after_m.high, pace_m)
    what = f"Three balls with the {club_text(test.club)} landed {paces_text(test.carry_m, pace_m)} away"
    if test.worth_strokes < WORTH_A_WORD:
        return f"{what} would teach most, but are not likely to change the choice."
    return f"{what} teach most: now the average run may be {before}, after them it is known to about {after}."
