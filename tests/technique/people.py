"""A flat player made of straight lines: exact landmarks for a swing that is written down."""

import numpy as np
from render.swing import sequence

from firstbounce.technique.landmarks import INDEX, POINTS, Landmarks

HALF_SHOULDERS, ARM = 0.18, 0.30  # half a shoulder line, and each half of an arm [m]


def landmarks_of(time, xy, *, size=1000, seen=None, turned=0.0):
    """Landmarks with plainly seen points in a picture of `size` pixels."""
    return Landmarks(
        time=time,
        xy=xy,
        seen=np.ones(xy.shape[:2]) if seen is None else seen,
        turned=np.full(len(time), turned),
        width=size,
        height=size,
    )


def chain_of(swings, *, fps=60, left_handed=False, tail=0.4, scale=300.0):
    """A player whose triangle turns stiffly about mid-shoulder with level shoulders, 300 px a metre."""
    truths = sequence(tuple(swings))
    length = sum(s.marks["end"] for s in swings) + tail
    time = np.arange(int(length * fps)) / fps
    hand, bend = np.zeros_like(time), np.zeros_like(time)
    for truth in truths:
        now = time >= truth.begins
        hand[now] = truth.swing.hand_angle(time[now] - truth.begins)
        bend[now] = truth.swing.elbow_bend(time[now] - truth.begins)
    side = -1.0 if left_handed else 1.0
    angle, half = np.radians(side * hand), np.radians(bend) / 2
    places = {
        name: np.zeros((len(time), 2)) + place
        for name, place in {
            "nose": (0.0, -0.2),
            "left_ear": (0.07, -0.22),
            "right_ear": (-0.07, -0.22),
            "left_shoulder": (HALF_SHOULDERS, 0.0),
            "right_shoulder": (-HALF_SHOULDERS, 0.0),
            "left_hip": (0.12, 0.5),
            "right_hip": (-0.12, 0.5),
            "left_knee": (0.14, 0.85),
            "right_knee": (-0.14, 0.85),
            "left_ankle": (0.15, 1.2),
            "right_ankle": (-0.15, 1.2),
            "left_foot": (0.17, 1.25),
            "right_foot": (-0.17, 1.25),
        }.items()
    }
    reach = 0.55 * np.cos(half) / np.cos(np.radians(swings[0].elbow) / 2)
    hands = reach[:, None] * np.column_stack([np.sin(angle), np.cos(angle)])
    for name, out in (("left", 1.0), ("right", -1.0)):
        shoulder = places[f"{name}_shoulder"]
        along = hands - shoulder
        across = out * np.column_stack([along[:, 1], -along[:, 0]])
        places[f"{name}_elbow"] = shoulder + along / 2 + across * (np.tan(half) / 2)[:, None]
        places[f"{name}_wrist"] = hands
    xy = np.zeros((len(time), len(POINTS), 2))
    for name, place in places.items():
        xy[:, INDEX[name]] = 500 + scale * (place - np.array([0.0, 0.4]))
    return landmarks_of(time, xy)
