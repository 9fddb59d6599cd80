"""Legends in words, and notes, below a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Box
from firstbounce.pictures.canvas import Canvas
from firstbounce.pictures.text import coordinate, text_width, wrap
from firstbounce.pictures.textures import Texture
from firstbounce.pictures.theme import LineStyle

SWATCH = 42.0  #: width of the sample beside each entry [page units]
GAP = 12.0
ROW = 31.0


class Entry(NamedTuple):
    """One line of a legend: a sample drawn at (left, middle), and what it means."""

    sample: Callable[[Canvas, float, float], None]
    words: str


def draw_legend(canvas: Canvas, entries: Sequence[Entry], top: float) -> float:
    """Draw short entries in two columns, then long ones over the full width; returns the lower edge."""
    room = canvas.width - 2 * theme.MARGIN
    short = [entry for entry in entries if _width(entry) <= room / 2 - GAP]
    top = _two_columns(canvas, short, top, room)
    for entry in entries:
        if entry not in short:
            top = _draw_entry(canvas, entry, theme.MARGIN, top, room)
    return top


def _two_columns(canvas: Canvas, entries: Sequence[Entry], top: float, room: float) -> float:
    rows = (len(entries) + 1) // 2
    for i, entry in enumerate(entries):
        left = theme.MARGIN + (i // rows) * (room / 2)
        _draw_entry(canvas, entry, left, top + (i % rows) * ROW, room / 2)
    return top + rows * ROW


def _width(entry: Entry) -> float:
    return SWATCH + GAP + text_width(entry.words, theme.SMALL_SIZE)


def _draw_entry(canvas: Canvas, entry: Entry, left: float, top: float, room: float) -> float:
    entry.sample(canvas, left, top + ROW / 2)
    for line in wrap(entry.words, theme.SMALL_SIZE, room - SWATCH - GAP):
        canvas.text(left + SWATCH + GAP, top + ROW / 2 + 6.5, line, size=theme.SMALL_SIZE)
        top += ROW
    return top


def draw_title(canvas: Canvas, title: str, top: float) -> float:
    """The title over the full width, at most two lines; returns the lower edge."""
    room = canvas.width - 2 * theme.MARGIN
    for line in wrap(title, theme.TITLE_SIZE, room, bold=True)[:2]:
        canvas.text(theme.MARGIN, top + 0.76 * theme.TITLE_SIZE, line, size=theme.TITLE_SIZE, bold=True)
        top += 1.18 * theme.TITLE_SIZE
    return top


def draw_notes(canvas: Canvas, notes: Sequence[str], top: float) -> float:
    """Sentences in italics over the full width; returns the lower edge."""
    room = canvas.width - 2 * theme.MARGIN
    for note in notes:
        for line in wrap(note, theme.SMALL_SIZE, room):
            top += 1.24 * theme.SMALL_SIZE
            canvas.text(theme.MARGIN, top, line, size=theme.SMALL_SIZE, colour=theme.PENCIL, italic=True)
    return top + 0.3 * theme.SMALL_SIZE


def line_sample(style: LineStyle) -> Callable[[Canvas, float, float], None]:
    """A sample of a line."""
    return lambda canvas, left, middle: canvas.line(left, middle, left + SWATCH, middle, style)


def texture_sample(texture: Texture) -> Callable[[Canvas, float, float], None]:
    """A sample of a texture."""
    return lambda canvas, left, middle: canvas.rectangle(
        Box(left, middle - 11, left + SWATCH, middle + 11), canvas.fill_of(texture), theme.THIN
    )


def ring_sample(
    style: LineStyle, *, flat: float = 1.0, wash: str = "none"
) -> Callable[[Canvas, float, float], None]:
    """A sample of a ring, or of an ellipse when `flat` is below 1."""

    def draw(canvas: Canvas, left: float, middle: float) -> None:
        rx = 11 if flat == 1.0 else 17
        attributes = style.attributes().replace('fill="none" ', "")
        canvas.add(
            f'<ellipse cx="{coordinate(left + SWATCH / 2)}" cy="{coordinate(middle)}" rx="{rx}" '
            f'ry="{coordinate(rx * flat)}" fill="{wash}" fill-opacity="0.35" {attributes}/>'
        )

    return draw
