"""Angles over time from landmarks, and their local fits. Degrees; picture x to the right, y down.

Angles are taken in the picture. Towards the target is positive: picture right for a right-handed player
who is
filmed face-on, picture left for a left-handed one (`side` = +1 or -1).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.technique.landmarks import Landmarks

Array = NDArray[np.float64]


class Fitted(NamedTuple):
    """A signal and its rate of change [1/s], each from a parabola through the samples near each time."""

    value: Array
    rate: Array


def middle(landmarks: Landmarks, name: str) -> Array:
    """Half-way between the left and the right point of this name (n, 2) [px]."""
    return (landmarks.point(f"left_{name}") + landmarks.point(f"right_{name}")) / 2


def from_down(start: Array, end: Array) -> Array:
    """Angle of the line start to end from straight down [deg], positive to picture right."""
    across, down = (end - start).T
    return np.degrees(np.arctan2(across, down))


def hand_angle(landmarks: Landmarks, side: int = 1) -> Array:
    """Angle of mid-shoulder to mid-wrist from straight down (n,) [deg], towards the target positive."""
    return side * np.degrees(
        np.unwrap(np.radians(from_down(middle(landmarks, "shoulder"), middle(landmarks, "wrist"))))
    )


def shoulder_line(landmarks: Landmarks, side: int = 1) -> Array:
    """Tilt of the shoulder line from level (n,) [deg], lead shoulder higher positive."""
    left, right = landmarks.point("left_shoulder"), landmarks.point("right_shoulder")
    across, down = (left - right).T
    return side * np.degrees(np.arctan2(-down, across))


def arm_line(landmarks: Landmarks, lead: bool, side: int = 1) -> Array:
    """Angle of shoulder to wrist from straight down (n,) [deg], towards the target positive."""
    name = arm_side(lead, side)
    return side * from_down(landmarks.point(f"{name}_shoulder"), landmarks.point(f"{name}_wrist"))


def elbow_bend(landmarks: Landmarks, lead: bool, side: int = 1) -> Array:
    """Bend of an elbow as seen in the picture (n,) [deg]: 0 straight.

    Positive when the elbow points outwards.
    """
    name = arm_side(lead, side)
    shoulder, elbow, wrist = (landmarks.point(f"{name}_{joint}") for joint in ("shoulder", "elbow", "wrist"))
    bend = (from_down(shoulder, elbow) - from_down(elbow, wrist) + 180) % 360 - 180
    return bend if name == "left" else -bend


def angle_at_hands(landmarks: Landmarks) -> Array:
    """Angle at the hands between the lines to the two shoulders (n,) [deg]."""
    hands = middle(landmarks, "wrist")
    left = from_down(hands, landmarks.point("left_shoulder"))
    right = from_down(hands, landmarks.point("right_shoulder"))
    return np.abs((right - left + 180) % 360 - 180)


def arm_side(lead: bool, side: int) -> str:
    """The lead arm is the left one of a right-handed player."""
    return "left" if lead == (side > 0) else "right"


def arm_length(landmarks: Landmarks, name: str) -> Array:
    """Upper arm plus forearm in the picture (n,) [px]."""
    shoulder, elbow, wrist = (landmarks.point(f"{name}_{joint}") for joint in ("shoulder", "elbow", "wrist"))
    return np.hypot(*(elbow - shoulder).T) + np.hypot(*(wrist - elbow).T)


def fitted(time: Array, signal: Array, width: float, at: Array | None = None) -> Fitted:
    """Parabola through the samples within half a width [s] of each time, least squares.

    Three samples are always used, so that sparse frames give what they can.
    """
    at = time if at is None else at
    centre = np.clip(np.searchsorted(time, at), 0, len(time) - 1)
    reach = _reach(time, width)
    index = centre[:, None] + np.arange(-reach, reach + 1)
    inside = (index >= 0) & (index < len(time))
    index = np.clip(index, 0, len(time) - 1)
    away = time[index] - at[:, None]
    nearest = np.sort(np.where(inside, np.abs(away), np.inf), axis=1)[:, min(2, 2 * reach)]
    weight = (inside & (np.abs(away) <= np.maximum(width / 2, nearest)[:, None] + 1e-9)).astype(float)
    scale = max(width, 1e-3)
    powers = np.stack([np.ones_like(away), away / scale, (away / scale) ** 2], axis=-1)
    normal = np.einsum("nk,nki,nkj->nij", weight, powers, powers) + 1e-9 * np.eye(3)
    right = np.einsum("nk,nki,nk->ni", weight, powers, signal[index])
    solved = np.linalg.solve(normal, right[..., None])[..., 0]
    return Fitted(solved[:, 0], solved[:, 1] / scale)


def _reach(time: Array, width: float) -> int:
    """Samples to look at on each side so that none within half a width is missed."""
    if len(time) < 2:
        return 1
    gaps = np.diff(time)
    most = np.searchsorted(time, time + width / 2) - np.arange(len(time))
    return int(max(2, most.max() + 1, np.ceil(width / 2 / gaps.max())))


def spells(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(int)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]
