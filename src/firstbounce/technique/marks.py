"""Pass marks, verdicts and the drills that answer them: the same for camera and for a coach's eye."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from firstbounce.errors import ParameterError
from firstbounce.technique.measures import Measure, Name
from firstbounce.words import Fault


class Item(StrEnum):
    """What is judged, in the words of the tick list."""

    ARMS = "arms together"
    MATCH = "through matches back"
    HELD = "finish held"
    RECOIL = "no recoil"
    TEMPO = "tempo"


class Verdict(StrEnum):
    """How an item came out."""

    PASSED = "passed"
    FAILED = "failed"
    CLOSE = "too close to call"
    NOT_JUDGED = "not judged"


class Judge(StrEnum):
    """Who says so."""

    CAMERA = "measured"
    COACH = "coach-judged"


@dataclass(frozen=True, slots=True, kw_only=True)
class PassMarks:
    """What passes; a coach may change each. Defaults: common coaching practice, not measured norms.

    The follow-through matches the backswing when its arc is 0.87 to 1.15 times as long: half-way to a finish
    that is a quarter too short or too long, less the error of the camera.
    """

    ratio_low: float = 0.87
    ratio_high: float = 1.15
    held_s: float = 1.0
    recoil_deg: float = 5.0
    elbow_deg: float = 9.0
    triangle_deg: float = 15.0
    tempo_low: float = 1.7
    tempo_high: float = 2.6

    def __post_init__(self) -> None:
        pairs = ((self.ratio_low, self.ratio_high, "ratio"), (self.tempo_low, self.tempo_high, "tempo"))
        for low, high, what in pairs:
            if not 0 < low < high:
                raise ParameterError(
                    f"The pass marks for {what} need 0 < low < high, got {low:g} and {high:g}."
                )
        if min(self.held_s, self.recoil_deg, self.elbow_deg, self.triangle_deg) <= 0:
            raise ParameterError("Pass marks for hold, recoil, elbows and triangle must be above 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One item's verdict, who judged it, the fault it points to and the drills that help, in one record.

    sure: False when the verdict would be wrong more often than once in twenty, and when it is too close to
    call.
    """

    item: Item
    verdict: Verdict
    judge: Judge
    says: str
    fault: Fault | None = None
    drills: tuple[str, ...] = ()
    sure: bool = True


#: a verdict needs this chance of being right; with less it is too close to call
LEAST_CHANCE: Final = 0.8
SURE: Final = 0.95  #: chance from which a verdict is called sure
DRILLS: Final[Mapping[Item, tuple[str, ...]]] = {
    Item.ARMS: ("Ball between forearms", "Towel under both arms"),
    Item.MATCH: ("Stick for the finish", "Equal arc and longer arc"),
    Item.HELD: ("Freeze until it stops", "Lead-foot chip"),
    Item.RECOIL: ("Freeze until it stops", "Stick for the finish"),
    Item.TEMPO: ("Metronome chip",),
}
FAULTS: Final[Mapping[Item, Fault]] = {
    Item.ARMS: Fault.DISCONNECTED,
    Item.MATCH: Fault.JAB,
    Item.HELD: Fault.RECOIL,
    Item.RECOIL: Fault.RECOIL,
    Item.TEMPO: Fault.TEMPO,
}


def judge_swing(found: Mapping[Name, Measure], marks: PassMarks) -> list[Judged]:
    """The verdict on each item of one measured swing.

    Each weighs the measure against the error of the camera, taken as normal: passed or failed when that is
    right in LEAST_CHANCE of such cases, otherwise too close to call.
    """
    ratio, recoil, tempo = found[Name.RATIO], found[Name.RECOIL], found[Name.TEMPO]
    return [
        _arms(found, marks),
        _between(Item.MATCH, ratio, marks.ratio_low, marks.ratio_high, "{:.2f} times the backswing"),
        _held(found[Name.HELD], marks),
        _between(Item.RECOIL, recoil, -math.inf, marks.recoil_deg, "moved back by {:.0f}°"),
        _between(
            Item.TEMPO, tempo, marks.tempo_low, marks.tempo_high, "back takes {:.1f} times as long as down"
        ),
    ]


def judged(item: Item, passed: bool, says: str, *, judge: Judge = Judge.CAMERA, sure: bool = True) -> Judged:
    """A verdict with the fault and the drills of its item when it failed."""
    if passed:
        return Judged(item=item, verdict=Verdict.PASSED, judge=judge, says=says, sure=sure)
    return Judged(
        item=item,
        verdict=Verdict.FAILED,
        judge=judge,
        says=says,
        fault=FAULTS[item],
        drills=DRILLS[item],
        sure=sure,
    )


def not_judged(item: Item, why: str, *, judge: Judge = Judge.CAMERA) -> Judged:
    """No verdict, and why."""
    return Judged(item=item, verdict=Verdict.NOT_JUDGED, judge=judge, says=why)


def decided(item: Item, chance: float, says: str) -> Judged:
    """The verdict from the chance that the item passes."""
    if 1 - LEAST_CHANCE < chance < LEAST_CHANCE:
        return Judged(item=item, verdict=Verdict.CLOSE, judge=Judge.CAMERA, says=says, sure=False)
    return judged(item, chance > 0.5, says, sure=max(chance, 1 - chance) >= SURE)


def chance_between(value: float, deviation: float, low: float, high: float) -> float:
    """Chance that the true value lies between two marks, its error normal with this standard deviation."""

    def below(mark: float) -> float:
        if deviation <= 0 or math.isinf(mark):
            return float(value <= mark)
        return 0.5 * (1 + math.erf((mark - value) / deviation / math.sqrt(2)))

    return below(high) - below(low)


def _between(item: Item, measure: Measure, low: float, high: float, words: str) -> Judged:
    if measure.value is None:
        return not_judged(item, measure.refusal)
    chance = chance_between(measure.value, measure.deviation, low, high)
    return decided(item, chance, words.format(measure.value))


def _held(held: Measure, marks: PassMarks) -> Judged:
    """Held long enough; a clip that ends first can only pass."""
    if held.value is None:
        return not_judged(Item.HELD, held.refusal)
    if held.at_least and held.value < marks.held_s:
        why = f"held {held.value:.1f} s when the clip ends: let it run until the player moves"
        return not_judged(Item.HELD, why)
    more = "at least " if held.at_least else ""
    return _between(Item.HELD, held, marks.held_s, math.inf, f"held {more}{{:.1f}} s")


def _arms(found: Mapping[Name, Measure], marks: PassMarks) -> Judged:
    """Elbows and triangle keep their shape from address to finish.

    The two elbows are judged by the mean of their changes: one alone is seen too badly (docs/technique.md).
    """
    lead, trail, triangle = (found[name] for name in (Name.LEAD_ELBOW, Name.TRAIL_ELBOW, Name.TRIANGLE))
    if lead.value is None or trail.value is None or triangle.value is None:
        return not_judged(Item.ARMS, lead.refusal or trail.refusal or triangle.refusal)
    elbows, deviation = (lead.value + trail.value) / 2, math.hypot(lead.deviation, trail.deviation) / 2
    says = (
        f"elbows bend by {elbows:.0f}°, triangle changes by {abs(triangle.value):.0f}°, as seen by the camera"
    )
    bent = chance_between(elbows, deviation, -math.inf, marks.elbow_deg)
    kept = chance_between(triangle.value, triangle.deviation, -marks.triangle_deg, marks.triangle_deg)
    return decided(Item.ARMS, bent * kept, says)
