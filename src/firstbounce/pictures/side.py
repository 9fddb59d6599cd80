"""The side view: flight, first bounce, hops and roll along the line, over the profile of the ground."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.errors import ParameterError
from firstbounce.pictures import furniture, theme
from firstbounce.pictures.boxes import Array, Box, as_points
from firstbounce.pictures.canvas import Canvas, Label, labels_text, path_data, text_box
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import draw_notes, draw_title
from firstbounce.pictures.marks import Dots, Polyline, sampled
from firstbounce.pictures.text import METRES, Measure, coordinate, text_width
from firstbounce.pictures.theme import LineStyle

_STRETCHES = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0)  #: vertical exaggerations offered
_WANTED_HEIGHT = 190.0  #: the arc should stand at least this high [page units]
_MOST_HEIGHT = 330.0
_SKY, _SOIL = 52.0, 34.0  #: room above the arc and below the ground [page units]
_LEVEL = 58.0  #: height of one level of dimension lines [page units]


@dataclass(frozen=True, slots=True, kw_only=True)
class SidePicture:
    """One ball from the side. Points are (along the line, height) [m], both from the start's level."""

    title: str
    flight: ArrayLike | None = None  #: (n, 2), start to first bounce
    hops: ArrayLike | None = None  #: (n, 2), first bounce to the last hop
    roll: ArrayLike | None = None  #: (n, 2), skid and roll to rest
    ground: ArrayLike | None = None  #: (n, 2), level when missing
    hole_m: float | None = None  #: along the line [m]
    measure: Measure = METRES
    note: str = ""
    key: str = ""
    alt: str = ""

    def __post_init__(self) -> None:
        if self.hole_m is not None and not math.isfinite(self.hole_m):
            raise ParameterError(f"The hole of a side view has no usable place: {self.hole_m}.")


@dataclass(frozen=True, slots=True)
class SideNumbers:
    """What the dimension lines say [m]; None when the ball has no such part."""

    start: tuple[float, float]
    landed: tuple[float, float] | None
    rest: tuple[float, float] | None
    apex: tuple[float, float] | None

    @property
    def carry_m(self) -> float | None:
        """Start to first bounce along the line [m]."""
        return None if self.landed is None else self.landed[0] - self.start[0]

    @property
    def run_m(self) -> float | None:
        """First bounce (or start) to rest along the line [m]."""
        if self.rest is None:
            return None
        return self.rest[0] - (self.landed or self.start)[0]

    @property
    def apex_m(self) -> float | None:
        """Top of the flight above the start [m]."""
        return None if self.apex is None else self.apex[1] - self.start[1]


def side_view(picture: SidePicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_side(picture)
    return canvas.svg(picture.title, description)


def side_numbers(picture: SidePicture) -> SideNumbers:
    """Carry, run and apex of a side view."""
    flight, hops, roll = (as_points(part) for part in (picture.flight, picture.hops, picture.roll))
    everything = np.concatenate([flight, hops, roll])
    start = _pair(everything[0]) if len(everything) else (0.0, 0.0)
    landed = _pair(flight[-1]) if len(flight) > 1 else None
    rest = _pair(everything[-1]) if len(hops) or len(roll) else None
    apex = _pair(flight[int(np.argmax(flight[:, 1]))]) if len(flight) > 1 else None
    return SideNumbers(start, landed, rest, apex)


def compose_side(picture: SidePicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    numbers = side_numbers(picture)
    ground = _profile(picture)
    frame, stretch = _frame(picture, ground, 0.0)
    canvas = Canvas(picture.key or key_of("side", picture), frame)
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 8
    frame, stretch = _frame(picture, ground, top)
    canvas.frame = frame
    bottom = _draw_ground(canvas, ground)
    _draw_ball(canvas, picture, numbers)
    _draw_hole(canvas, picture, ground)
    lower = _draw_dimensions(canvas, picture, numbers, bottom)
    _want_labels(canvas, picture, numbers)
    canvas.place_labels(Box(theme.MARGIN, top, canvas.width - theme.MARGIN, _lowest_label(canvas, ground)))
    lines = [_stretch_words(stretch) if len(_everything(picture)) else "No ball yet."]
    lines += [picture.note] if picture.note else []
    if canvas.unplaced:
        lines.append(f"Not written in the picture: {labels_text(canvas.unplaced)}.")
    canvas.height = draw_notes(canvas, lines, lower) + theme.MARGIN * 0.7
    return canvas, _describe(picture, numbers, stretch)


def _pair(point: Array) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _everything(picture: SidePicture) -> Array:
    return np.concatenate([as_points(part) for part in (picture.flight, picture.hops, picture.roll)])


def _profile(picture: SidePicture) -> Array:
    """The ground line (n, 2), drawn a little beyond both ends of the ball's way."""
    ball = _everything(picture)
    along = np.concatenate([ball[:, 0], [0.0] if not len(ball) else [], _hole_along(picture)])
    low, high = float(along.min()), float(along.max())
    reach = max(high - low, 2.0)
    ends = np.array([low - 0.05 * reach, high + 0.14 * reach])
    given = as_points(picture.ground)
    if len(given) < 2:
        level = float(ball[0, 1]) if len(ball) else 0.0
        return np.column_stack([ends, [level, level]])
    given = given[np.argsort(given[:, 0], kind="stable")]
    inner = given[(given[:, 0] > ends[0]) & (given[:, 0] < ends[1])]
    outer = np.interp(ends, given[:, 0], given[:, 1])
    return np.concatenate([[[ends[0], outer[0]]], inner, [[ends[1], outer[1]]]])


def _hole_along(picture: SidePicture) -> list[float]:
    return [] if picture.hole_m is None else [picture.hole_m]


def _frame(picture: SidePicture, ground: Array, top: float) -> tuple[Frame, float]:
    """The frame and its vertical exaggeration: the least that lets the arc stand high enough."""
    points = np.concatenate([ground, _everything(picture)])
    width = theme.WIDTH - 2 * theme.MARGIN
    low, high = points.min(axis=0), points.max(axis=0)
    scale = width / (high[0] - low[0])
    natural = max(float(high[1] - low[1]) * scale, 1.0)
    fitting = [s for s in _STRETCHES if natural * s <= _MOST_HEIGHT] or [1.0]
    stretch = next((s for s in fitting if natural * s >= _WANTED_HEIGHT), fitting[-1])
    if natural > _MOST_HEIGHT:
        scale *= _MOST_HEIGHT / natural
    tall = float(high[1] - low[1]) * scale * stretch
    if high[1] - low[1] < 0.02:
        tall = 60.0
    box = Box(theme.MARGIN, top + _SKY, theme.WIDTH - theme.MARGIN, top + _SKY + tall)
    centre = (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)
    return Frame(box=box, centre=centre, scale_x=float(scale), scale_y=float(scale * stretch)), stretch


def _draw_ground(canvas: Canvas, ground: Array) -> float:
    """The ground line with hatching under it; returns the lowest point of the drawing."""
    page = canvas.page(ground)
    canvas.path(page, theme.EDGE)
    xs = np.arange(page[0, 0] + 8, page[-1, 0], 15.0)
    ys = np.interp(xs, page[:, 0], page[:, 1])
    data = "".join(path_data(np.array([[x, y], [x - 9, y + 10]])) for x, y in zip(xs, ys, strict=True))
    canvas.add(f'<path d="{data}" {theme.THIN.attributes()}/>')
    lowest = float(page[:, 1].max())
    canvas.keep_clear(sampled(page))
    canvas.keep_clear(np.column_stack([xs, ys + 8]))
    return lowest + _SOIL


def _draw_ball(canvas: Canvas, picture: SidePicture, numbers: SideNumbers) -> None:
    canvas.draw(Polyline(points=as_points(picture.roll), style=theme.RUN))
    canvas.draw(Polyline(points=as_points(picture.hops), style=LineStyle(theme.ACCENT, 2.6)))
    canvas.draw(Polyline(points=as_points(picture.flight), style=theme.FLIGHT, casing=True))
    if numbers.landed is not None:
        canvas.draw(Dots(points=[numbers.landed], size=13, colour=theme.ACCENT))
    if numbers.rest is not None:
        canvas.draw(Dots(points=[numbers.rest], size=16, colour=theme.PAPER))
        canvas.draw(Dots(points=[numbers.rest], size=12, colour=theme.ACCENT))
    if len(_everything(picture)):
        furniture.ball(canvas, canvas.page(as_points(numbers.start))[0])


def _draw_hole(canvas: Canvas, picture: SidePicture, ground: Array) -> None:
    if picture.hole_m is None:
        return
    z = float(np.interp(picture.hole_m, ground[:, 0], ground[:, 1]))
    furniture.flag(canvas, canvas.page(np.array([[picture.hole_m, z]]))[0], height=64)


def _draw_dimensions(canvas: Canvas, picture: SidePicture, numbers: SideNumbers, top: float) -> float:
    """Carry and run on dimension lines under the ground; returns the lower edge."""
    spans: list[tuple[float, float, str]] = []
    length = picture.measure.length
    if numbers.landed is not None and numbers.carry_m is not None:
        spans.append((numbers.start[0], numbers.landed[0], f"carry {length(numbers.carry_m)}"))
    if numbers.rest is not None and numbers.run_m is not None:
        first = (numbers.landed or numbers.start)[0]
        spans.append((first, numbers.rest[0], f"run {length(numbers.run_m)}"))
    _drop_lines(canvas, numbers, top)
    lower = top
    for first, last, words in spans:
        lower = max(lower, _dimension(canvas, (first, last), words, top))
    return lower


def _drop_lines(canvas: Canvas, numbers: SideNumbers, top: float) -> None:
    """Hairlines from the start, the first bounce and the rest down to the dimension line."""
    if numbers.landed is None and numbers.rest is None:
        return
    for point in (numbers.start, numbers.landed, numbers.rest):
        if point is not None:
            x, y = (float(v) for v in canvas.page(as_points(point))[0])
            canvas.line(x, y + 10, x, top + 3, LineStyle(theme.PENCIL, 1.1, (2, 4)))
            canvas.keep_clear(np.array([[x, y + 14], [x, y + 24], [x, y + 34]]))


def _dimension(canvas: Canvas, span: tuple[float, float], words: str, top: float) -> float:
    """One span with its words centred beneath, on the page; each a step lower until it has room.

    Returns the lower edge.
    """
    ends = sorted(canvas.page(np.array([[span[0], 0.0], [span[1], 0.0]]))[:, 0].tolist())
    y = top + 10
    while not canvas.free(Box(ends[0] + 1, y - 6, ends[1] - 1, y + 6)):
        y += _LEVEL
    style = LineStyle(theme.INK, 1.5)
    canvas.line(ends[0], y, ends[1], y, style)
    for x in ends:
        canvas.line(x, y - 7, x, y + 7, style)
    canvas.reserved.append(Box(ends[0], y - 7, ends[1], y + 7))
    width, left, right = (
        text_width(words, theme.BODY_SIZE, bold=True),
        theme.MARGIN,
        canvas.width - theme.MARGIN,
    )
    middle = min(max((ends[0] + ends[1]) / 2, left + width / 2), right - width / 2)
    y += 32
    while not canvas.free(text_box(middle, y, width, theme.BODY_SIZE, "middle").grown(3)):
        y += _LEVEL / 2
    canvas.text(middle, y, words, size=theme.BODY_SIZE, anchor="middle", bold=True)
    return y + 12


def _want_labels(canvas: Canvas, picture: SidePicture, numbers: SideNumbers) -> None:
    if numbers.landed is not None:
        canvas.draw(Label(("first bounce",), numbers.landed, theme.ACCENT, bold=True, clear=9))
    if numbers.apex is not None and numbers.apex_m is not None:
        canvas.draw(
            Label((f"top {picture.measure.height(numbers.apex_m)}",), numbers.apex, clear=4, prefer_deg=90)
        )
    if picture.hole_m is not None:
        ground = _profile(picture)
        z = float(np.interp(picture.hole_m, ground[:, 0], ground[:, 1]))
        canvas.draw(Label(("hole",), (picture.hole_m, z), bold=True, clear=12))
    if numbers.rest is not None and _has_room(canvas, numbers):
        canvas.draw(Label(("rest",), numbers.rest, theme.ACCENT, clear=9))


def _has_room(canvas: Canvas, numbers: SideNumbers) -> bool:
    """Whether the run is long enough on the page to name its end; the dimension line marks it anyway."""
    return abs(numbers.run_m or 0.0) * canvas.frame.scale_x > 2 * text_width("rest", theme.SMALL_SIZE)


def _lowest_label(canvas: Canvas, ground: Array) -> float:
    return float(canvas.page(ground)[:, 1].max()) + _SOIL - 4


def _stretch_words(stretch: float) -> str:
    if stretch == 1.0:
        return "Heights and lengths are to one scale."
    return f"Heights are drawn {coordinate(stretch)} times as large as lengths."


def _describe(picture: SidePicture, numbers: SideNumbers, stretch: float) -> str:
    if picture.alt:
        return picture.alt
    measure = picture.measure
    parts = ["One ball from the side."]
    if numbers.carry_m is not None:
        parts.append(f"Carry {measure.length(numbers.carry_m)} to the first bounce.")
    if numbers.apex_m is not None:
        parts.append(f"Top of the flight {measure.height(numbers.apex_m)} above the start.")
    if numbers.run_m is not None:
        parts.append(f"Run {measure.length(numbers.run_m)} to rest.")
    if picture.hole_m is not None and numbers.rest is not None:
        gap = numbers.rest[0] - picture.hole_m
        where = "past" if gap > 0 else "short of"
        parts.append(f"It stops {measure.length(abs(gap))} {where} the hole.")
    none = numbers.rest is None and numbers.landed is None
    parts.append("No ball yet." if none else _stretch_words(stretch))
    if picture.note:
        parts.append(picture.note)
    return " ".join(parts)
