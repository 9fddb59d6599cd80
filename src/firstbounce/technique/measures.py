"""Measures of one swing from landmarks: pure arithmetic on arrays.

Angles in the picture [deg], times [s]. How far each can be trusted is in `trust.py`; whether a clip may be
measured at all is in `refusals.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from firstbounce.technique.landmarks import Landmarks
from firstbounce.technique.signals import (
    Array,
    angle_at_hands,
    arm_line,
    elbow_bend,
    fitted,
    hand_angle,
    middle,
    shoulder_line,
)
from firstbounce.technique.swings import (
    NO_SHAKE_DEG,
    STILL_DEG_S,
    Moments,
    movements,
    scatter,
    smoothed,
)

RECOIL_WIDTH_S: Final = 0.25  #: width of the parabola that smooths the finish [s]
LEAVING_S: Final = 0.10  #: hands that leave the finish are slower than the threshold for about this long [s]
SHORT_LOOK_S: Final = 0.15  #: an angle at a still moment is the median over this long [s]


INTERVAL: Final = 1.645  #: half width of a 90 % interval over its standard deviation, normal


class Name(StrEnum):
    """What is measured. The words are those that people read."""

    ARC_BACK = "arc back"
    ARC_THROUGH = "arc through"
    RATIO = "through over back"
    TIME_BACK = "time back"
    TIME_DOWN = "time down"
    TEMPO = "tempo"
    HELD = "finish held"
    RECOIL = "recoil"
    TRIANGLE = "triangle change"
    LEAD_ELBOW = "lead elbow change"
    TRAIL_ELBOW = "trail elbow change"
    SHOULDERS_ADDRESS = "shoulder line at address"
    SHOULDERS_TOP = "shoulder line at the top"
    SHOULDERS_FINISH = "shoulder line at the finish"
    LEAD_ARM_ADDRESS = "lead arm line at address"
    LEAD_ARM_TOP = "lead arm line at the top"
    LEAD_ARM_FINISH = "lead arm line at the finish"
    HANDS_BACK = "hands travel back"
    HANDS_THROUGH = "hands travel through"
    HANDS_AHEAD = "hands ahead at strike"


UNITS: Final = {
    Name.RATIO: "",
    Name.TEMPO: "",
    Name.TIME_BACK: "s",
    Name.TIME_DOWN: "s",
    Name.HELD: "s",
    Name.HANDS_BACK: "m",
    Name.HANDS_THROUGH: "m",
}  #: every other measure is in degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One number of one swing, with a 90 % interval, or the reason why it is not given.

    value, low, high: None when refused. at_least: the clip ended first, the true value is this or more.
    """

    name: Name
    value: float | None = None
    low: float | None = None
    high: float | None = None
    at_least: bool = False
    refusal: str = ""

    @property
    def unit(self) -> str:
        """Unit of value, low and high."""
        return UNITS.get(self.name, "deg")

    @property
    def deviation(self) -> float:
        """Standard deviation of the error, from the wider side of the interval; 0 when refused.

        The lower side of a measure that is never negative may be cut off at 0.
        """
        if self.value is None or self.low is None:
            return 0.0
        high = self.value if self.high is None else self.high
        return max(high - self.value, self.value - self.low) / INTERVAL

    def refused(self, why: str) -> Measure:
        """The same measure without a value."""
        return replace(self, value=None, low=None, high=None, at_least=False, refusal=why)


def values(
    landmarks: Landmarks,
    swing: Moments,
    *,
    still_deg_s: float = STILL_DEG_S,
    metres_per_px: float | None = None,
) -> dict[Name, float]:
    """Every measure of one swing that the landmarks give, without judging whether it may be trusted.

    metres_per_px: from a stick of known length; without it nothing is given in metres.
    """
    side, time = swing.side, landmarks.time
    back, through = swing.address_deg - swing.top_deg, swing.finish_deg - swing.address_deg
    out = {
        Name.ARC_BACK: back,
        Name.ARC_THROUGH: through,
        Name.RATIO: through / back,
        Name.TIME_BACK: swing.top - swing.start,
        Name.TIME_DOWN: swing.strike - swing.top,
        Name.TEMPO: (swing.top - swing.start) / max(swing.strike - swing.top, 1e-6),
        Name.HELD: held_seconds(time, hand_angle(landmarks, side), swing, still_deg_s),
        Name.RECOIL: recoil_degrees(time, hand_angle(landmarks, side), swing),
    }
    address, finish = address_frames(time, swing), finish_frames(time, swing)
    top = near(time, swing.top, 0.05)
    for name, angle in (
        (Name.TRIANGLE, angle_at_hands(landmarks)),
        (Name.LEAD_ELBOW, elbow_bend(landmarks, True, side)),
        (Name.TRAIL_ELBOW, elbow_bend(landmarks, False, side)),
    ):
        out[name] = float(np.median(angle[finish]) - np.median(angle[address]))
    shoulders, arm = shoulder_line(landmarks, side), arm_line(landmarks, True, side)
    for name, angle, frames in (
        (Name.SHOULDERS_ADDRESS, shoulders, address),
        (Name.SHOULDERS_TOP, shoulders, top),
        (Name.SHOULDERS_FINISH, shoulders, finish),
        (Name.LEAD_ARM_ADDRESS, arm, address),
        (Name.LEAD_ARM_TOP, arm, top),
        (Name.LEAD_ARM_FINISH, arm, finish),
    ):
        out[name] = float(np.median(angle[frames]))
    if metres_per_px is not None:
        out |= _travel(landmarks, address, top, finish, metres_per_px)
    return out


def _travel(
    landmarks: Landmarks, address: np.ndarray, top: np.ndarray, finish: np.ndarray, metres_per_px: float
) -> dict[Name, float]:
    """Straight distances of mid-wrist from address to top and from address to finish, in the picture [m]."""
    hands = middle(landmarks, "wrist")
    begin, turn, end = (np.median(hands[frames], axis=0) for frames in (address, top, finish))
    return {
        Name.HANDS_BACK: metres_per_px * float(np.hypot(*(turn - begin))),
        Name.HANDS_THROUGH: metres_per_px * float(np.hypot(*(end - begin))),
    }


def held_seconds(time: Array, angle: Array, swing: Moments, still_deg_s: float = STILL_DEG_S) -> float:
    """Seconds with the hands slower than the threshold, from the finish until they leave [s]."""
    moved = sum(
        max(0.0, min(m.end, swing.leaves) - max(m.start, swing.finish))
        for m in movements(time, smoothed(time, angle), still_deg_s)
    )
    return max(0.0, swing.leaves - swing.finish - moved)


def recoil_degrees(time: Array, angle: Array, swing: Moments) -> float:
    """Furthest that the hands move back between the end of the follow-through and leaving the finish [deg].

    The last LEAVING_S are left out of a hold that is long enough: there the hands already begin to leave.
    """
    last = swing.leaves - LEAVING_S if swing.leaves - swing.finish > 3 * LEAVING_S else swing.leaves
    within = (time >= swing.finish) & (time <= last)
    if within.sum() < 4:
        return 0.0
    width = RECOIL_WIDTH_S if scatter(time, angle) >= NO_SHAKE_DEG else 2.2 * float(np.median(np.diff(time)))
    value = fitted(time[within], angle[within], width).value
    return float((np.maximum.accumulate(value) - value).max())


def address_frames(time: Array, swing: Moments) -> np.ndarray:
    """Frames of the last still moment before the swing."""
    return _some(time, max(swing.address, swing.start - SHORT_LOOK_S), swing.start)


def finish_frames(time: Array, swing: Moments) -> np.ndarray:
    """Frames of the first moment of the finish."""
    return _some(time, swing.finish, min(swing.leaves, swing.finish + SHORT_LOOK_S))


def near(time: Array, moment: float, reach: float) -> np.ndarray:
    """Frames within `reach` [s] of a moment, at least one."""
    return _some(time, moment - reach, moment + reach)


def _some(time: Array, first: float, last: float) -> np.ndarray:
    inside = np.flatnonzero((time >= first) & (time <= last))
    return inside if len(inside) else np.array([int(np.abs(time - (first + last) / 2).argmin())])
