"""The words of a green from above: legend, notes and the text alternative, composed from its numbers."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, as_points
from firstbounce.pictures.canvas import Canvas
from firstbounce.pictures.green_data import GreenPicture, Point
from firstbounce.pictures.heights import swatch
from firstbounce.pictures.legend import SWATCH, Entry, line_sample, ring_sample, texture_sample
from firstbounce.pictures.marks import DotShape, dots_svg
from firstbounce.pictures.text import count, number
from firstbounce.pictures.textures import TEXTURE_OF, Texture


def legend_entries(
    picture: GreenPicture, step_m: float, shown: tuple[int, int], sizes: tuple[int, int]
) -> list[Entry]:
    """Legend entries of what is in the picture; `shown` and `sizes` count landings and finishes."""
    entries: list[Entry] = []
    if picture.circle:
        words = f"{picture.circle.words}, radius {picture.measure.length(picture.circle.radius_m)}"
        entries.append(Entry(ring_sample(theme.CIRCLE, wash=theme.WASH), words))
    if picture.spread:
        entries.append(Entry(ring_sample(theme.SPREAD, flat=0.6), picture.spread.words))
    if picture.path:
        entries.append(Entry(line_sample(theme.FLIGHT), "mean ball, in the air"))
        entries.append(Entry(line_sample(theme.RUN), "mean ball, on the ground"))
    if shown[0]:
        entries.append(Entry(_dot_sample("cross", theme.ACCENT, 9), f"landed{_of(shown[0], sizes[0])}"))
    if shown[1]:
        entries.append(Entry(_dot_sample("dot", theme.INK, 7), f"finished{_of(shown[1], sizes[1])}"))
    n_holed = holed_count(picture)
    if n_holed:
        entries.append(Entry(_dot_sample("ring", theme.INK, 12), f"holed: {n_holed:,} of {sizes[1]:,}"))
    entries += _texture_entries(picture)
    entries += picture.entries
    if step_m > 0:
        entries.append(Entry(lambda c, x, y: c.add(swatch(x, y - 3, SWATCH)), _height_words(picture, step_m)))
    return entries


def _dot_sample(shape: DotShape, colour: str, size: float) -> Callable[[Canvas, float, float], None]:
    def draw(canvas: Canvas, left: float, middle: float) -> None:
        places = np.array([[left + SWATCH * k, middle + d] for k, d in ((0.2, 3), (0.5, -4), (0.8, 4))])
        if shape == "ring":
            places = np.array([[left + SWATCH / 2, middle]])
        canvas.add(dots_svg(places, shape, size, colour))

    return draw


def _of(shown: int, n: int) -> str:
    return f" ({n:,} balls)" if shown == n else f" ({shown:,} of {n:,} drawn)"


def _height_words(picture: GreenPicture, step_m: float) -> str:
    step = number(step_m * 100, 0 if step_m >= 0.0099 else 1)
    base = "the hole" if picture.hole else "the mark"
    return f"every {step} cm of height, 0 at {base}, ticks downhill"


def _texture_entries(picture: GreenPicture) -> list[Entry]:
    named: dict[str, Texture] = {}
    for area in (*picture.areas, *picture.patches):
        named.setdefault(area.words, area.drawn_texture())
    if picture.around:
        named.setdefault(picture.around, TEXTURE_OF.get(picture.around.lower(), Texture.BLANK))
    return [Entry(texture_sample(texture), words) for words, texture in named.items()]


def holed_count(picture: GreenPicture) -> int:
    """How many finishes are in the hole."""
    return 0 if picture.holed is None else int(np.count_nonzero(np.asarray(picture.holed, dtype=bool)))


def notes(picture: GreenPicture, outside: int, unplaced: str) -> list[str]:
    """Sentences under the picture."""
    sentences = [picture.note] if picture.note else []
    if outside:
        sentences.append(f"{count(outside, 'ball')} finished outside this picture.")
    if unplaced:
        sentences.append(f"Not written in the picture: {unplaced}.")
    return sentences


def along_across(point: Point, start: Point, hole: Point) -> tuple[float, float]:
    """How far along the line from start to hole a point lies, and how far to its right [m]."""
    line = np.subtract(hole, start)
    length = float(np.hypot(*line))
    if length == 0:
        return math.dist(start, point), 0.0
    unit = line / length
    offset = np.subtract(point, start)
    return float(offset @ unit), float(offset[0] * unit[1] - offset[1] * unit[0])


def describe(picture: GreenPicture, step_m: float, scale_words: str) -> str:
    """The text alternative: what the picture shows, with its numbers."""
    if picture.alt:
        return picture.alt
    parts = ["The green from above."]
    parts += _describe_line(picture)
    parts += _describe_circle(picture)
    parts += _describe_balls(picture)
    areas = sorted({area.words for area in (*picture.areas, *picture.patches)})
    if areas:
        parts.append(f"Drawn areas: {', '.join(areas)}.")
    if step_m > 0:
        parts.append(f"Height lines {number(step_m * 100, 0 if step_m >= 0.0099 else 1)} cm apart.")
    parts.append(f"The scale bar is {scale_words} long.")
    if picture.note:
        parts.append(picture.note)
    return " ".join(parts)


def _describe_line(picture: GreenPicture) -> list[str]:
    if picture.start is None or picture.hole is None:
        return []
    text = f"From start to hole {picture.measure.length(math.dist(picture.start, picture.hole))}"
    rise = _rise_cm(picture)
    if rise is None or abs(rise) < 0.5:
        return [text + "."]
    return [f"{text}; the hole lies {number(abs(rise), 0)} cm {'above' if rise > 0 else 'below'} the start."]


def _rise_cm(picture: GreenPicture) -> float | None:
    if picture.heights is None or picture.start is None or picture.hole is None:
        return None
    z = picture.heights.at(np.array([picture.start, picture.hole], dtype=float))
    return float(z[1] - z[0]) * 100 if np.isfinite(z).all() else None


def _describe_circle(picture: GreenPicture) -> list[str]:
    circle = picture.circle
    if circle is None:
        return []
    words = circle.words[:1].upper() + circle.words[1:]
    text = f"{words}: radius {picture.measure.length(circle.radius_m)}"
    if picture.start is None or picture.hole is None:
        return [text + "."]
    along, across = along_across(circle.centre, picture.start, picture.hole)
    side = ""
    if abs(across) >= 0.05 * picture.measure.metres:
        side = f", {picture.measure.length(abs(across))} {'right' if across > 0 else 'left'} of the line"
    return [f"{text}, its centre {picture.measure.length(along)} along the line to the hole{side}."]


def _describe_balls(picture: GreenPicture) -> list[str]:
    parts = []
    landings, finishes = as_points(picture.landings), as_points(picture.finishes)
    if len(landings):
        parts.append(f"{count(len(landings), 'landing')} drawn.")
    if len(finishes):
        parts.append(f"{count(len(finishes), 'ball')} finished{_middle(finishes, picture)}.")
    if holed_count(picture):
        parts.append(f"{holed_count(picture):,} holed.")
    if not (len(landings) or len(finishes) or picture.path or picture.marks):
        parts.append("No balls yet.")
    return parts


def _middle(finishes: Array, picture: GreenPicture) -> str:
    if picture.hole is None:
        return ""
    distance = np.hypot(*(finishes - np.asarray(picture.hole, dtype=float)).T)
    return f", half of them within {picture.measure.length(float(np.median(distance)))} of the hole"
