"""The chart of carry and run: a bar a row, carry then run, with the likely range of where it stops."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Box
from firstbounce.pictures.canvas import Canvas
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import SWATCH, Entry, draw_legend, draw_notes, draw_title, texture_sample
from firstbounce.pictures.marks import dots_svg
from firstbounce.pictures.text import METRES, Measure, number, text_width
from firstbounce.pictures.textures import Texture
from firstbounce.pictures.theme import LineStyle
from firstbounce.pictures.ticks import nice_step, tick_digits, tick_values

_ROW, _BAR, _ASIDE, _GROUP_GAP = 38.0, 20.0, 25.0, 9.0  #: [page units]
_LABEL_MOST = 190.0  #: widest column of row labels
_COLUMN_GAP = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One bar: lengths along the line [m], intervals where they are known."""

    label: str  #: rows with the same label that follow each other share it
    carry_m: float
    run_m: float
    run_low_m: float | None = None
    run_high_m: float | None = None
    carry_low_m: float | None = None
    carry_high_m: float | None = None
    aside: str = ""  #: small words under the label, such as where the number comes from

    def __post_init__(self) -> None:
        for name in ("carry_m", "run_m", "run_low_m", "run_high_m", "carry_low_m", "carry_high_m"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(value):
                raise ParameterError(f"The chart row {self.label!r} has no usable {name}: {value}.")
        if self.carry_m < 0:
            raise ParameterError(f"The chart row {self.label!r} has a carry below 0 m: {self.carry_m:g}.")

    def reach_m(self) -> float:
        """The furthest length that the row shows [m]."""
        ends = (self.run_m, self.run_high_m or 0.0)
        return max(self.carry_m + max(ends), self.carry_high_m or 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPicture:
    """Carry and run of several clubs (x several carries)."""

    title: str
    rows: tuple[ChartRow, ...] = ()
    measure: Measure = METRES
    interval_words: str = "likely range of the run"  #: what the whiskers and the range column mean
    note: str = ""  #: conditions and how many balls they rest on
    key: str = ""
    alt: str = ""


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where the columns of numbers end, and where the bars stand [page units]."""

    bars_left: float
    bars_right: float
    carry: float
    run: float
    interval: float


def chart_view(picture: ChartPicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_chart(picture)
    return canvas.svg(picture.title, description)


def compose_chart(picture: ChartPicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    columns = _columns(picture)
    canvas = Canvas(picture.key or key_of("chart", picture), _frame(picture, columns))
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 4
    top = draw_legend(canvas, _entries(picture), top)
    top = _headings(canvas, picture, columns, top)
    bottom = top + sum(_row_heights(picture)) + 6
    _gridlines(canvas, picture, columns, top, bottom)
    _rows(canvas, picture, columns, top)
    lower = _axis(canvas, picture, columns, bottom)
    lines = [picture.note] if picture.note else []
    if not picture.rows:
        lines.insert(0, "No clubs to show yet.")
    canvas.height = draw_notes(canvas, lines, lower) + theme.MARGIN * 0.7
    return canvas, _describe(picture)


def _has_ranges(picture: ChartPicture) -> bool:
    return any(row.run_low_m is not None and row.run_high_m is not None for row in picture.rows)


def _range_words(row: ChartRow, measure: Measure) -> str:
    if row.run_low_m is None or row.run_high_m is None:
        return ""
    joint = "–" if row.run_low_m >= 0 else " to "
    return f"{measure.bare(row.run_low_m)}{joint}{measure.bare(row.run_high_m)}"


def _columns(picture: ChartPicture) -> _Columns:
    size, bold = theme.SMALL_SIZE, True
    labels = [text_width(row.label, size, bold=bold) for row in picture.rows]
    labels += [text_width(row.aside, size) for row in picture.rows]
    label = min(max(labels, default=60.0), _LABEL_MOST)
    measure = picture.measure
    carries = [text_width(measure.bare(row.carry_m), size) for row in picture.rows]
    runs = [text_width(measure.bare(row.run_m), size, bold=bold) for row in picture.rows]
    ranges = [text_width(_range_words(row, measure), size) for row in picture.rows]
    right = theme.WIDTH - theme.MARGIN
    interval = max([*ranges, text_width("range", size)]) if _has_ranges(picture) else 0.0
    run_right = right - (interval + _COLUMN_GAP if interval else 0.0)
    run = max([*runs, text_width("run", size, bold=bold)])
    carry_right = run_right - run - _COLUMN_GAP
    carry = max([*carries, text_width("carry", size)])
    bars_right = carry_right - carry - _COLUMN_GAP - 8
    bars_left = min(theme.MARGIN + label + _COLUMN_GAP, bars_right - 120)
    return _Columns(bars_left, bars_right, carry_right, run_right, right)


def _frame(picture: ChartPicture, columns: _Columns) -> Frame:
    """Only the horizontal mapping is used: 0 at the left end of the bars."""
    reach = max([row.reach_m() for row in picture.rows], default=10.0) or picture.measure.metres
    scale = (columns.bars_right - columns.bars_left) / (reach * 1.02)
    box = Box(columns.bars_left, 0.0, columns.bars_right, 1.0)
    return Frame(box=box, centre=(reach * 1.02 / 2, 0.0), scale_x=scale, scale_y=1.0)


def _x(canvas: Canvas, along_m: float) -> float:
    return float(canvas.page(np.array([[along_m, 0.0]]))[0, 0])


def _row_heights(picture: ChartPicture) -> list[float]:
    heights = []
    for i, row in enumerate(picture.rows):
        new = i > 0 and row.label != picture.rows[i - 1].label
        heights.append(_ROW + (_ASIDE if row.aside else 0.0) + (_GROUP_GAP if new else 0.0))
    return heights


def _entries(picture: ChartPicture) -> list[Entry]:
    entries = [
        Entry(texture_sample(Texture.SLANT), "carry, in the air"),
        Entry(_run_sample, "run, on the ground"),
    ]
    if _has_ranges(picture):
        entries.append(Entry(_whisker_sample, picture.interval_words))
    return entries


def _run_sample(canvas: Canvas, left: float, middle: float) -> None:
    canvas.rectangle(
        Box(left, middle - 11, left + SWATCH, middle + 11), theme.ACCENT, LineStyle(theme.INK, 1.3)
    )


def _whisker_sample(canvas: Canvas, left: float, middle: float) -> None:
    _whisker(canvas, left + 4, left + SWATCH - 4, middle)


def _headings(canvas: Canvas, picture: ChartPicture, columns: _Columns, top: float) -> float:
    baseline = top + 26
    for right, words, bold in ((columns.carry, "carry", False), (columns.run, "run", True)):
        canvas.text(right, baseline, words, anchor="end", bold=bold)
    if _has_ranges(picture):
        canvas.text(columns.interval, baseline, "range", anchor="end", colour=theme.PENCIL)
    y = baseline + 9
    canvas.line(theme.MARGIN, y, canvas.width - theme.MARGIN, y, LineStyle(theme.INK, 1.4))
    return y + 6


def _ticks(picture: ChartPicture, canvas: Canvas) -> tuple[list[float], int]:
    """Round lengths in the picture's unit, and the decimals they need."""
    reach = canvas.frame.box.width / canvas.frame.scale_x / picture.measure.metres
    step = nice_step(reach, 6)
    return tick_values(0.0, reach, 6), tick_digits(step)


def _gridlines(canvas: Canvas, picture: ChartPicture, columns: _Columns, top: float, bottom: float) -> None:
    for value in _ticks(picture, canvas)[0]:
        x = _x(canvas, value * picture.measure.metres)
        style = LineStyle(theme.INK, 1.6) if value == 0 else theme.HAIR
        canvas.line(x, top - 6, x, bottom, style)


def _rows(canvas: Canvas, picture: ChartPicture, columns: _Columns, top: float) -> None:
    previous = None
    for row, height in zip(picture.rows, _row_heights(picture), strict=True):
        new = row.label != previous
        lead = _GROUP_GAP if new and previous is not None else 0.0
        if lead:
            canvas.line(theme.MARGIN, top + lead / 2, canvas.width - theme.MARGIN, top + lead / 2, theme.HAIR)
        _row(canvas, picture, columns, row, top + lead, named=new)
        top, previous = top + height, row.label


def _row(
    canvas: Canvas, picture: ChartPicture, columns: _Columns, row: ChartRow, top: float, *, named: bool
) -> None:
    middle = top + _ROW / 2
    baseline = middle + 7
    room = columns.bars_left - theme.MARGIN - _COLUMN_GAP / 2
    if named:
        canvas.text(theme.MARGIN, baseline, row.label, bold=True, room=room)
    if row.aside:
        canvas.text(theme.MARGIN, baseline + _ASIDE, row.aside, colour=theme.PENCIL, italic=True, room=room)
    _bar(canvas, row, middle)
    measure = picture.measure
    canvas.text(columns.carry, baseline, measure.bare(row.carry_m), anchor="end")
    canvas.text(columns.run, baseline, measure.bare(row.run_m), anchor="end", bold=True)
    words = _range_words(row, measure)
    if words:
        canvas.text(columns.interval, baseline, words, anchor="end", colour=theme.PENCIL)


def _bar(canvas: Canvas, row: ChartRow, middle: float) -> None:
    """Carry, then run from its end (backwards when the ball came back), with whiskers."""
    zero, landed, rest = (_x(canvas, v) for v in (0.0, row.carry_m, row.carry_m + row.run_m))
    edge = LineStyle(theme.INK, 1.3)
    top, bottom = middle - _BAR / 2, middle + _BAR / 2
    if landed - zero > 0.5:
        canvas.rectangle(Box(zero, top, landed, bottom), canvas.fill_of(Texture.SLANT), edge)
    low, high = sorted((landed, rest))
    if high - low > 0.5:
        inset = 0.0 if row.run_m >= 0 else _BAR / 4
        canvas.rectangle(Box(low, top + inset, high, bottom - inset), theme.ACCENT, edge)
    if row.carry_low_m is not None and row.carry_high_m is not None:
        _whisker(canvas, _x(canvas, row.carry_low_m), _x(canvas, row.carry_high_m), middle)
    if row.run_low_m is not None and row.run_high_m is not None:
        ends = (_x(canvas, row.carry_m + row.run_low_m), _x(canvas, row.carry_m + row.run_high_m))
        _whisker(canvas, *ends, middle)
    if landed - zero > 0.5 and row.carry_low_m is None:
        at = np.array([[landed, middle]])
        canvas.add(dots_svg(at, "dot", 12, theme.PAPER) + dots_svg(at, "dot", 8, theme.INK))


def _whisker(canvas: Canvas, left: float, right: float, middle: float) -> None:
    """A line with end strokes, ink over a casing of paper."""
    for style in (LineStyle(theme.PAPER, 5.5), LineStyle(theme.INK, 2.2)):
        canvas.line(left, middle, right, middle, style)
        for x in (left, right):
            canvas.line(x, middle - 7, x, middle + 7, style)


def _axis(canvas: Canvas, picture: ChartPicture, columns: _Columns, bottom: float) -> float:
    values, digits = _ticks(picture, canvas)
    canvas.line(columns.bars_left, bottom, columns.bars_right, bottom, LineStyle(theme.INK, 1.4))
    last = -math.inf
    for value in values:
        x = _x(canvas, value * picture.measure.metres)
        words = number(value, digits)
        half = text_width(words, theme.SMALL_SIZE) / 2
        canvas.line(x, bottom, x, bottom + 6, LineStyle(theme.INK, 1.4))
        if x - half > last + 6:
            last = canvas.text(x, bottom + 27, words, anchor="middle").right
    words = f"{picture.measure.many} from the start"
    left = max(last + 14, columns.bars_right + 14)
    if left + text_width(words, theme.SMALL_SIZE) <= canvas.width - theme.MARGIN:
        canvas.text(left, bottom + 27, words, italic=True)
        return bottom + 36
    canvas.text(columns.bars_right, bottom + 54, words, anchor="end", italic=True, room=canvas.width / 2)
    return bottom + 62


def _describe(picture: ChartPicture) -> str:
    if picture.alt:
        return picture.alt
    parts = [f"Carry and run in {picture.measure.many}."]
    for row in picture.rows:
        text = (
            f"{row.label}: carry {picture.measure.bare(row.carry_m)}, run {picture.measure.bare(row.run_m)}"
        )
        words = _range_words(row, picture.measure)
        parts.append(text + (f" ({picture.interval_words}: {words})." if words else "."))
    if not picture.rows:
        parts.append("No clubs to show yet.")
    if picture.note:
        parts.append(picture.note)
    return " ".join(parts)
