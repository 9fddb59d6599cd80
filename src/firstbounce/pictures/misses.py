"""Misses about a target, as the player sees them: long up the page, right to the right.

Landings about the landing spot, finishes about the hole, the parts of a miss as arrows for one ball and as
ellipses for a set. Colour is never alone: dots, crosses and dashes say it too.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.pictures import furniture, theme
from firstbounce.pictures.boxes import Array, Box, as_points, thinned
from firstbounce.pictures.canvas import Canvas, Label, labels_text
from firstbounce.pictures.frame import Frame, fit
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import (
    SWATCH,
    Entry,
    draw_legend,
    draw_notes,
    draw_title,
    line_sample,
    ring_sample,
)
from firstbounce.pictures.marks import Arrow, Dots, DotShape, Ellipse, Ring, dots_svg
from firstbounce.pictures.text import METRES, Measure
from firstbounce.pictures.theme import LineStyle

MOST_DOTS = 400  #: more are thinned, and the legend says so
_HEIGHTS = (430.0, 760.0)  #: lowest and highest window [page units]
#: One style a part, told apart by dash and width.
PART_STYLES: tuple[LineStyle, ...] = (
    LineStyle(theme.INK, 3.0),
    LineStyle(theme.INK, 2.6, (9, 6)),
    LineStyle(theme.ACCENT, 3.4),
    LineStyle(theme.PENCIL, 2.6, (2, 6)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MissDots:
    """Balls by where they went: (n, 2) right and long of the target [m]."""

    points: ArrayLike
    words: str
    shape: DotShape = "dot"
    accent: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MissArrow:
    """A part of a miss, from tail to head [m, right and long]."""

    tail: tuple[float, float]
    head: tuple[float, float]
    words: str
    label: str = ""  #: written beside it; nothing when empty
    style: LineStyle = PART_STYLES[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class MissEllipse:
    """An ellipse of misses: centre and half axes [m], the long one turned from right, anticlockwise [deg]."""

    centre: tuple[float, float]
    half_long_m: float
    half_short_m: float
    turn_deg: float
    words: str
    label: str = ""  #: written at its centre; nothing when empty
    style: LineStyle = theme.SPREAD


@dataclass(frozen=True, slots=True, kw_only=True)
class MissesPicture:
    """Misses about one target."""

    title: str
    target: Literal["landing spot", "hole"] = "hole"
    ring_m: float | None = None  #: radius of a circle about the target [m]
    ring_words: str = ""
    dots: tuple[MissDots, ...] = ()
    arrows: tuple[MissArrow, ...] = ()
    ellipses: tuple[MissEllipse, ...] = ()
    measure: Measure = METRES
    note: str = ""
    key: str = ""
    alt: str = ""


def misses_view(picture: MissesPicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_misses(picture)
    return canvas.svg(picture.title, description)


def compose_misses(picture: MissesPicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    canvas = Canvas(picture.key or key_of("misses", picture), _frame(picture, 0.0))
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 8
    canvas.frame = _frame(picture, top)
    window = canvas.frame.box
    with canvas.clipped(window):
        canvas.rectangle(window, theme.GREEN)
        furniture.squared_paper(canvas, picture.measure)
        _cross_hairs(canvas)
        _draw(canvas, picture)
    canvas.rectangle(window, "none", LineStyle(theme.INK, 1.4))
    _target(canvas, picture)
    _sides(canvas)
    furniture.scale_bar(canvas, picture.measure)
    canvas.place_labels(window.grown(-6))
    top = draw_legend(canvas, _entries(picture), window.bottom + 14)
    canvas.height = draw_notes(canvas, _notes(canvas, picture), top) + theme.MARGIN * 0.7
    return canvas, picture.alt or _describe(picture)


def _frame(picture: MissesPicture, top: float) -> Frame:
    """Every ball, part and ellipse in the window, the target with them."""
    pieces = [np.zeros((1, 2)), *(_finite(one.points) for one in picture.dots)]
    pieces += [np.array([one.tail, one.head], dtype=np.float64) for one in picture.arrows]
    pieces += [_shape(one).points() for one in picture.ellipses]
    if picture.ring_m:
        pieces.append(picture.ring_m * np.array([[1.0, 0], [-1, 0], [0, 1], [0, -1]]))
    width = theme.WIDTH - 2 * theme.MARGIN
    points = np.concatenate(pieces)
    return fit(points, left=theme.MARGIN, top=top, width=width, heights=_HEIGHTS, margin=0.14)


def _finite(points: ArrayLike) -> Array:
    xy = as_points(points)
    return xy[np.isfinite(xy).all(axis=1)]


def _shape(one: MissEllipse) -> Ellipse:
    return Ellipse(
        centre=one.centre,
        half_long_m=one.half_long_m,
        half_short_m=one.half_short_m,
        turn_deg=one.turn_deg,
        style=one.style,
    )


def _cross_hairs(canvas: Canvas) -> None:
    """The line of play and the line across it, through the target."""
    box, at = canvas.frame.box, canvas.page(np.zeros((1, 2)))[0]
    style = LineStyle(theme.PENCIL, 1.1, opacity=0.6)
    canvas.line(float(at[0]), box.top, float(at[0]), box.bottom, style)
    canvas.line(box.left, float(at[1]), box.right, float(at[1]), style)


def _draw(canvas: Canvas, picture: MissesPicture) -> None:
    if picture.ring_m:
        canvas.draw(Ring(centre=(0.0, 0.0), radius_m=picture.ring_m, style=_ring_style(picture)))
    for one in picture.dots:
        points = _finite(one.points)
        points = points[thinned(len(points), MOST_DOTS)]
        size = 8.0 if len(points) < 60 else 6.0
        colour = theme.ACCENT if one.accent else theme.INK
        canvas.draw(Dots(points=points, shape=one.shape, size=size, colour=colour))
    canvas.draw(*(_shape(one) for one in picture.ellipses))
    for arrow in picture.arrows:
        canvas.draw(Arrow(tail=arrow.tail, head=arrow.head, style=arrow.style))
        middle = ((arrow.tail[0] + arrow.head[0]) / 2, (arrow.tail[1] + arrow.head[1]) / 2)
        if arrow.label:
            canvas.draw(Label((arrow.label,), middle, arrow.style.colour, bold=True, clear=8))
    for ellipse in picture.ellipses:
        if ellipse.label:
            canvas.draw(Dots(points=[ellipse.centre], size=9, colour=ellipse.style.colour))
            canvas.draw(Label((ellipse.label,), ellipse.centre, ellipse.style.colour, bold=True, clear=8))


def _ring_style(picture: MissesPicture) -> LineStyle:
    return theme.CIRCLE if picture.target == "landing spot" else LineStyle(theme.PENCIL, 1.6, (3, 5))


def _target(canvas: Canvas, picture: MissesPicture) -> None:
    at = canvas.page(np.zeros((1, 2)))
    if picture.target == "hole":
        furniture.flag(canvas, at[0])
    else:
        canvas.add(dots_svg(at, "cross", 18, theme.ACCENT))
        x, y = (float(v) for v in at[0])
        canvas.reserved.append(Box(x - 10, y - 10, x + 10, y + 10))


def _sides(canvas: Canvas) -> None:
    """Long, short, left and right at the ends of the cross hairs."""
    box, at = canvas.frame.box, canvas.page(np.zeros((1, 2)))[0]
    x = min(max(float(at[0]), box.left + 40), box.right - 40)
    y = min(max(float(at[1]), box.top + 40), box.bottom - 40)
    canvas.text(x + 8, box.top + 24, "long", italic=True, halo=True)
    canvas.text(x + 8, box.bottom - 12, "short", italic=True, halo=True)
    canvas.text(box.left + 8, y - 8, "left", italic=True, halo=True)
    canvas.text(box.right - 8, y - 8, "right", anchor="end", italic=True, halo=True)


def _entries(picture: MissesPicture) -> list[Entry]:
    entries = []
    if picture.ring_m:
        words = f"{picture.ring_words}, radius {picture.measure.length(picture.ring_m)}"
        entries.append(Entry(ring_sample(_ring_style(picture)), words))
    for dots in picture.dots:
        n = len(_finite(dots.points))
        if n:
            shown = f" ({MOST_DOTS} of {n:,} drawn)" if n > MOST_DOTS else f" ({n:,})"
            colour = theme.ACCENT if dots.accent else theme.INK
            entries.append(Entry(_sample(dots.shape, colour), dots.words + shown))
    entries += [Entry(ring_sample(one.style, flat=0.6), one.words) for one in picture.ellipses if one.words]
    entries += [Entry(line_sample(one.style), one.words) for one in picture.arrows]
    return entries


def _sample(shape: DotShape, colour: str) -> Callable[[Canvas, float, float], None]:
    def draw(canvas: Canvas, left: float, middle: float) -> None:
        canvas.add(dots_svg(np.array([[left + SWATCH / 2, middle]]), shape, 9, colour))

    return draw


def _notes(canvas: Canvas, picture: MissesPicture) -> list[str]:
    lines = [picture.note] if picture.note else []
    if canvas.unplaced:
        lines.append(f"Not written in the picture: {labels_text(canvas.unplaced)}.")
    return lines


def _describe(picture: MissesPicture) -> str:
    """The text alternative, from the numbers."""
    parts = [f"Misses about the {picture.target}, long up and right to the right."]
    for dots in picture.dots:
        points = _finite(dots.points)
        if len(points):
            parts.append(
                f"{dots.words}: {len(points)}, on average {away(points.mean(axis=0), picture.measure)}."
            )
    parts += [
        f"{one.words}: centre {away(np.array(one.centre), picture.measure)}, half axes "
        f"{picture.measure.length(one.half_long_m)} and {picture.measure.length(one.half_short_m)}."
        for one in picture.ellipses
    ]
    parts += [f"{one.words}." for one in picture.arrows]
    if len(parts) == 1:
        parts.append("No balls to show yet.")
    return " ".join([*parts, picture.note]).strip()


def away(miss: Array, measure: Measure) -> str:
    """A miss (right, long) [m] in words."""
    right, long = float(miss[0]), float(miss[1])
    said = [
        f"{measure.length(abs(value))} {words[0] if value > 0 else words[1]}"
        for value, words in ((long, ("long", "short")), (right, ("right", "left")))
        if math.isfinite(value) and abs(value) >= 0.05
    ]
    return " and ".join(said) or "on target"
