"""Height lines of a grid of heights, with their numbers and downhill ticks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from firstbounce.errors import ParameterError
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.canvas import Canvas, legible_turn, path_data
from firstbounce.pictures.marks import sampled
from firstbounce.pictures.place import covered_weight
from firstbounce.pictures.text import coordinate, signed, text_width
from firstbounce.pictures.ticks import nice_step

_TICK_EVERY = 46.0  #: distance between downhill ticks along a line [page units]
_TICK_LENGTH = 6.0
_MOST_LINES = 9
_FLAT = 0.002  #: less difference than this over the picture is called level [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights on a grid: the first sample at (x0, y0), rows away, columns right. Not finite: unknown."""

    x0_m: float
    y0_m: float
    cell_m: float
    heights_m: ArrayLike  #: (ny, nx) [m]

    def array(self) -> Array:
        """The heights (ny, nx) [m]; raises when they are no grid."""
        heights = np.asarray(self.heights_m, dtype=np.float64)
        if heights.ndim != 2 or min(heights.shape) < 2 or not self.cell_m > 0:
            raise ParameterError(
                f"Height lines need a grid of at least 2 by 2 heights and a cell above 0 m, "
                f"got {heights.shape} and {self.cell_m:g} m."
            )
        return heights

    def at(self, points: Array) -> Array:
        """Heights at world points (n, 2) [m] between the samples, bilinear; held at the edges."""
        z = self.array()
        ny, nx = z.shape
        u = np.clip((points[:, 0] - self.x0_m) / self.cell_m, 0, nx - 1)
        v = np.clip((points[:, 1] - self.y0_m) / self.cell_m, 0, ny - 1)
        i, j = np.minimum(u.astype(int), nx - 2), np.minimum(v.astype(int), ny - 2)
        a, b = u - i, v - j
        low = z[j, i] * (1 - a) + z[j, i + 1] * a
        high = z[j + 1, i] * (1 - a) + z[j + 1, i + 1] * a
        return low * (1 - b) + high * b


def draw_height_lines(canvas: Canvas, heights: Heights, zero_m: float) -> float:
    """Draw the lines of equal height in view, ticked downhill; returns their step [m], 0 when level."""
    seen = _seen_span(canvas, heights)
    if seen is None or seen[1] - seen[0] < _FLAT:
        return 0.0
    step = nice_step(seen[1] - seen[0], _MOST_LINES)
    drawn: list[Array] = []
    levels = _levels(seen[0] - zero_m, seen[1] - zero_m, step)
    traced = _traced(heights, [level + zero_m for level in levels])
    for level, level_lines in zip(levels, traced, strict=True):
        main = round(level / step) % 5 == 0
        style = theme.HEIGHT_LINE_MAIN if main else theme.HEIGHT_LINE
        for line in level_lines:
            page = _simplified(canvas.page(line))
            if _length(page) > 30:
                canvas.path(page, style)
                _downhill_ticks(canvas, heights, page)
                drawn.append(sampled(page, every=12.0))
    for page in drawn:
        canvas.keep_clear(page, 0.2)
    return step


def write_heights(canvas: Canvas, heights: Heights, zero_m: float, step_m: float) -> None:
    """Number the lines where there is room; call after everything else has its place."""
    seen = _seen_span(canvas, heights)
    if seen is None or not step_m > 0:
        return
    busy = canvas.busy()
    levels = _levels(seen[0] - zero_m, seen[1] - zero_m, step_m)
    traced = _traced(heights, [level + zero_m for level in levels])
    for level, level_lines in zip(levels, traced, strict=True):
        words = signed(level * 100, 0 if step_m >= 0.0099 else 1)
        lines = [_simplified(canvas.page(line)) for line in level_lines]
        for page in sorted(lines, key=_length, reverse=True)[:2]:
            _write_on_line(canvas, page, words, busy)


def _levels(low: float, high: float, step: float) -> list[float]:
    first, last = math.ceil(low / step + 1e-9), math.floor(high / step - 1e-9)
    return [k * step for k in range(first, last + 1)]


def _seen_span(canvas: Canvas, heights: Heights) -> tuple[float, float] | None:
    """Lowest and highest known height in the window."""
    box = canvas.frame.box
    us, vs = np.meshgrid(np.linspace(box.left, box.right, 41), np.linspace(box.top, box.bottom, 41))
    world = canvas.frame.world(np.column_stack([us.ravel(), vs.ravel()]))
    ny, nx = heights.array().shape
    right, far = heights.x0_m + heights.cell_m * (nx - 1), heights.y0_m + heights.cell_m * (ny - 1)
    on = (world[:, 0] >= heights.x0_m) & (world[:, 0] <= right)
    on &= (world[:, 1] >= heights.y0_m) & (world[:, 1] <= far)
    z = heights.at(world[on]) if on.any() else np.empty(0)
    z = z[np.isfinite(z)]
    return (float(z.min()), float(z.max())) if len(z) else None


def _traced(heights: Heights, levels: list[float]) -> list[list[Array]]:
    """The lines (n, 2) of each level, in world coordinates."""
    import contourpy

    z = heights.array()
    ny, nx = z.shape
    x = heights.x0_m + heights.cell_m * np.arange(nx)
    y = heights.y0_m + heights.cell_m * np.arange(ny)
    generator = contourpy.contour_generator(x, y, np.ma.masked_invalid(z), name="serial")
    return [[np.asarray(line, dtype=np.float64) for line in generator.lines(level)] for level in levels]


def _simplified(page: Array, least: float = 3.0) -> Array:
    """Points of a page line at least `least` units apart, both ends kept."""
    kept = [0]
    for i in range(1, len(page) - 1):
        if np.hypot(*(page[i] - page[kept[-1]])) >= least:
            kept.append(i)
    return page[[*kept, len(page) - 1]]


def _length(page: Array) -> float:
    return float(np.hypot(*np.diff(page, axis=0).T).sum())


def _downhill_ticks(canvas: Canvas, heights: Heights, page: Array) -> None:
    """Short strokes on the lower side of a height line, at equal distances."""
    at, normal = _along(page, _TICK_EVERY)
    if not len(at):
        return
    probe = 6.0
    sides = [heights.at(canvas.frame.world(at + sign * probe * normal)) for sign in (1, -1)]
    down = normal * np.where(sides[0] < sides[1], 1.0, -1.0)[:, None]
    ends = at + _TICK_LENGTH * down
    data = "".join(path_data(np.array([a, b])) for a, b in zip(at, ends, strict=True))
    canvas.add(f'<path d="{data}" {theme.HEIGHT_LINE.attributes()}/>')


def _along(page: Array, every: float) -> tuple[Array, Array]:
    """Points at equal distances along a page line, and the unit normals there."""
    pieces = np.hypot(*np.diff(page, axis=0).T)
    distance = np.concatenate([[0.0], np.cumsum(pieces)])
    where = np.arange(every / 2, distance[-1], every)
    at = np.column_stack([np.interp(where, distance, page[:, k]) for k in (0, 1)])
    piece = np.clip(np.searchsorted(distance, where, side="right") - 1, 0, len(pieces) - 1)
    tangent = (page[piece + 1] - page[piece]) / np.maximum(pieces[piece], 1e-9)[:, None]
    return at, np.column_stack([-tangent[:, 1], tangent[:, 0]])


def _write_on_line(canvas: Canvas, page: Array, words: str, busy: Array) -> None:
    """One number on the line, where it covers least; nothing when there is no room."""
    if _length(page) < 90:
        return
    size = theme.SMALL_SIZE
    window = canvas.frame.box.grown(-6)
    best: tuple[float, Array, float] | None = None
    at, normal = _along(page, 24.0)
    for point, n in zip(at, normal, strict=True):
        degrees = legible_turn(math.degrees(math.atan2(-n[0], n[1])))
        box = _number_box(point, text_width(words, size), size, degrees)
        if not window.holds(box) or not canvas.free(box):
            continue
        cost = covered_weight(box.grown(6), busy) + abs(degrees) / 90
        if best is None or cost < best[0] - 1e-9:
            best = (cost, point, degrees)
    if best is not None and best[0] < 8:
        _write_number(canvas, best[1], best[2], words)


def _number_box(point: Array, width: float, size: float, degrees: float) -> Box:
    """The upright box around a turned number centred on a point; generous."""
    angle = math.radians(degrees)
    half_w = (abs(math.cos(angle)) * width + abs(math.sin(angle)) * size) / 2 + 2
    half_h = (abs(math.sin(angle)) * width + abs(math.cos(angle)) * size) / 2 + 2
    return Box(point[0] - half_w, point[1] - half_h, point[0] + half_w, point[1] + half_h)


def _write_number(canvas: Canvas, point: Array, degrees: float, words: str) -> None:
    size = theme.SMALL_SIZE
    drop = 0.3 * size  # from the middle of a figure down to its baseline
    angle = math.radians(degrees)
    x, y = point[0] - drop * math.sin(angle), point[1] + drop * math.cos(angle)
    canvas.text(
        float(x),
        float(y),
        words,
        size=size,
        colour=theme.PENCIL,
        anchor="middle",
        italic=True,
        halo=True,
        turn_deg=degrees,
    )
    canvas.keep_clear(sampled(point[None, :]))


def swatch(x: float, y: float, width: float) -> str:
    """A short height line with its ticks for a legend, its left end at (x, y)."""
    ticks = "".join(f"M{coordinate(x + k * width / 4)} {coordinate(y)}v{_TICK_LENGTH:g}" for k in (1, 2, 3))
    return (
        f'<path d="M{coordinate(x)} {coordinate(y)}h{coordinate(width)}{ticks}" {theme.THIN.attributes()}/>'
    )
