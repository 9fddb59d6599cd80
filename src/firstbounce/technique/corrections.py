"""A coach's own choice of moments and places instead of those that were found.

{"moments": [{"swing": 1, "top_s": 1.52}],
 "points": [{"time_s": 1.52, "left_elbow": [310, 420]}],
 "stick": {"length_m": 1.0, "ends": [[120, 900], [420, 905]]}}
Moments: start_s, top_s, strike_s, finish_s, leaves_s. A moved point moves with it every frame within 0.15 s.
The stick lies square to the camera, as far from it as the hands; its ends are places in the picture [px].
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Final

import numpy as np

from firstbounce.errors import FileFault, FileFaults
from firstbounce.technique.landmarks import INDEX, Landmarks
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.swings import Moments, smoothed

MOMENTS: Final = ("start_s", "top_s", "strike_s", "finish_s", "leaves_s")
REACH_S: Final = 0.15  #: a moved point moves the frames this near with it [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrections:
    """Moments by swing number (from 1), places of points by time, size of a pixel at the hands [m]."""

    moments: tuple[tuple[int, str, float], ...] = ()
    points: tuple[tuple[float, str, float, float], ...] = ()
    metres_per_px: float | None = None


def read_corrections(text: str, path: str) -> Corrections:
    """Corrections from JSON; raises FileFaults that name the entry."""
    try:
        tree = json.loads(text)
        moments = tuple(
            (int(entry["swing"]), key, float(value))
            for entry in tree.get("moments", [])
            for key, value in entry.items()
            if key != "swing"
        )
        points = tuple(
            (float(entry["time_s"]), key, *_pair(value))
            for entry in tree.get("points", [])
            for key, value in entry.items()
            if key != "time_s"
        )
        metres_per_px = _stick(tree["stick"]) if "stick" in tree else None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as broken:
        problem = 'corrections look like {"moments": [{"swing": 1, "top_s": 1.52}], "points": [...]}'
        raise FileFaults(path, [FileFault(line=None, column=None, problem=problem)]) from broken
    faults = [
        FileFault(line=None, column=f"moments.{key}", problem=f"a moment is one of {', '.join(MOMENTS)}")
        for _, key, _ in moments
        if key not in MOMENTS
    ]
    faults += [
        FileFault(line=None, column=f"points.{key}", problem="there is no point of this name")
        for _, key, _, _ in points
        if key not in INDEX
    ]
    if metres_per_px is not None and not 1e-5 < metres_per_px < 0.1:
        problem = "a stick needs a length in metres and two ends that lie apart in the picture"
        faults.append(FileFault(line=None, column="stick", problem=problem))
    if faults:
        raise FileFaults(path, faults)
    return Corrections(moments=moments, points=points, metres_per_px=metres_per_px)


def _stick(entry: Any) -> float:
    """Metres a pixel; 0 when its ends are one place."""
    (x0, y0), (x1, y1) = (_pair(end) for end in entry["ends"])
    pixels = float(np.hypot(x1 - x0, y1 - y0))
    return float(entry["length_m"]) / pixels if pixels else 0.0


def moved_points(landmarks: Landmarks, corrections: Corrections) -> Landmarks:
    """Landmarks with the coach's places; the shift of a point is shared by the frames within REACH_S."""
    xy, seen = landmarks.xy.copy(), landmarks.seen.copy()
    for time, name, x, y in corrections.points:
        nearest = int(np.abs(landmarks.time - time).argmin())
        near = np.abs(landmarks.time - landmarks.time[nearest]) <= REACH_S
        xy[near, INDEX[name]] += np.array([x, y]) - landmarks.xy[nearest, INDEX[name]]
        seen[near, INDEX[name]] = 1.0
    return Landmarks(
        time=landmarks.time,
        xy=xy,
        seen=seen,
        turned=landmarks.turned,
        width=landmarks.width,
        height=landmarks.height,
    )


def moved_moments(landmarks: Landmarks, swings: Sequence[Moments], corrections: Corrections) -> list[Moments]:
    """Swings with the coach's moments; the hand angles are read off again at those."""
    out = list(swings)
    for number, key, time in corrections.moments:
        if not 1 <= number <= len(out):
            problem = f"there is no swing {number}; {len(out)} found"
            raise FileFaults("corrections", [FileFault(line=None, column="moments.swing", problem=problem)])
        out[number - 1] = replace(out[number - 1], **_moment(key, time))
        _refuse_disorder(out[number - 1], number)
    touched = {number - 1 for number, _, _ in corrections.moments}
    return [_read_again(landmarks, swing) if i in touched else swing for i, swing in enumerate(out)]


def _refuse_disorder(swing: Moments, number: int) -> None:
    order = (swing.start, swing.top, swing.strike, swing.finish, swing.leaves)
    if any(b < a for a, b in pairwise(order)):
        problem = f"the moments of swing {number} must come in the order {', '.join(MOMENTS)}"
        raise FileFaults("corrections", [FileFault(line=None, column="moments", problem=problem)])


def _read_again(landmarks: Landmarks, swing: Moments) -> Moments:
    value = smoothed(landmarks.time, hand_angle(landmarks, swing.side)).value
    at = np.interp([swing.start, swing.top, swing.finish], landmarks.time, value)
    address, top, finish = (float(v) for v in at)
    return replace(swing, address_deg=address, top_deg=top, finish_deg=finish)


def _moment(key: str, time: float) -> dict[str, Any]:
    return {key.removesuffix("_s"): time}


def _pair(value: Any) -> tuple[float, float]:
    x, y = value
    return float(x), float(y)
