"""Frames in which the model was fooled for a moment: bridged from those around them and marked as unseen."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from firstbounce.technique.landmarks import INDEX, Landmarks
from firstbounce.technique.signals import Array

AROUND: Final = 7  #: a point is compared with the median of this many frames
MOST_ODD: Final = 0.25  #: share of the frames
#: a point this far from that median is odd, in lengths of the shoulder line
MOST_AWAY: Final = {"left_shoulder": 0.25, "right_shoulder": 0.25, "left_wrist": 0.4, "right_wrist": 0.4}


def bridged(landmarks: Landmarks) -> Landmarks:
    """The landmarks with odd frames replaced by a straight line in time; `seen` is 0 there.

    A clip with many is refused as uncertain, and one with a few is not spoilt. With more than MOST_ODD
    there is no course to bridge along, and nothing is changed.
    """
    odd = odd_frames(landmarks)
    if not odd.any() or odd.mean() > MOST_ODD:
        return landmarks
    count = len(landmarks)
    flat = landmarks.xy.reshape(count, -1).copy()
    for column in flat.T:
        column[odd] = np.interp(landmarks.time[odd], landmarks.time[~odd], column[~odd])
    seen = landmarks.seen.copy()
    seen[odd] = 0.0
    turned = landmarks.turned.copy()
    turned[odd] = np.interp(landmarks.time[odd], landmarks.time[~odd], landmarks.turned[~odd])
    return replace(landmarks, xy=flat.reshape(landmarks.xy.shape), seen=seen, turned=turned)


def odd_frames(landmarks: Landmarks) -> NDArray[np.bool_]:
    """Where shoulders or wrists are far from where they are just before and after (n,)."""
    if len(landmarks) < AROUND:
        return np.zeros(len(landmarks), bool)
    line = landmarks.point("left_shoulder") - landmarks.point("right_shoulder")
    length = max(float(np.median(np.hypot(*line.T))), 1e-6)
    odd = np.zeros(len(landmarks), bool)
    for name, most in MOST_AWAY.items():
        odd |= _away(landmarks.xy[:, INDEX[name]]) > most * length
    return odd


def _away(place: Array) -> Array:
    """Distance of each place (n, 2) from the running median [px]."""
    smooth = median_filter(place, size=(AROUND, 1), mode="nearest")
    return np.asarray(np.hypot(*(place - smooth).T))
