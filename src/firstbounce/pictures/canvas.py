"""One picture in the making: collects SVG, maps the world to the page and keeps its labels apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Literal, NamedTuple, Protocol

import numpy as np

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.place import find_place, nearest_on
from firstbounce.pictures.text import coordinate, escape, shorten, text_width
from firstbounce.pictures.textures import Texture, flat_colour, pattern
from firstbounce.pictures.theme import LineStyle

Anchor = Literal["start", "middle", "end"]
ASCENT, DESCENT, LINE = 0.76, 0.24, 1.14  #: of the size: above and below the baseline, between baselines
_APART = 5.0  #: least distance of a label from other words [page units]
_EMPTY = np.empty((0, 3))


class Mark(Protocol):
    """Something that can be drawn on a canvas."""

    def draw(self, canvas: Canvas) -> None:
        """Add itself to the canvas."""


class Written(NamedTuple):
    """A line of text on the page and the space it takes."""

    text: str
    box: Box


class Label(NamedTuple):
    """Words that belong to a place; the canvas finds room for them when `place_labels` is called."""

    lines: tuple[str, ...]
    at: tuple[float, float]  #: world point [m]
    colour: str = theme.INK
    size: float = theme.SMALL_SIZE
    bold: bool = False  #: of the first line
    clear: float = 6.0  #: free distance around the place [page units]
    prefer_deg: int = 0  #: side tried first: 0 right, 90 above, 180 left, 270 below

    def draw(self, canvas: Canvas) -> None:
        """Ask the canvas for room; nothing is drawn before `place_labels`."""
        canvas.wanted.append(self)


class Canvas:
    """SVG in the making. `prefix` starts every id, so that several pictures can share one page."""

    def __init__(self, prefix: str, frame: Frame) -> None:
        self.prefix = prefix
        self.frame = frame
        self.width = theme.WIDTH
        self.height = 0.0  #: set by the view once it knows [page units]
        self.parts: list[str] = []
        self.definitions: dict[str, str] = {}
        self.written: list[Written] = []
        self.reserved: list[Box] = []  #: space that no label may use
        self.wanted: list[Label] = []
        self.unplaced: list[Label] = []
        self._busy: list[Array] = []

    # -- drawing ----------------------------------------------------------------------------------

    def draw(self, *marks: Mark) -> None:
        """Draw marks in order, in world coordinates of the frame."""
        for mark in marks:
            mark.draw(self)

    def add(self, svg: str) -> None:
        """Add ready SVG in page coordinates."""
        self.parts.append(svg)

    def page(self, points: Array) -> Array:
        """World points (n, 2) to page points (n, 2)."""
        return self.frame.page(points)

    def path(self, points: Array, style: LineStyle, *, closed: bool = False) -> None:
        """A line through page points (n, 2)."""
        if len(points) > 1:
            self.add(f'<path d="{path_data(points, closed=closed)}" {style.attributes()}/>')

    def line(self, x0: float, y0: float, x1: float, y1: float, style: LineStyle) -> None:
        """A straight line in page coordinates."""
        self.path(np.array([[x0, y0], [x1, y1]]), style)

    def rectangle(self, box: Box, fill: str, style: LineStyle | None = None) -> None:
        """A rectangle in page coordinates."""
        stroke = (style or LineStyle("none", 0)).attributes().replace('fill="none" ', "")
        self.add(
            f'<rect x="{coordinate(box.left)}" y="{coordinate(box.top)}" width="{coordinate(box.width)}" '
            f'height="{coordinate(box.height)}" fill="{fill}" {stroke}/>'
        )

    def fill_of(self, texture: Texture) -> str:
        """The fill attribute of a texture; its pattern is defined at first use."""
        flat = flat_colour(texture)
        if flat is not None:
            return flat
        element_id = f"{self.prefix}-{texture.value}"
        self.definitions.setdefault(element_id, pattern(texture, element_id))
        return f"url(#{element_id})"

    @contextmanager
    def clipped(self, box: Box) -> Iterator[None]:
        """Everything added inside is cut at the edges of the box."""
        element_id = f"{self.prefix}-clip{sum('-clip' in key for key in self.definitions)}"
        x, y, w, h = (coordinate(v) for v in (box.left, box.top, box.width, box.height))
        self.definitions[element_id] = (
            f'<clipPath id="{element_id}"><rect x="{x}" y="{y}" width="{w}" height="{h}"/></clipPath>'
        )
        self.add(f'<g clip-path="url(#{element_id})">')
        yield
        self.add("</g>")

    # -- text -------------------------------------------------------------------------------------

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = theme.SMALL_SIZE,
        colour: str = theme.INK,
        anchor: Anchor = "start",
        bold: bool = False,
        italic: bool = False,
        halo: bool = False,
        turn_deg: float = 0.0,
        room: float | None = None,
    ) -> Box:
        """Write one line with its baseline at y, cut to `room` [page units]; returns the space it takes."""
        if room is not None:
            words = shorten(words, size, room, bold=bold)
        box = text_box(x, y, text_width(words, size, bold=bold), size, anchor)
        if turn_deg:
            box = _turned_box(box, (x, y), turn_deg)
        extra = f' text-anchor="{anchor}"' if anchor != "start" else ""
        extra += ' font-weight="bold"' if bold else ""
        extra += ' font-style="italic"' if italic else ""
        if halo:
            extra += f' stroke="{theme.PAPER}" stroke-width="5" stroke-linejoin="round" paint-order="stroke"'
        if turn_deg:
            extra += f' transform="rotate({coordinate(turn_deg)} {coordinate(x)} {coordinate(y)})"'
        self.add(
            f'<text x="{coordinate(x)}" y="{coordinate(y)}" font-size="{size:g}" fill="{colour}"{extra}>'
            f"{escape(words)}</text>"
        )
        self.written.append(Written(words, box))
        return box

    def free(self, box: Box) -> bool:
        """True when no text and no reserved space lies in the box."""
        return not any(box.overlaps(other) for other in self.taken())

    def taken(self) -> list[Box]:
        """All space that labels must keep out of."""
        return [written.box for written in self.written] + self.reserved

    def keep_clear(self, points: Array, weight: float = 1.0) -> None:
        """Page points (n, 2) that labels had better not cover, and how much it matters (1 is usual)."""
        self._busy.append(np.column_stack([points, np.full(len(points), weight)]))

    def busy(self) -> Array:
        """Every point that labels had better not cover: x, y and weight (n, 3)."""
        return np.concatenate(self._busy) if self._busy else _EMPTY

    def place_labels(self, window: Box) -> None:
        """Find room for every wanted label, in the order they were drawn; the rest go to `unplaced`."""
        busy = self.busy()
        for label in self.wanted:
            self._place(label, window, busy)
        self.wanted = []

    def _place(self, label: Label, window: Box, busy: Array) -> None:
        room = window.width
        lines = [
            shorten(line, label.size, room, bold=label.bold and i == 0) for i, line in enumerate(label.lines)
        ]
        widths = [text_width(line, label.size, bold=label.bold and i == 0) for i, line in enumerate(lines)]
        height = label.size * (ASCENT + DESCENT + LINE * (len(lines) - 1))
        x, y = (float(v) for v in self.page(np.array([label.at]))[0])
        box = find_place(
            (x, y),
            (max(widths), height),
            window=window,
            taken=[box.grown(_APART) for box in self.taken()],
            busy=busy,
            clear=label.clear,
            prefer_deg=label.prefer_deg,
        )
        if box is None:
            self.unplaced.append(label)
            return
        self._leader(box, (x, y), label)
        anchor, at = _side(box, x)
        for i, line in enumerate(lines):
            baseline = box.top + label.size * (ASCENT + LINE * i)
            self.text(
                at,
                baseline,
                line,
                size=label.size,
                colour=label.colour,
                anchor=anchor,
                bold=label.bold and i == 0,
                halo=True,
            )

    def _leader(self, box: Box, at: tuple[float, float], label: Label) -> None:
        """A hairline from a label to its place when the two are far apart."""
        end = nearest_on(box, at)
        distance = math.hypot(end[0] - at[0], end[1] - at[1])
        if distance < label.clear + 24:
            return
        cut = label.clear / distance
        start = (at[0] + cut * (end[0] - at[0]), at[1] + cut * (end[1] - at[1]))
        self.line(*start, *end, LineStyle(label.colour, 1.2))

    # -- the end ----------------------------------------------------------------------------------

    def svg(self, title: str, description: str) -> str:
        """The finished picture, with its title and its text alternative."""
        names = f"{self.prefix}-title {self.prefix}-desc"
        size = f"{coordinate(self.width)} {coordinate(self.height)}"
        definitions = f"<defs>{''.join(self.definitions.values())}</defs>" if self.definitions else ""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" role="img" '
            f'aria-labelledby="{names}" font-family="{escape(theme.FONTS)}">'
            f'<title id="{self.prefix}-title">{escape(title)}</title>'
            f'<desc id="{self.prefix}-desc">{escape(description)}</desc>'
        )
        width, height = size.split()
        paper = f'<rect width="{width}" height="{height}" fill="{theme.PAPER}"/>'
        return "\n".join([head + definitions, paper, *self.parts, "</svg>\n"])


def text_box(x: float, y: float, width: float, size: float, anchor: Anchor) -> Box:
    """The space of one line of text whose baseline starts, centres or ends at (x, y)."""
    left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
    return Box(left, y - ASCENT * size, left + width, y + DESCENT * size)


def path_data(points: Array, *, closed: bool = False) -> str:
    """The d attribute of a path through page points, rounded to 0.1, repeated points left out."""
    pairs = [f"{coordinate(x)} {coordinate(y)}" for x, y in points.tolist()]
    kept = [pair for i, pair in enumerate(pairs) if i == 0 or pair != pairs[i - 1]]
    if len(kept) == 1:
        kept = kept * 2
    return "M" + "L".join(kept) + ("Z" if closed else "")


def legible_turn(degrees: float) -> float:
    """A direction of text turned by half a circle when it would stand on its head [deg], -90 to 90."""
    turned = (degrees + 180) % 360 - 180
    if turned > 90:
        return turned - 180
    return turned + 180 if turned < -90 else turned


def _turned_box(box: Box, about: tuple[float, float], turn_deg: float) -> Box:
    angle = math.radians(turn_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    xs, ys = [], []
    for px, py in (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    ):
        dx, dy = px - about[0], py - about[1]
        xs.append(about[0] + cos * dx - sin * dy)
        ys.append(about[1] + sin * dx + cos * dy)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _side(box: Box, x: float) -> tuple[Anchor, float]:
    """Text hangs on the side of the box that is nearest to its place."""
    if x <= box.left:
        return "start", box.left
    if x >= box.right:
        return "end", box.right
    return "middle", (box.left + box.right) / 2


def labels_text(labels: Sequence[Label]) -> str:
    """What labels without room would have said, as one sentence."""
    return "; ".join(" ".join(label.lines) for label in labels)
