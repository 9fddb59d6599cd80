"""Stills of the key frames: cut to the player, the face blurred, with the points to draw on them."""

from __future__ import annotations

import io
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.technique.landmarks import INDEX, Landmarks
from firstbounce.technique.reader import Frame
from firstbounce.technique.signals import Array
from firstbounce.technique.swings import Moments

STILL_HEIGHT: Final = 420  #: height of a still [px]
HEAD: Final = ("nose", "left_ear", "right_ear")

Window = tuple[int, int, int, int]  #: left, top, right, bottom of what a still shows [px of the picture]


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
    wanted = {name: nearest(landmarks, time) for name, time in times.items()}
    window = window_of(landmarks, list(wanted.values()))
    found = dict(stills(frames, landmarks, wanted.values(), window, blur_faces=blur_faces))
    return tuple(replace(found[index], caption=name) for name, index in wanted.items() if index in found)


def stills(
    frames: Iterable[Frame],
    landmarks: Landmarks,
    wanted: Collection[int],
    window: Window,
    *,
    blur_faces: bool = True,
) -> Iterator[tuple[int, Still]]:
    """A still of each frame that is wanted, by its number among the landmarks, one at a time."""
    for time, rgb in frames:
        index = nearest(landmarks, time)
        if index in wanted and abs(landmarks.time[index] - time) < 1e-4:
            shown = hidden_face(rgb, landmarks.xy[index]) if blur_faces else rgb
            yield index, _still(landmarks, index, shown, window)


def nearest(landmarks: Landmarks, time: float) -> int:
    """The frame that is nearest to a time."""
    return int(np.abs(landmarks.time - time).argmin())


def placed(landmarks: Landmarks, index: int, window: Window) -> dict[str, tuple[float, float]]:
    """Every point that is known in a frame, by name [px of the still]."""
    places = (landmarks.xy[index] - np.array(window[:2])) * scale_of(window)
    return {
        name: (float(places[k, 0]), float(places[k, 1]))
        for name, k in INDEX.items()
        if np.isfinite(places[k]).all()
    }


def scale_of(window: Window) -> float:
    """Pixels of a still for one of the picture."""
    return STILL_HEIGHT / (window[3] - window[1])


def hidden_face(rgb: NDArray[np.uint8], xy: Array) -> NDArray[np.uint8]:
    """The picture with the head blurred beyond recognition."""
    from PIL import Image, ImageDraw, ImageFilter

    head = xy[[INDEX[name] for name in HEAD]]
    shoulders = xy[[INDEX["left_shoulder"], INDEX["right_shoulder"]]]
    if not np.isfinite(head).any():
        return rgb
    middle = np.nanmean(head, axis=0)
    size = max(0.42 * float(np.hypot(*(shoulders[0] - shoulders[1]))), 12.0)
    radius = size / 2.2
    reach = 1.15 * size + 4 * radius  # beyond it nothing of the blur comes from or goes to
    left, top = (int(max(v, 0)) for v in middle - reach)
    right, bottom = (int(min(v, most)) for v, most in zip(middle + reach + 1, rgb.shape[1::-1], strict=True))
    if right <= left or bottom <= top:
        return rgb
    head_part = Image.fromarray(rgb[top:bottom, left:right])
    mask = Image.new("L", head_part.size, 0)
    around = middle - (left, top)
    ImageDraw.Draw(mask).ellipse((*(around - 1.15 * size), *(around + 1.15 * size)), fill=255)
    soft = head_part.filter(ImageFilter.GaussianBlur(radius))
    out = rgb.copy()
    out[top:bottom, left:right] = np.asarray(Image.composite(soft, head_part, mask))
    return out


def window_of(landmarks: Landmarks, indices: list[int]) -> Window:
    """The window that holds the player in every key frame."""
    xy = landmarks.xy[indices].reshape(-1, 2)
    low, high = np.nanmin(xy, axis=0), np.nanmax(xy, axis=0)
    tall = max(float(high[1] - low[1]), 20.0)
    left, top = np.maximum(low - np.array([0.18, 0.16]) * tall, 0)
    right, bottom = np.minimum(high + np.array([0.18, 0.06]) * tall, [landmarks.width, landmarks.height])
    return int(left), int(top), int(max(right, left + 10)), int(max(bottom, top + 10))


def _still(landmarks: Landmarks, index: int, rgb: NDArray[np.uint8], window: Window) -> Still:
    from PIL import Image

    left, top, right, bottom = window
    scale = scale_of(window)
    size = (max(10, round((right - left) * scale)), STILL_HEIGHT)
    cut = Image.fromarray(rgb[top:bottom, left:right]).resize(size, Image.Resampling.BILINEAR)
    kept = io.BytesIO()
    cut.save(kept, "JPEG", quality=82)

    def place(point: Array) -> tuple[float, float]:
        return float((point[0] - left) * scale), float((point[1] - top) * scale)

    xy = landmarks.xy[index]
    return Still(
        caption="",
        time=float(landmarks.time[index]),
        jpeg=kept.getvalue(),
        width=size[0],
        height=size[1],
        left_shoulder=place(xy[INDEX["left_shoulder"]]),
        right_shoulder=place(xy[INDEX["right_shoulder"]]),
        hands=place((xy[INDEX["left_wrist"]] + xy[INDEX["right_wrist"]]) / 2),
    )
