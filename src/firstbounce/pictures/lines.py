"""Labelled curves with bands over two axes: run against carry, progress over sessions, and the like."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.errors import ParameterError
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.canvas import Canvas, Label, labels_text
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import draw_notes, draw_title
from firstbounce.pictures.marks import Band, Dots, Polyline
from firstbounce.pictures.text import number, text_width
from firstbounce.pictures.theme import LineStyle
from firstbounce.pictures.ticks import nice_step, tick_digits, tick_values

_HEIGHT = 400.0  #: of the plot [page units]
_DASHES: tuple[tuple[float, ...], ...] = ((), (9, 5), (2, 5), (14, 5, 2, 5), (5, 4), (14, 5, 2, 4, 2, 5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One curve; low and high give it a band, `dots` marks its points."""

    label: str
    x: ArrayLike  #: (n,)
    y: ArrayLike  #: (n,)
    low: ArrayLike | None = None  #: (n,)
    high: ArrayLike | None = None  #: (n,)
    accent: bool = False  #: drawn with the red pencil
    dots: bool = False

    def xy(self) -> Array:
        """Points (n, 2) where both are finite; raises when the lengths differ."""
        x, y = np.asarray(self.x, dtype=np.float64), np.asarray(self.y, dtype=np.float64)
        if x.ndim != 1 or x.shape != y.shape:
            raise ParameterError(f"The curve {self.label!r} has {x.shape} x and {y.shape} y values.")
        points = np.column_stack([x, y])
        return points[np.isfinite(points).all(axis=1)]

    def band(self) -> tuple[Array, Array, Array] | None:
        """x, low and high where all are finite, or None."""
        if self.low is None or self.high is None:
            return None
        rows = np.column_stack([np.asarray(v, dtype=np.float64) for v in (self.x, self.low, self.high)])
        rows = rows[np.isfinite(rows).all(axis=1)]
        return (rows[:, 0], rows[:, 1], rows[:, 2]) if len(rows) > 1 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesPicture:
    """Curves over two axes."""

    title: str
    x_words: str
    y_words: str
    curves: tuple[Curve, ...] = ()
    band_words: str = ""  #: what the bands mean
    note: str = ""
    from_zero: bool = True  #: both axes begin at zero
    key: str = ""
    alt: str = ""


def lines_view(picture: LinesPicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_lines(picture)
    return canvas.svg(picture.title, description)


def compose_lines(picture: LinesPicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    low, high = _ranges(picture)
    left = theme.MARGIN + _label_room(low[1], high[1])
    canvas = Canvas(picture.key or key_of("lines", picture), _frame(low, high, left, 0.0))
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 6
    canvas.text(theme.MARGIN, top + 22, picture.y_words, italic=True, room=canvas.width - 2 * theme.MARGIN)
    canvas.frame = _frame(low, high, left, top + 44)
    lower = _axes(canvas, picture, low, high)
    with canvas.clipped(canvas.frame.box.grown(4)):
        _draw_curves(canvas, picture)
    for i, curve in enumerate(picture.curves):
        _want_label(canvas, curve, i)
    canvas.place_labels(canvas.frame.box.grown(-4))
    lines = [words for words in (picture.band_words, picture.note) if words]
    if canvas.unplaced:
        lines.append(f"Not written in the picture: {labels_text(canvas.unplaced)}.")
    canvas.height = draw_notes(canvas, lines, lower) + theme.MARGIN * 0.7
    return canvas, _describe(picture)


def _ranges(picture: LinesPicture) -> tuple[tuple[float, float], tuple[float, float]]:
    """Lower and upper ends (x, y) of the axes, round."""
    pieces = [curve.xy() for curve in picture.curves]
    for curve in picture.curves:
        band = curve.band()
        if band is not None:
            pieces += [np.column_stack([band[0], band[k]]) for k in (1, 2)]
    if picture.from_zero or not any(len(piece) for piece in pieces):
        pieces.append(np.zeros((1, 2)))
    points = np.concatenate(pieces)
    low, high = points.min(axis=0), points.max(axis=0)
    ends = [_round_ends(float(low[k]), float(high[k])) for k in (0, 1)]
    return (ends[0][0], ends[1][0]), (ends[0][1], ends[1][1])


def _round_ends(low: float, high: float) -> tuple[float, float]:
    if high - low < 1e-9:
        high = low + 1.0
    step = nice_step(high - low, 6)
    return float(np.floor(low / step + 1e-9) * step), float(np.ceil(high / step - 1e-9) * step)


def _label_room(low: float, high: float) -> float:
    digits = tick_digits(nice_step(high - low, 6))
    return max(text_width(number(v, digits), theme.SMALL_SIZE) for v in (low, high)) + 14


def _frame(low: tuple[float, float], high: tuple[float, float], left: float, top: float) -> Frame:
    box = Box(left, top, theme.WIDTH - theme.MARGIN - 16, top + _HEIGHT)
    return Frame(
        box=box,
        centre=((low[0] + high[0]) / 2, (low[1] + high[1]) / 2),
        scale_x=box.width / (high[0] - low[0]),
        scale_y=box.height / (high[1] - low[1]),
    )


def _axes(
    canvas: Canvas, picture: LinesPicture, low: tuple[float, float], high: tuple[float, float]
) -> float:
    """Gridlines, ticks and words of both axes; returns the lower edge."""
    box = canvas.frame.box
    ink = LineStyle(theme.INK, 1.4)
    for value in tick_values(low[1], high[1], 6):
        y = float(canvas.page(np.array([[low[0], value]]))[0, 1])
        canvas.line(box.left, y, box.right, y, theme.HAIR)
        words = number(value, tick_digits(nice_step(high[1] - low[1], 6)))
        canvas.text(box.left - 9, y + 6.5, words, anchor="end")
    last = -np.inf
    for value in tick_values(low[0], high[0], 6):
        x = float(canvas.page(np.array([[value, low[1]]]))[0, 0])
        canvas.line(x, box.bottom, x, box.bottom + 6, ink)
        words = number(value, tick_digits(nice_step(high[0] - low[0], 6)))
        if x - text_width(words, theme.SMALL_SIZE) / 2 > last + 4:
            last = canvas.text(x, box.bottom + 28, words, anchor="middle").right
    canvas.path(np.array([[box.left, box.top], [box.left, box.bottom], [box.right, box.bottom]]), ink)
    canvas.text(box.right, box.bottom + 56, picture.x_words, anchor="end", italic=True, room=box.width)
    return box.bottom + 62


def _style(curve: Curve, index: int) -> LineStyle:
    if curve.accent:
        return LineStyle(theme.ACCENT, 3.4)
    return LineStyle(theme.INK, 2.4, _DASHES[index % len(_DASHES)])


def _draw_curves(canvas: Canvas, picture: LinesPicture) -> None:
    for curve in picture.curves:
        band = curve.band()
        if band is not None:
            canvas.draw(
                Band(x=band[0], low=band[1], high=band[2], colour=theme.WASH if curve.accent else theme.FAINT)
            )
    for i, curve in enumerate(picture.curves):
        style = _style(curve, i)
        canvas.draw(Polyline(points=curve.xy(), style=style, casing=True))
        if curve.dots:
            canvas.draw(Dots(points=curve.xy(), size=9, colour=style.colour))


def _want_label(canvas: Canvas, curve: Curve, index: int) -> None:
    points = curve.xy()
    if len(points):
        last = points[-1]
        colour = theme.ACCENT if curve.accent else theme.INK
        canvas.draw(Label((curve.label,), (float(last[0]), float(last[1])), colour, bold=True, clear=3))


def _describe(picture: LinesPicture) -> str:
    if picture.alt:
        return picture.alt
    parts = [f"Curves of {picture.y_words} over {picture.x_words}."]
    for curve in picture.curves:
        points = curve.xy()
        if len(points):
            (x0, y0), (x1, y1) = points[0], points[-1]
            parts.append(f"{curve.label}: {number(y0)} at {number(x0)}, {number(y1)} at {number(x1)}.")
    if not picture.curves:
        parts.append("Nothing to show yet.")
    parts += [words for words in (picture.band_words, picture.note) if words]
    return " ".join(parts)
