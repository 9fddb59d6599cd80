"""Stills of the key frames: cut to the player, the face blurred, with the points to draw on them."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.technique.landmarks import INDEX, Landmarks
from firstbounce.technique.reader import Frame
from firstbounce.technique.signals import Array
from firstbounce.technique.swings import Moments

STILL_HEIGHT: Final = 420  #: height of a still [px]
HEAD: Final = ("nose", "left_ear", "right_ear")


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """One key frame: a JPEG and the shoulders and hands in it [px of the still]."""

    caption: str
    time: float
    jpeg: bytes
    width: int
    height: int
    left_shoulder: tuple[float, float]
    right_shoulder: tuple[float, float]
    hands: tuple[float, float]


def key_times(swing: Moments) -> dict[str, float]:
    """Caption and time of each key frame of a swing [s]."""
    return {
        "address": swing.start,
        "top": swing.top,
        "strike": swing.strike,
        "finish": swing.finish,
        "hold ends": swing.leaves,
    }


def row_of_stills(
    frames: Iterable[Frame], landmarks: Landmarks, times: Mapping[str, float], *, blur_faces: bool = True
) -> tuple[Still, ...]:
    """A still for each key time, all cut to the same place; frames must come in order of time."""
    wanted = {name: int(np.abs(landmarks.time - time).argmin()) for name, time in times.items()}
    window = _window(landmarks, list(wanted.values()))
    found: dict[int, NDArray[np.uint8]] = {}
    for time, rgb in frames:
        index = int(np.abs(landmarks.time - time).argmin())
        if index in wanted.values() and abs(landmarks.time[index] - time) < 1e-4:
            found[index] = hidden_face(rgb, landmarks.xy[index]) if blur_faces else rgb
    return tuple(
        _still(name, landmarks, index, found[index], window)
        for name, index in wanted.items()
        if index in found
    )


def hidden_face(rgb: NDArray[np.uint8], xy: Array) -> NDArray[np.uint8]:
    """The picture with the head blurred beyond recognition."""
    from PIL import Image, ImageDraw, ImageFilter

    head = xy[[INDEX[name] for name in HEAD]]
    shoulders = xy[[INDEX["left_shoulder"], INDEX["right_shoulder"]]]
    if not np.isfinite(head).any():
        return rgb
    middle = np.nanmean(head, axis=0)
    size = max(0.42 * float(np.hypot(*(shoulders[0] - shoulders[1]))), 12.0)
    picture = Image.fromarray(rgb)
    mask = Image.new("L", picture.size, 0)
    ImageDraw.Draw(mask).ellipse((*(middle - 1.15 * size), *(middle + 1.15 * size)), fill=255)
    soft = picture.filter(ImageFilter.GaussianBlur(size / 2.2))
    return np.asarray(Image.composite(soft, picture, mask))


def _window(landmarks: Landmarks, indices: list[int]) -> tuple[int, int, int, int]:
    """Left, top, right, bottom that hold the player in every key frame [px]."""
    xy = landmarks.xy[indices].reshape(-1, 2)
    low, high = np.nanmin(xy, axis=0), np.nanmax(xy, axis=0)
    tall = max(float(high[1] - low[1]), 20.0)
    left, top = np.maximum(low - np.array([0.18, 0.16]) * tall, 0)
    right, bottom = np.minimum(high + np.array([0.18, 0.06]) * tall, [landmarks.width, landmarks.height])
    return int(left), int(top), int(max(right, left + 10)), int(max(bottom, top + 10))


def _still(
    name: str, landmarks: Landmarks, index: int, rgb: NDArray[np.uint8], window: tuple[int, int, int, int]
) -> Still:
    from PIL import Image

    left, top, right, bottom = window
    scale = STILL_HEIGHT / (bottom - top)
    size = (max(10, round((right - left) * scale)), STILL_HEIGHT)
    cut = Image.fromarray(rgb[top:bottom, left:right]).resize(size, Image.Resampling.BILINEAR)
    kept = io.BytesIO()
    cut.save(kept, "JPEG", quality=82)

    def place(point: Array) -> tuple[float, float]:
        return float((point[0] - left) * scale), float((point[1] - top) * scale)

    xy = landmarks.xy[index]
    return Still(
        caption=name,
        time=float(landmarks.time[index]),
        jpeg=kept.getvalue(),
        width=size[0],
        height=size[1],
        left_shoulder=place(xy[INDEX["left_shoulder"]]),
        right_shoulder=place(xy[INDEX["right_shoulder"]]),
        hands=place((xy[INDEX["left_wrist"]] + xy[INDEX["right_wrist"]]) / 2),
    )
