"""The sheet of a swing: stills with triangle and hand angle, and the hand angle over time with the hold
shaded.

One row of stills for one swing, two rows for a comparison above one chart with both curves.
"""

from __future__ import annotations

import base64
import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Box
from firstbounce.pictures.canvas import Canvas
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.text import escape
from firstbounce.pictures.theme import LineStyle
from firstbounce.pictures.ticks import tick_values
from firstbounce.technique.signals import Array
from firstbounce.technique.stills import Still

TRIANGLE: Final = LineStyle(theme.ACCENT, 2.4)
PLUMB: Final = LineStyle(theme.PAPER, 2.0, (5, 5))
CURVES: Final = (LineStyle(theme.ACCENT, 2.6), LineStyle(theme.INK, 2.2, (9, 6)))
CHART_HEIGHT: Final = 250.0
GAP: Final = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingRow:
    """One swing on the sheet.

    time [s, 0 at the strike] and angle [deg, towards the target positive] of the hands; held: from and until.
    side: +1 when the target is at picture right, -1 when at picture left.
    """

    name: str
    stills: tuple[Still, ...]
    time: Array
    angle: Array
    held: tuple[float, float]
    side: int = 1
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is drawn: a title, one sentence, and one or two swings."""

    title: str
    says: str
    rows: tuple[SwingRow, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.rows) <= len(CURVES):
            raise ParameterError(f"A sheet shows one swing or compares two, got {len(self.rows)}.")


def sheet_view(sheet: Sheet) -> str:
    """The sheet as SVG text."""
    window = Box(theme.MARGIN, 0, theme.WIDTH - theme.MARGIN, 1)
    canvas = Canvas("swing", Frame(box=window, centre=(0, 0), scale_x=1, scale_y=1))
    y = theme.MARGIN + theme.TITLE_SIZE
    canvas.text(theme.MARGIN, y, sheet.title, size=theme.TITLE_SIZE, bold=True, room=window.width)
    y += 1.35 * theme.SMALL_SIZE
    canvas.text(theme.MARGIN, y, sheet.says, colour=theme.PENCIL, room=window.width)
    for row in sheet.rows:
        y = _draw_row(canvas, row, y + 12, named=len(sheet.rows) > 1)
    y = _draw_chart(canvas, sheet.rows, y + 20)
    canvas.height = y + theme.MARGIN
    return canvas.svg(sheet.title, f"{sheet.says} {_described(sheet)}")


def _described(sheet: Sheet) -> str:
    parts = []
    for row in sheet.rows:
        low, high = (round(float(row.angle.min())), round(float(row.angle.max())))
        held = row.held[1] - row.held[0]
        parts.append(f"{row.name}: hands from {low} to {high} degrees, finish held {held:.1f} s.")
    return " ".join(parts)


def _draw_row(canvas: Canvas, row: SwingRow, top: float, *, named: bool) -> float:
    """Stills side by side from `top`; returns the y below them."""
    if named:
        top += theme.SMALL_SIZE
        room = theme.WIDTH - 2 * theme.MARGIN
        canvas.text(theme.MARGIN, top, row.name, bold=True, room=room)
        if row.says:
            top += 1.25 * theme.SMALL_SIZE
            canvas.text(theme.MARGIN, top, row.says, colour=theme.PENCIL, room=room)
        top += 8
    if not row.stills:
        return top
    across = sum(still.width / still.height for still in row.stills)
    room = theme.WIDTH - 2 * theme.MARGIN - GAP * (len(row.stills) - 1)
    height = min(room / across, 330.0)
    x = theme.MARGIN
    for still in row.stills:
        scale = height / still.height
        _draw_still(canvas, still, x, top, scale, row.side)
        x += still.width * scale + GAP
    return top + height + 2.5 * theme.SMALL_SIZE


def _draw_still(canvas: Canvas, still: Still, x: float, y: float, scale: float, side: int) -> None:
    width, height = still.width * scale, still.height * scale
    data = base64.b64encode(still.jpeg).decode()
    canvas.add(
        f'<image x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" '
        f'href="data:image/jpeg;base64,{data}"><title>{escape(still.caption)}</title></image>'
    )
    frame = Box(x, y, x + width, y + height)
    with canvas.clipped(frame):
        _draw_angle(canvas, still, np.array([x, y]), scale)
    canvas.rectangle(frame, "none", theme.THIN)
    canvas.text(x + width / 2, y + height + 21, still.caption, anchor="middle", room=width + GAP)
    angle = f"{side * _hand_angle(still):+.0f}°"
    canvas.text(x + width / 2, y + height + 43, angle, anchor="middle", colour=theme.PENCIL)


def _hand_angle(still: Still) -> float:
    """Hand angle in the picture [deg], to picture right positive."""
    middle = (np.array(still.left_shoulder) + np.array(still.right_shoulder)) / 2
    across, down = np.array(still.hands) - middle
    return math.degrees(math.atan2(across, down))


def _draw_angle(canvas: Canvas, still: Still, corner: Array, scale: float) -> None:
    """The triangle, a plumb line from mid-shoulder, and the arc from it to the hands."""
    left, right, hands = (
        corner + scale * np.array(p) for p in (still.left_shoulder, still.right_shoulder, still.hands)
    )
    middle = (left + right) / 2
    reach = float(np.hypot(*(hands - middle)))
    canvas.path(np.array([middle, middle + np.array([0, 1.15 * reach])]), PLUMB)
    turn = np.linspace(0, math.radians(_hand_angle(still)), 24)
    canvas.path(middle + reach * np.column_stack([np.sin(turn), np.cos(turn)]), PLUMB)
    canvas.path(np.array([left, right, hands]), TRIANGLE, closed=True)


def _draw_chart(canvas: Canvas, rows: tuple[SwingRow, ...], top: float) -> float:
    """Hand angle against time with the hold shaded; returns the y below the chart."""
    low = min(float(row.time.min()) for row in rows), min(float(row.angle.min()) for row in rows) - 6
    high = max(float(row.time.max()) for row in rows), max(float(row.angle.max()) for row in rows) + 6
    box = Box(theme.MARGIN + 52, top + 12, theme.WIDTH - theme.MARGIN, top + 12 + CHART_HEIGHT)

    def page(time: Array, angle: Array) -> Array:
        x = box.left + (time - low[0]) / (high[0] - low[0]) * box.width
        y = box.bottom - (angle - low[1]) / (high[1] - low[1]) * CHART_HEIGHT
        return np.column_stack([np.clip(x, box.left, box.right), y])

    for row in rows:
        ends = page(np.array(row.held), np.array([low[1], high[1]]))
        shade = Box(ends[0, 0], box.top, max(ends[1, 0], ends[0, 0] + 1), box.bottom)
        canvas.add(
            f'<rect x="{shade.left:.1f}" y="{shade.top:.1f}" width="{shade.width:.1f}" '
            f'height="{shade.height:.1f}" fill="{theme.WASH}" fill-opacity="0.5"/>'
        )
    _draw_axes(canvas, box, low, high, page)
    for row, style in zip(rows, CURVES, strict=False):
        canvas.path(page(row.time, row.angle), style)
    below = box.bottom + 26 + theme.SMALL_SIZE
    lines = ["seconds from the strike; shaded: the finish held"]
    if len(rows) > 1:
        lines.append(f"full line: {rows[0].name}; dashed: {rows[1].name}")
    for number, words in enumerate(lines):
        y = below + 1.3 * theme.SMALL_SIZE * number
        canvas.text(box.left, y, words, colour=theme.PENCIL, room=box.width)
    return below + 1.3 * theme.SMALL_SIZE * (len(lines) - 1)


def _draw_axes(canvas, box: Box, low, high, page) -> None:  # type: ignore[no-untyped-def]
    for value in tick_values(low[1], high[1], 6):
        y = float(page(np.array([low[0]]), np.array([value]))[0, 1])
        canvas.line(box.left, y, box.right, y, theme.THIN if value == 0 else theme.HAIR)
        canvas.text(box.left - 8, y + 7, f"{value:.0f}°", anchor="end", colour=theme.PENCIL)
    for value in tick_values(low[0], high[0], 7):
        x = float(page(np.array([value]), np.array([low[1]]))[0, 0])
        canvas.line(x, box.bottom, x, box.bottom + 6, theme.THIN)
        canvas.text(x, box.bottom + 25, f"{value:g}", anchor="middle", colour=theme.PENCIL)
    canvas.line(box.left, box.bottom, box.right, box.bottom, theme.EDGE)
