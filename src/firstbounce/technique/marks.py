"""Pass marks, verdicts and the drills that answer them: the same for camera and for a coach's eye."""

from __future__ import annotations

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

    sure: False when the 90 % interval of the measure includes the pass mark.
    """

    item: Item
    verdict: Verdict
    judge: Judge
    says: str
    fault: Fault | None = None
    drills: tuple[str, ...] = ()
    sure: bool = True


ELBOWS_CLOSE_DEG: Final = 4.0  #: nearer to the mark than this is close, by rendered people [deg]
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
    """The verdict on each item of one measured swing."""
    ratio, tempo = found[Name.RATIO], found[Name.TEMPO]
    return [
        _arms(found, marks),
        _between(Item.MATCH, ratio, marks.ratio_low, marks.ratio_high, "{:.2f} times the backswing"),
        _held(found[Name.HELD], marks),
        _below(Item.RECOIL, found[Name.RECOIL], marks.recoil_deg, "{:.0f} degrees back"),
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


def _between(item: Item, measure: Measure, low: float, high: float, words: str) -> Judged:
    if measure.value is None or measure.low is None or measure.high is None:
        return not_judged(item, measure.refusal)
    sure = not any(measure.low < mark < measure.high for mark in (low, high))
    return judged(item, low <= measure.value <= high, words.format(measure.value), sure=sure)


def _below(item: Item, measure: Measure, limit: float, words: str) -> Judged:
    if measure.value is None or measure.low is None or measure.high is None:
        return not_judged(item, measure.refusal)
    sure = not measure.low < limit < measure.high
    return judged(item, measure.value <= limit, words.format(measure.value), sure=sure)


def _held(held: Measure, marks: PassMarks) -> Judged:
    """Held long enough; a clip that ends first can only pass."""
    if held.value is None or held.low is None:
        return not_judged(Item.HELD, held.refusal)
    if held.at_least and held.value < marks.held_s:
        why = f"held {held.value:.1f} s when the clip ends: let it run until the player moves"
        return not_judged(Item.HELD, why)
    more = "at least " if held.at_least else ""
    sure = not held.low < marks.held_s < (held.high if held.high is not None else held.value)
    return judged(Item.HELD, held.value >= marks.held_s, f"held {more}{held.value:.1f} s", sure=sure)


def _arms(found: Mapping[Name, Measure], marks: PassMarks) -> Judged:
    """Elbows and triangle keep their shape from address to finish.

    The two elbows are judged by the mean of their changes: one alone is seen too badly (docs/technique.md).
    """
    lead, trail, triangle = (found[name] for name in (Name.LEAD_ELBOW, Name.TRAIL_ELBOW, Name.TRIANGLE))
    if lead.value is None or trail.value is None or triangle.value is None:
        return not_judged(Item.ARMS, lead.refusal or trail.refusal or triangle.refusal)
    elbows = (lead.value + trail.value) / 2
    passed = elbows <= marks.elbow_deg and abs(triangle.value) <= marks.triangle_deg
    says = (
        f"elbows bend by {elbows:.0f}°, triangle changes by {abs(triangle.value):.0f}°, as seen by the camera"
    )
    close = abs(elbows - marks.elbow_deg) < ELBOWS_CLOSE_DEG
    return judged(Item.ARMS, passed, says, sure=not close)
