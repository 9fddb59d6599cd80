"""A clip's landmarks to everything that is said of it: swings, measures, verdicts and refusals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from firstbounce.technique.landmarks import Landmarks
from firstbounce.technique.marks import Judged, PassMarks, judge_swing
from firstbounce.technique.measures import Measure, Name, values
from firstbounce.technique.refusals import (
    Refusal,
    picture_refusals,
    still_refusals,
    swing_refusals,
)
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.swings import Moments, find_swings
from firstbounce.technique.tracking import Look
from firstbounce.technique.trust import measured


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedSwing:
    """One swing: its moments, and measures with verdicts, or the refusals that stand in their place."""

    moments: Moments
    measures: Mapping[Name, Measure]
    judged: tuple[Judged, ...]
    refusals: tuple[Refusal, ...] = ()

    @property
    def left_handed(self) -> bool:
        """True when the swing goes to picture left."""
        return self.moments.side < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What was seen in a clip. `refusals` are those of the whole clip; then there are no swings."""

    swings: tuple[WatchedSwing, ...]
    refusals: tuple[Refusal, ...]
    marks: PassMarks

    @property
    def all_refusals(self) -> tuple[Refusal, ...]:
        """Those of the clip and of its swings, each reason once."""
        every = [*self.refusals, *(r for swing in self.swings for r in swing.refusals)]
        return tuple({r.reason: r for r in reversed(every)}.values())[::-1]


def watch_landmarks(
    landmarks: Landmarks,
    *,
    looks: Sequence[Look] = (),
    frames: int | None = None,
    marks: PassMarks = PassMarks(),  # noqa: B008 frozen
    exact: bool = False,
    moments: Sequence[Moments] | None = None,
    metres_per_px: float | None = None,
) -> Watched:
    """Everything that can be said of these landmarks.

    looks: what was seen of the pictures; none for landmarks from a file. frames: how many pictures there
    were.
    exact: True for landmarks from elsewhere, whose own error is not known. moments: a coach's own choice of
    moments instead of those found. metres_per_px: from a stick of known length in the picture, at the hands.
    """
    count = frames if frames is not None else len(landmarks)
    bad = picture_refusals(landmarks, looks, count)
    if bad:
        return Watched(swings=(), refusals=tuple(bad), marks=marks)
    found = list(moments) if moments is not None else find_swings(landmarks.time, hand_angle(landmarks))
    if not found:
        return Watched(swings=(), refusals=tuple(still_refusals(landmarks, looks)), marks=marks)
    swings = tuple(_watched(landmarks, looks, swing, marks, exact, metres_per_px) for swing in found)
    return Watched(swings=swings, refusals=(), marks=marks)


def _watched(
    landmarks: Landmarks,
    looks: Sequence[Look],
    swing: Moments,
    marks: PassMarks,
    exact: bool,
    metres_per_px: float | None,
) -> WatchedSwing:
    refusals = tuple(swing_refusals(landmarks, looks, swing))
    if refusals:
        return WatchedSwing(moments=swing, measures={}, judged=(), refusals=refusals)
    found = values(landmarks, swing, metres_per_px=metres_per_px)
    measures = measured(landmarks, swing, found, exact=exact)
    return WatchedSwing(moments=swing, measures=measures, judged=tuple(judge_swing(measures, marks)))
