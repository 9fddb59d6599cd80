"""One drill scored: entries checked, passed or not, what to do next, and the record that is kept.

    score_drill(drill, tries, ...) -> DrillScore

`DrillScore` is plain and frozen: a file (files/scores.py) or a database keeps it as it is.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from scipy.special import betaincinv

from firstbounce.errors import ParameterError
from firstbounce.practice.adapt import Ladder, Rule, Threshold, up_down
from firstbounce.practice.drill import Drill
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.sheet import passes_of

MOST_TRIES = 200  #: of one score
FEWEST_TO_JUDGE = 4  #: fewer tries neither pass nor fail
FEWEST_TO_SIZE = 12  #: balls before a circle size is estimated
EASIER_BELOW = 0.6  #: of the pass mark: fewer successes than this ask for the easier form [choice]
SMALLEST_M, LARGEST_M = 0.3, 6.0  #: circles of a score


class Step(StrEnum):
    """What to do next time."""

    HARDER = "harder"
    SAME = "the same again"
    EASIER = "easier"
    MORE = "more balls first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """One try: success or not, and what was measured with it, where it was."""

    hit: bool
    mishit: bool = False  #: not struck cleanly: a miss that does not move the circle
    size_m: float | None = None  #: radius of the circle it was hit at
    carry_m: float | None = None
    stick_m: float | None = None  #: place of the stick it was hit with


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillScore:
    """A scored drill as it is kept. Times are text, given by whoever has a clock."""

    id: str
    at: str  #: ISO 8601 with the offset of the place
    player: str
    drill: str
    number: int
    tries: tuple[Try, ...]
    hits: int
    passed: bool | None  #: None: too few tries
    low: float  #: 90 % interval of the success rate
    high: float
    step: Step
    advice: str
    size_m: float | None = None  #: estimated size at the rule's rate, from the tries at circles
    size_low_m: float | None = None
    size_high_m: float | None = None
    next_size_m: float | None = None  #: radius to lay next time
    note: str = ""

    @property
    def out_of(self) -> int:
        """Tries."""
        return len(self.tries)

    @property
    def sticks(self) -> tuple[tuple[float, float], ...]:
        """(stick, carry) pairs [m] that the stick model learns from."""
        return tuple((t.stick_m, t.carry_m) for t in self.tries if t.stick_m and t.carry_m)

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON."""
        return {
            "id": self.id,
            "at": self.at,
            "player": self.player,
            "drill": self.drill,
            "number": self.number,
            "hits": self.hits,
            "out_of": self.out_of,
            "passed": self.passed,
            "low_share": round(self.low, 3),
            "high_share": round(self.high, 3),
            "step": str(self.step),
            "advice": self.advice,
            "size_m": self.size_m,
            "size_low_m": self.size_low_m,
            "size_high_m": self.size_high_m,
            "next_size_m": self.next_size_m,
            "note": self.note,
        }


def score_drill(
    drill: Drill,
    tries: Sequence[Try],
    *,
    id: str,
    at: str,
    player: str,
    rule: Rule | None = None,
    yardsticks: Yardsticks | None = None,
    note: str = "",
) -> DrillScore:
    """The score of one drill. ParameterError names the try that makes no sense.

    `rule` adapts the circle (two hits in a row smaller, a miss larger, when none is given).
    """
    _check(drill, tries)
    hits, n = sum(one.hit for one in tries), len(tries)
    step, passed = _step(drill, hits, n)
    low, high = share_interval(hits, n)
    measured = yardsticks or Yardsticks()
    sized = [one for one in tries if one.size_m is not None] if drill.has_circle else []
    used = rule or up_down(2, smallest=SMALLEST_M, largest=LARGEST_M)
    threshold, next_m = _sizes(sized, used, measured)
    return DrillScore(
        id=id,
        at=at,
        player=player,
        drill=drill.name,
        number=drill.number,
        tries=tuple(tries),
        hits=hits,
        passed=passed,
        low=low,
        high=high,
        step=step,
        advice=_advice(drill, step, next_m, measured),
        size_m=None if threshold is None else round(threshold.size, 3),
        size_low_m=None if threshold is None else round(threshold.low, 3),
        size_high_m=None if threshold is None else round(threshold.high, 3),
        next_size_m=next_m,
        note=note,
    )


def _check(drill: Drill, tries: Sequence[Try]) -> None:
    if not 1 <= len(tries) <= MOST_TRIES:
        raise ParameterError(f"A score needs 1 to {MOST_TRIES} tries, got {len(tries)}.")
    if any(one.hit and one.mishit for one in tries):
        raise ParameterError(f"{drill.name}: a try cannot be a hit and a mishit at once.")
    bounds = {"size_m": (0.1, 10.0), "carry_m": (0.5, 60.0), "stick_m": (0.3, 2.5)}
    for i, one in enumerate(tries, 1):
        for name, (low, high) in bounds.items():
            value = getattr(one, name)
            if value is not None and not low <= value <= high:
                raise ParameterError(
                    f"{drill.name}, try {i}: {name} must be {low:g} to {high:g} m, got {value:g}."
                )


def _step(drill: Drill, hits: int, n: int) -> tuple[Step, bool | None]:
    if n < min(FEWEST_TO_JUDGE, drill.out_of):
        return Step.MORE, None
    passes = passes_of(drill, n)
    if hits >= passes:
        return Step.HARDER, True
    return (Step.EASIER if hits < EASIER_BELOW * passes else Step.SAME), False


def _sizes(sized: Sequence[Try], rule: Rule, yardsticks: Yardsticks) -> tuple[Threshold | None, float | None]:
    """The size hit at the rule's rate from the balls at circles, and the radius for next time.

    When somebody tagged mishits they are left out and the size is that of clean strikes.
    """
    tagged = any(one.mishit for one in sized)
    sized = [one for one in sized if not one.mishit]
    if not sized:
        return None, None
    ladder = Ladder(rule=rule, size=min(max(sized[0].size_m or 0, rule.smallest), rule.largest))
    for one in sized:
        here = min(max(one.size_m or 0, rule.smallest), rule.largest)
        ladder = Ladder(rule=rule, size=here, streak=ladder.streak, done=ladder.done).after(one.hit)
    enough = len(sized) >= FEWEST_TO_SIZE
    threshold = ladder.threshold(mishits=not tagged) if enough else None
    wanted = threshold.size if threshold else ladder.size
    kept = min(max(wanted, rule.smallest), rule.largest)
    return threshold, yardsticks.laid(kept, roped=True).length_m


def _advice(drill: Drill, step: Step, next_m: float | None, yardsticks: Yardsticks) -> str:
    words = {
        Step.HARDER: f"Harder next time: {drill.harder}",
        Step.EASIER: f"Easier next time: {drill.easier}",
        Step.SAME: "The same again next time.",
        Step.MORE: f"Too few to say: at least {min(FEWEST_TO_JUDGE, drill.out_of)} tries.",
    }[step]
    if next_m is None:
        return words
    return f"{words} Lay the circle with a radius of {yardsticks.laid(next_m, roped=True).words}."


def share_interval(hits: int, n: int) -> tuple[float, float]:
    """90 % interval of a success rate (Jeffreys; Brown, Cai & DasGupta, Stat. Sci. 16 (2001) 101, memory)."""
    low = 0.0 if hits == 0 else float(betaincinv(hits + 0.5, n - hits + 0.5, 0.05))
    high = 1.0 if hits == n else float(betaincinv(hits + 0.5, n - hits + 0.5, 0.95))
    return low, high


def tries_of_count(hits: int, of: int) -> tuple[Try, ...]:
    """Tries of which only the count is known; their order says nothing."""
    if not 1 <= of <= MOST_TRIES:
        raise ParameterError(f"The number of tries must be 1 to {MOST_TRIES}, got {of}.")
    if not 0 <= hits <= of:
        raise ParameterError(f"Hits must be 0 to the number of tries ({of}), got {hits}.")
    return tuple(Try(hit=k < hits) for k in range(of))


_MARK = re.compile(r"^([xXoOmM01])(?:@(\d+(?:\.\d+)?))?$")


def tries_of_marks(marks: str, size_m: float | None = None) -> tuple[Try, ...]:
    """Tries from marks: x a hit, o a miss, m a mishit, with a circle's radius after @: "x x@1.2 o m"."""
    words = marks.split() if " " in marks.strip() or "@" in marks else list(marks.strip())
    made = []
    for i, word in enumerate(words, 1):
        found = _MARK.match(word)
        if not found:
            raise ParameterError(f"Try {i}: write x for a hit, o for a miss, m for a mishit, got {word!r}.")
        here = float(found[2]) if found[2] else size_m
        if here is not None and not math.isfinite(here):
            raise ParameterError(f"Try {i}: the radius must be a number of metres, got {word!r}.")
        made.append(Try(hit=found[1] in "xX1", mishit=found[1] in "mM", size_m=here))
    return tuple(made)
