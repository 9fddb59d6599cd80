"""How far each measure can be trusted: a 90 % interval from what was seen on rendered people.

The parts and their sizes come from rendered clips with known angles (docs/technique.md has the table); real
people have not been measured.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from firstbounce.technique.landmarks import Landmarks
from firstbounce.technique.measures import INTERVAL, Measure, Name
from firstbounce.technique.refusals import (
    LEAST_FRAMES_S,
    MOST_DOWN_S,
    Reason,
    frame_rate,
    refusal,
)
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.swings import Moments, smoothed


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """Standard deviations of the parts of a measure's error.

    Judged on rendered people: `fixed` in the measure's unit, `share` of the value itself, `shake` times the
    frame-to-frame scatter of the hand angle [deg], `frame` times the time between frames [s].
    """

    fixed: float
    share: float = 0.0
    shake: float = 0.0
    frame: float = 0.0


NEVER_NEGATIVE: Final = (Name.HELD, Name.RECOIL, Name.HANDS_BACK, Name.HANDS_THROUGH)
#: from exact landmarks: what the definition alone leaves open
EXACT: Final = Trust(fixed=0.15, share=0.002, shake=0.6)
ON_RENDERED_PEOPLE: Final = {
    Name.ARC_BACK: Trust(fixed=0.6, share=0.0225, shake=0.2),
    Name.ARC_THROUGH: Trust(fixed=0.45, share=0.021, shake=0.2),
    Name.RATIO: Trust(fixed=0.042, shake=0.006),
    Name.TIME_BACK: Trust(fixed=0.029, shake=0.029, frame=0.38),
    Name.TIME_DOWN: Trust(fixed=0.010, shake=0.014, frame=0.38),
    Name.HELD: Trust(fixed=0.026, shake=0.024, frame=0.64),
    Name.RECOIL: Trust(fixed=0.45, share=0.03, shake=0.4),
    Name.TRIANGLE: Trust(fixed=1.32),
    Name.LEAD_ELBOW: Trust(fixed=3.9),
    Name.TRAIL_ELBOW: Trust(fixed=5.0),
    Name.SHOULDERS_ADDRESS: Trust(fixed=1.12),
    Name.SHOULDERS_TOP: Trust(fixed=1.4, share=0.07),
    Name.SHOULDERS_FINISH: Trust(fixed=1.1, share=0.058),
    Name.LEAD_ARM_ADDRESS: Trust(fixed=1.33),
    Name.LEAD_ARM_TOP: Trust(fixed=1.27),
    Name.LEAD_ARM_FINISH: Trust(fixed=1.65),
    Name.HANDS_BACK: Trust(fixed=0.015, share=0.05),
    Name.HANDS_THROUGH: Trust(fixed=0.015, share=0.05),
}


def measured(
    landmarks: Landmarks, swing: Moments, found: dict[Name, float], *, exact: bool = False
) -> dict[Name, Measure]:
    """Every measure of a swing with its interval or its refusal."""
    shake = hand_shake(landmarks, swing)
    rate = frame_rate(landmarks, swing)
    gap = 1 / rate if rate else 0.1
    out: dict[Name, Measure] = {
        name: _one(name, value, shake, gap, exact) for name, value in found.items() if name != Name.TEMPO
    }
    out[Name.TEMPO] = _tempo(found, out)
    for name in (Name.HANDS_BACK, Name.HANDS_THROUGH):
        if name not in found:
            out[name] = Measure(name=name).refused(refusal(Reason.NO_STICK).sentence)
    out[Name.HANDS_AHEAD] = Measure(name=Name.HANDS_AHEAD).refused(refusal(Reason.NO_SHAFT).sentence)
    return _with_refusals(out, swing, rate)


def hand_shake(landmarks: Landmarks, swing: Moments) -> float:
    """Frame-to-frame scatter of the hand angle about its smooth course, from address to finish [deg]."""
    angle = hand_angle(landmarks, swing.side)
    near = (landmarks.time >= swing.address) & (landmarks.time <= swing.leaves)
    rest = (angle - smoothed(landmarks.time, angle).value)[near]
    return float(1.3 * 1.4826 * np.median(np.abs(rest))) if len(rest) else 0.0


def standard_error(name: Name, value: float, shake: float, gap: float, exact: bool) -> float:
    """Standard deviation of one measure's error, in its own unit."""
    parts = EXACT if exact else ON_RENDERED_PEOPLE[name]
    if exact and name in (Name.TIME_BACK, Name.TIME_DOWN, Name.HELD):
        parts = Trust(fixed=0.012, shake=0.03, frame=0.5)
    if exact and name in (Name.HANDS_BACK, Name.HANDS_THROUGH):
        parts = Trust(fixed=0.002, share=0.03)
    if exact and name == Name.RATIO:
        parts = Trust(fixed=0.004, shake=0.02)
    squares = (parts.fixed, parts.share * value, parts.shake * shake, parts.frame * gap)
    return math.sqrt(sum(part**2 for part in squares))


def _one(name: Name, value: float, shake: float, gap: float, exact: bool) -> Measure:
    half = INTERVAL * standard_error(name, value, shake, gap, exact)
    low = max(0.0, value - half) if name in NEVER_NEGATIVE else value - half
    return Measure(name=name, value=value, low=low, high=value + half)


def half_width(measure: Measure) -> float:
    """Half of the 90 % interval above the value, 0 when it is refused."""
    return 0.0 if measure.high is None or measure.value is None else measure.high - measure.value


def _tempo(found: dict[Name, float], out: dict[Name, Measure]) -> Measure:
    """Back over down. The two times share the moment of the top, so their errors work against each other."""
    value = found[Name.TEMPO]
    times = (Name.TIME_BACK, Name.TIME_DOWN)
    half = value * sum(half_width(out[name]) / max(found[name], 1e-6) for name in times)
    return Measure(name=Name.TEMPO, value=value, low=max(0.0, value - half), high=value + half)


def _with_refusals(out: dict[Name, Measure], swing: Moments, rate: float) -> dict[Name, Measure]:
    timed = (Name.TEMPO, Name.TIME_BACK, Name.TIME_DOWN)
    why = ""
    if swing.strike - swing.top > MOST_DOWN_S:
        why = refusal(Reason.SLOW_MOTION).sentence
    elif rate < LEAST_FRAMES_S:
        why = refusal(Reason.FRAME_RATE, rate=rate).sentence
    elif not swing.address_seen:
        why = refusal(Reason.NEVER_STILL).sentence
    if why:
        out |= {name: out[name].refused(why) for name in timed}
    if swing.strike - swing.top > MOST_DOWN_S:
        out[Name.HELD] = out[Name.HELD].refused(refusal(Reason.SLOW_MOTION).sentence)
    if not swing.address_seen:
        sentence = refusal(Reason.NEVER_STILL).sentence
        for name in (
            Name.ARC_BACK,
            Name.ARC_THROUGH,
            Name.RATIO,
            Name.TRIANGLE,
            Name.LEAD_ELBOW,
            Name.TRAIL_ELBOW,
        ):
            out[name] = out[name].refused(sentence)
    if swing.held_to_end and out[Name.HELD].value is not None:
        held = out[Name.HELD]
        out[Name.HELD] = Measure(name=Name.HELD, value=held.value, low=held.low, high=None, at_least=True)
    return out
