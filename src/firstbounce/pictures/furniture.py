"""Scale bar, compass, hole and ball: the fixed furniture of a map."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.canvas import Canvas
from firstbounce.pictures.marks import arrow_svg, dots_svg
from firstbounce.pictures.place import covered_weight
from firstbounce.pictures.text import Measure, coordinate, number, text_width
from firstbounce.pictures.theme import LineStyle
from firstbounce.pictures.ticks import nice_below, nice_step

_EDGE = 0.0  #: distance of furniture from the neat line [page units]


def squared_paper(canvas: Canvas, measure: Measure) -> None:
    """Faint squares of a round size over the whole window, square to the page, from its centre."""
    box, frame = canvas.frame.box, canvas.frame
    step = nice_step(box.width / frame.scale_x / measure.metres, 14) * measure.metres * frame.scale_x
    middle_x, middle_y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    data = []
    for k in range(-40, 41):
        x, y = middle_x + k * step, middle_y + k * step
        if box.left < x < box.right:
            data.append(f"M{coordinate(x)} {coordinate(box.top)}V{coordinate(box.bottom)}")
        if box.top < y < box.bottom:
            data.append(f"M{coordinate(box.left)} {coordinate(y)}H{coordinate(box.right)}")
    canvas.add(f'<path d="{"".join(data)}" {theme.HAIR.attributes()}/>')


def corners(window: Box, width: float, height: float) -> list[Box]:
    """The four corner places for something of this size, lower ones first."""
    left, right = window.left + _EDGE, window.right - _EDGE - width
    top, bottom = window.top + _EDGE, window.bottom - _EDGE - height
    return [
        Box(x, y, x + width, y + height)
        for x, y in ((left, bottom), (right, bottom), (right, top), (left, top))
    ]


def quiet_corner(canvas: Canvas, choices: Sequence[Box], busy: Array) -> Box:
    """The free place that covers the fewest busy points; the first of equals."""
    free = [box for box in choices if canvas.free(box)] or list(choices)
    return min(free, key=lambda box: round(covered_weight(box.grown(8), busy[busy[:, 2] >= 0.5]), 6))


def scale_bar(canvas: Canvas, measure: Measure) -> str:
    """A bar of a round length in the quietest corner; returns its length in words."""
    unit = measure.metres * canvas.frame.scale_x
    length = nice_below(canvas.frame.box.width * 0.30 / unit)
    words = f"{number(length, 0 if length >= 1 else 1)} {measure.short}"
    bar = length * unit
    label = text_width(words, theme.SMALL_SIZE)
    place = quiet_corner(canvas, corners(canvas.frame.box, bar + label + 40, 40), canvas.busy())
    _plate(canvas, place)
    y, x = place.bottom - 16, place.left + 14
    for k in range(4):
        fill = theme.INK if k % 2 == 0 else theme.PAPER
        part = Box(x + bar * k / 4, y - 7, x + bar * (k + 1) / 4, y)
        canvas.rectangle(part, fill, LineStyle(theme.INK, 1.2))
    canvas.text(x + bar + 12, y + 3, words)
    canvas.reserved.append(place)
    return words


def compass(canvas: Canvas, direction: tuple[float, float], words: str) -> None:
    """An arrow along a world direction in the quietest corner, with its words beneath."""
    angle = math.atan2(direction[1], direction[0]) + canvas.frame.turn
    along = np.array([math.cos(angle), -math.sin(angle)])
    width = max(text_width(words, theme.SMALL_SIZE) + 16, 70.0)
    choices = corners(canvas.frame.box, width, 96)
    place = quiet_corner(canvas, [choices[2], choices[3], choices[1], choices[0]], canvas.busy())
    _plate(canvas, place)
    middle = np.array([(place.left + place.right) / 2, place.top + 38])
    arrow_svg(canvas, middle - 26 * along, middle + 28 * along, LineStyle(theme.INK, 1.8), barb=16)
    canvas.text(float(middle[0]), place.bottom - 9, words, anchor="middle", italic=True)
    canvas.reserved.append(place)


def _plate(canvas: Canvas, place: Box) -> None:
    """An inset of bare paper in a corner of the window."""
    canvas.rectangle(place, theme.PAPER, LineStyle(theme.INK, 1.4))


def flag(canvas: Canvas, at: Array, *, height: float = 40.0) -> None:
    """A hole with its flag, standing up the page from a page point."""
    x, y = float(at[0]), float(at[1])
    canvas.add(dots_svg(at[None, :], "dot", 15, theme.PAPER))
    canvas.add(dots_svg(at[None, :], "dot", 10, theme.INK))
    canvas.line(x, y, x, y - height, LineStyle(theme.INK, 2.2))
    data = f"M{coordinate(x)} {coordinate(y - height)}l19 6.5l-19 6.5z"
    canvas.add(f'<path d="{data}" fill="{theme.INK}"/>')
    canvas.reserved += [
        Box(x - 8, y - 8, x + 8, y + 8),
        Box(x - 4, y - height, x + 4, y),
        Box(x - 4, y - height - 2, x + 21, y - height + 15),
    ]


def ball(canvas: Canvas, at: Array) -> None:
    """A ball: a small white disc with an ink edge at a page point."""
    x, y = coordinate(float(at[0])), coordinate(float(at[1]))
    canvas.add(f'<circle cx="{x}" cy="{y}" r="7" fill="#FFFFFF" stroke="{theme.INK}" stroke-width="2.4"/>')
    canvas.reserved.append(Box(float(at[0]) - 8, float(at[1]) - 8, float(at[0]) + 8, float(at[1]) + 8))
