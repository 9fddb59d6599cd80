"""Small things to draw, in world coordinates [m]: lines, dots, rings, ellipses, arrows, bands, dimensions.

Each is frozen and draws itself on a `Canvas`. `Label` lives beside the canvas, which finds room for it.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, as_points
from firstbounce.pictures.canvas import Canvas, Label, path_data
from firstbounce.pictures.text import coordinate
from firstbounce.pictures.textures import Texture
from firstbounce.pictures.theme import LineStyle

DotShape = Literal["dot", "cross", "ring"]
_CIRCLE_POINTS = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """A line through points (n, 2) [m]; `casing` lays paper under it so that it stands clear."""

    points: ArrayLike
    style: LineStyle = theme.EDGE
    closed: bool = False
    casing: bool = False

    def draw(self, canvas: Canvas) -> None:
        """Draw it and ask labels to stay off it."""
        page = canvas.page(as_points(self.points))
        if self.casing:
            canvas.path(page, LineStyle(theme.PAPER, self.style.width + 3.5, opacity=0.8), closed=self.closed)
        canvas.path(page, self.style, closed=self.closed)
        canvas.keep_clear(sampled(page), 3.0 if self.casing else 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A polygon (n, 2) [m] filled with a texture."""

    outline: ArrayLike
    texture: Texture
    style: LineStyle | None = theme.THIN

    def draw(self, canvas: Canvas) -> None:
        """Draw the area; labels may lie on it but had better not on its edge."""
        page = canvas.page(as_points(self.outline))
        if len(page) < 3:
            return
        edge = (self.style or LineStyle("none", 0)).attributes().replace('fill="none" ', "")
        canvas.add(f'<path d="{path_data(page, closed=True)}" fill="{canvas.fill_of(self.texture)}" {edge}/>')
        canvas.keep_clear(sampled(np.concatenate([page, page[:1]]), every=12.0), 0.25)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dots:
    """Equal small marks at points (n, 2) [m]; `size` is across [page units]."""

    points: ArrayLike
    shape: DotShape = "dot"
    size: float = 6.0
    colour: str = theme.INK
    opacity: float = 1.0

    def draw(self, canvas: Canvas) -> None:
        """Draw all of them as one path."""
        page = canvas.page(as_points(self.points))
        if len(page):
            canvas.add(dots_svg(page, self.shape, self.size, self.colour, self.opacity))
            canvas.keep_clear(page)


def dots_svg(page: Array, shape: DotShape, size: float, colour: str, opacity: float = 1.0) -> str:
    """SVG of equal marks at page points (n, 2), in one path.

    A dot is a round cap on a line of 0.1 units: a line of no length is lost on the way to PDF.
    """
    fade = f' opacity="{opacity:g}"' if opacity < 1 else ""
    half = size / 2
    arm, across = coordinate(half), coordinate(size)
    tail, width = {
        "dot": ("h.1", size),
        "cross": (f"m-{arm} -{arm}l{across} {across}m0 -{across}l-{across} {across}", 1.5),
        "ring": (f"m-{arm} 0a{arm} {arm} 0 1 0 {across} 0a{arm} {arm} 0 1 0 -{across} 0", 1.8),
    }[shape]
    data = "".join(f"M{coordinate(x)} {coordinate(y)}{tail}" for x, y in page.tolist())
    return (
        f'<path d="{data}" fill="none" stroke="{colour}" stroke-width="{width:g}" '
        f'stroke-linecap="round"{fade}/>'
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """An ellipse outline: centre and half axes [m], the first axis turned anticlockwise from x [deg]."""

    centre: tuple[float, float]
    half_long_m: float
    half_short_m: float
    turn_deg: float = 0.0
    style: LineStyle = theme.SPREAD
    wash: str | None = None

    def points(self) -> Array:
        """Points of the outline (n, 2) [m]."""
        t = np.linspace(0, 2 * math.pi, _CIRCLE_POINTS, endpoint=False)
        a, b = self.half_long_m * np.cos(t), self.half_short_m * np.sin(t)
        cos, sin = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        return np.column_stack([self.centre[0] + cos * a - sin * b, self.centre[1] + sin * a + cos * b])

    def draw(self, canvas: Canvas) -> None:
        """Draw it, with a light wash inside when asked for."""
        page = canvas.page(self.points())
        if self.wash:
            data = path_data(page, closed=True)
            canvas.add(f'<path d="{data}" fill="{self.wash}" fill-opacity="0.35"/>')
        canvas.path(page, self.style, closed=True)
        canvas.keep_clear(sampled(page))


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A circle outline: centre and radius [m]."""

    centre: tuple[float, float]
    radius_m: float
    style: LineStyle = theme.CIRCLE
    wash: str | None = None

    def draw(self, canvas: Canvas) -> None:
        """Draw it as the round ellipse that it is."""
        r = self.radius_m
        Ellipse(centre=self.centre, half_long_m=r, half_short_m=r, style=self.style, wash=self.wash).draw(
            canvas
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """A straight arrow from tail to head [m]."""

    tail: tuple[float, float]
    head: tuple[float, float]
    style: LineStyle = theme.EDGE

    def draw(self, canvas: Canvas) -> None:
        """Draw shaft and head."""
        page = canvas.page(np.array([self.tail, self.head], dtype=float))
        arrow_svg(canvas, page[0], page[1], self.style)
        canvas.keep_clear(sampled(page))


def arrow_svg(canvas: Canvas, tail: Array, head: Array, style: LineStyle, *, barb: float = 13.0) -> None:
    """An arrow between two page points; too short an arrow becomes a dot."""
    along = head - tail
    length = float(np.hypot(*along))
    if length < 1.0:
        canvas.add(dots_svg(head[None, :], "dot", style.width * 2, style.colour))
        return
    along = along / length
    across = np.array([-along[1], along[0]])
    size = min(barb, length * 0.6)
    base = head - size * along
    canvas.path(np.array([tail, base + 0.2 * size * along]), style)
    wings = np.array([head, base + 0.42 * size * across, base - 0.42 * size * across])
    canvas.add(f'<path d="{path_data(wings, closed=True)}" fill="{style.colour}"/>')


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The strip between two curves low(x) and high(x), arrays (n,) in world units."""

    x: ArrayLike
    low: ArrayLike
    high: ArrayLike
    texture: Texture | None = None
    colour: str = theme.FAINT
    opacity: float = 0.6

    def draw(self, canvas: Canvas) -> None:
        """Draw the strip without an edge."""
        low = as_points(np.column_stack([np.asarray(self.x, float), np.asarray(self.low, float)]))
        high = as_points(np.column_stack([np.asarray(self.x, float), np.asarray(self.high, float)]))
        page = canvas.page(np.concatenate([low, high[::-1]]))
        if len(page) < 3:
            return
        fill = canvas.fill_of(self.texture) if self.texture else self.colour
        data = path_data(page, closed=True)
        canvas.add(f'<path d="{data}" fill="{fill}" fill-opacity="{self.opacity:g}"/>')


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A dimension line from a to b [m], moved aside by `aside` [page units], its number in the middle."""

    a: tuple[float, float]
    b: tuple[float, float]
    words: str
    aside: float = 0.0  #: to the right of the direction a to b on the page
    colour: str = theme.INK
    size: float = theme.SMALL_SIZE

    def draw(self, canvas: Canvas) -> None:
        """Draw line, end strokes and words (beside the line, upright on the page)."""
        page = canvas.page(np.array([self.a, self.b], dtype=float))
        along = page[1] - page[0]
        length = float(np.hypot(*along))
        if length < 1.0:
            return
        across = np.array([-along[1], along[0]]) / length
        ends = page + self.aside * across
        style = LineStyle(self.colour, 1.4)
        canvas.path(ends, style)
        for end in ends:
            canvas.path(np.array([end - 6 * across, end + 6 * across]), style)
        canvas.keep_clear(sampled(ends))
        middle = canvas.frame.world(ends.mean(axis=0)[None, :])[0]
        at = (float(middle[0]), float(middle[1]))
        outwards = across if self.aside >= 0 else -across
        canvas.draw(
            Label(
                (self.words,),
                at,
                colour=self.colour,
                size=self.size,
                clear=4.0,
                prefer_deg=_compass_deg(outwards),
            )
        )


def _compass_deg(direction: Array) -> int:
    """The nearest of the eight directions of a label, anticlockwise from right, of a page direction."""
    return round(math.degrees(math.atan2(-direction[1], direction[0])) / 45) % 8 * 45


def sampled(page: Array, every: float = 9.0) -> Array:
    """Points along a page line no further apart than `every` [page units]."""
    if len(page) < 2:
        return page
    pieces = []
    for a, b in itertools.pairwise(page):
        n = max(1, min(400, int(np.hypot(*(b - a)) / every)))
        pieces.append(a + (b - a) * (np.arange(n) / n)[:, None])
    return np.concatenate([*pieces, page[-1:]])
