"""Landmarks moved from where the model puts them to the joints they stand for.

The model marks what it sees of a shoulder: one that is turned down under its sleeve is marked too high, by up
to a quarter of the shoulder line. A steep shoulder line is then read a third too level, and the backswing two
degrees too short. `TABLE` is a least-squares curve from where all points of the upper body lie to how far
shoulder, elbow and wrist are off. It was fitted on rendered bodies with known joints and judged on others
(docs/technique.md; `python -m render.calibrate` in tests/technique makes it). Real bodies were not measured.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.technique.calibration_table import TABLE
from firstbounce.technique.landmarks import INDEX, NEEDED, Landmarks
from firstbounce.technique.signals import Array, arm_length, middle

MOST_SHIFT: Final = 0.15  #: no point is moved further than this, in lengths of the arm
#: what a correction of the left arm looks at: x and y of each from mid-shoulder, in lengths of the arm
LOOKED_AT: Final = (
    "nose",
    "left_ear",
    "right_ear",
    "left_shoulder",
    "left_elbow",
    "right_elbow",
    "left_wrist",
    "right_wrist",
    "left_hip",
    "right_hip",
)
SQUARED: Final = slice(6, 16)  #: of those twenty numbers, shoulder, elbows and wrists also enter multiplied
MOVED: Final = ("shoulder", "elbow", "wrist")


def calibrated(landmarks: Landmarks) -> Landmarks:
    """Landmarks of the model with shoulders, elbows and wrists moved to the joints.

    Frames in which a point that is looked at is not known, or in which an arm lies outside the picture, are
    left as they are: there the model guesses.
    """
    if not len(landmarks):
        return landmarks
    within = _within(landmarks)
    xy = landmarks.xy.copy()
    scale = (arm_length(landmarks, "left") + arm_length(landmarks, "right")) / 2
    for name, outward in (("left", 1.0), ("right", -1.0)):
        flip = np.array([outward, 1.0])
        shift = scale[:, None, None] * flip * shifts(looked_at(landmarks, name))
        for k, joint in enumerate(MOVED):
            known = within & np.isfinite(shift[:, k]).all(-1)
            xy[known, INDEX[f"{name}_{joint}"]] += shift[known, k]
    return replace(landmarks, xy=xy)


def _within(landmarks: Landmarks) -> NDArray[np.bool_]:
    """Frames with both arms inside the picture (n,)."""
    arms = landmarks.xy[:, [INDEX[name] for name in NEEDED]]
    inside = (arms >= 0) & (arms <= [landmarks.width, landmarks.height])
    return np.asarray(inside.all(axis=(1, 2)))


def looked_at(landmarks: Landmarks, name: str) -> Array:
    """The twenty numbers (n, 20) for the arm of this name; a right arm is seen in a mirror."""
    origin = middle(landmarks, "shoulder")
    scale = (arm_length(landmarks, "left") + arm_length(landmarks, "right")) / 2
    mirror = {"left": "right", "right": "left"} if name == "right" else {}
    flip = np.array([-1.0 if mirror else 1.0, 1.0])
    columns = []
    for point in LOOKED_AT:
        side, _, joint = point.partition("_")
        seen = f"{mirror.get(side, side)}_{joint}" if joint else point
        columns.append(flip * (landmarks.point(seen) - origin) / np.maximum(scale, 1e-9)[:, None])
    return np.concatenate(columns, axis=1)


def shifts(seen: Array) -> Array:
    """From the twenty numbers (n, 20), how far shoulder, elbow and wrist are off (n, 3, 2) [arm lengths]."""
    shift = (terms(seen) @ TABLE).reshape(-1, len(MOVED), 2)
    size = np.hypot(shift[..., 0], shift[..., 1])[..., None]
    return shift * np.minimum(1.0, MOST_SHIFT / np.maximum(size, 1e-12))


def terms(seen: Array) -> Array:
    """1, the twenty numbers, and the products of those of the arms: (n, 76)."""
    arms = seen[:, SQUARED]
    first, second = np.triu_indices(arms.shape[1])
    return np.concatenate([np.ones((len(seen), 1)), seen, arms[:, first] * arms[:, second]], axis=1)
