"""A frame with the triangle, the plumb line, the arc of the hands and a few words drawn on it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.pictures import theme
from firstbounce.technique.landmarks import INDEX, Landmarks
from firstbounce.technique.signals import Array
from firstbounce.technique.stills import hidden_face
from firstbounce.technique.swings import Moments

WIDE: Final = 160  #: a line is this share of the picture's longer side wide


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What is drawn on one frame: places of all points (points, 2) [px] and the words."""

    xy: Array
    words: str


def places_at(landmarks: Landmarks, time: float) -> Array:
    """Places of all points at a time, by straight lines between frames (points, 2) [px]."""
    after = int(np.clip(np.searchsorted(landmarks.time, time), 1, max(len(landmarks) - 1, 1)))
    if len(landmarks) == 1:
        return np.asarray(landmarks.xy[0])
    before = after - 1
    gap = landmarks.time[after] - landmarks.time[before]
    share = float(np.clip((time - landmarks.time[before]) / gap, 0, 1))
    return np.asarray((1 - share) * landmarks.xy[before] + share * landmarks.xy[after])


def words_at(swings: list[Moments], time: float) -> str:
    """Which part of a swing it is; nothing between swings."""
    for swing in swings:
        if swing.start - 0.5 <= time <= swing.leaves + 0.3:
            return _part(swing, time)
    return ""


def _part(swing: Moments, time: float) -> str:
    if time < swing.start:
        return "address"
    if time < swing.top:
        return "back"
    if time < swing.strike:
        return "down"
    if time < swing.finish:
        return "through"
    if time <= swing.leaves:
        return f"held {time - swing.finish:.1f} s"
    return f"held {swing.leaves - swing.finish:.1f} s in all"


def annotated(rgb: NDArray[np.uint8], note: Note, *, blur_faces: bool = True) -> NDArray[np.uint8]:
    """The frame with the triangle of shoulders and hands, a plumb line, the arc between them, the words."""
    from PIL import Image, ImageDraw

    picture = Image.fromarray(hidden_face(rgb, note.xy) if blur_faces else rgb)
    draw = ImageDraw.Draw(picture)
    wide = max(2, round(max(picture.size) / WIDE / 2))
    left, right = note.xy[INDEX["left_shoulder"]], note.xy[INDEX["right_shoulder"]]
    hands = (note.xy[INDEX["left_wrist"]] + note.xy[INDEX["right_wrist"]]) / 2
    if np.isfinite([left, right, hands]).all():
        _angle(draw, (left + right) / 2, hands, wide)
        corners = [tuple(p) for p in (left, right, hands, left)]
        draw.line(corners, fill=theme.PAPER, width=wide + 2, joint="curve")
        draw.line(corners, fill=theme.ACCENT, width=wide, joint="curve")
    if note.words:
        _words(draw, picture.size, note.words)
    return np.asarray(picture)


def _angle(draw: Any, middle: Array, hands: Array, wide: int) -> None:
    """A dashed plumb line from mid-shoulder and the arc from it to the hands."""
    reach = float(np.hypot(*(hands - middle)))
    turn = math.atan2(*(hands - middle))
    for first in np.arange(0.0, 1.1, 0.1):
        ends = [(middle[0], middle[1] + reach * share) for share in (first, first + 0.05)]
        draw.line(ends, fill=theme.PAPER, width=wide)
    bends = np.linspace(0, turn, 24)
    arc = middle + reach * np.column_stack([np.sin(bends), np.cos(bends)])
    draw.line([tuple(p) for p in arc], fill=theme.PAPER, width=wide, joint="curve")


def _words(draw: Any, size: tuple[int, int], words: str) -> None:
    """Words on a strip of paper at the lower left."""
    from PIL import ImageFont

    high = max(14, round(max(size) / 40))
    font = ImageFont.load_default(high)
    edge = high // 2
    box = draw.textbbox((2 * edge, size[1] - 2 * edge - high), words, font=font)
    strip = (box[0] - edge, box[1] - edge // 2, box[2] + edge, box[3] + edge // 2)
    draw.rectangle(strip, fill=theme.PAPER, outline=theme.INK)
    draw.text((2 * edge, size[1] - 2 * edge - high), words, fill=theme.INK, font=font)
