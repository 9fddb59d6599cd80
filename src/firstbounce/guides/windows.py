"""Two windows of a log sheet, to scale: around landing spot and hole, with plain thin rings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.guides.content import Drawn
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Box
from firstbounce.pictures.canvas import Anchor, Canvas
from firstbounce.pictures.frame import Frame
from firstbounce.pictures.marks import Dots, Polyline, Ring
from firstbounce.pictures.theme import LineStyle
from firstbounce.units import METRES_PER_YARD, LengthUnit

SIDE_MM = 80.0  #: of a window on paper [mm]
LANDING_HALF, HOLE_HALF = 2.0, 4.0  #: half a window [metres, or yards]
LANDING_RINGS, HOLE_RINGS = (0.5, 1.0, 1.5), (1.0, 2.0, 3.0)  #: [metres, or yards]
TWO_PACES_M = 1.8  #: what a tally calls within two paces [m]
_RING = LineStyle(theme.PENCIL, 1.6)
_DASHED = LineStyle(theme.INK, 2.6, (9, 6))
_GRID = LineStyle(theme.FAINT, 1.2)
_EDGE = LineStyle(theme.INK, 2.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """What one window shows, in the long unit."""

    title: str
    half: float
    rings: tuple[float, ...]
    dashed_m: float  #: radius of the dashed ring [m]; 0 for none
    dashed_words: str
    unit: LengthUnit
    at_top: str
    centre_words: str

    @property
    def metres(self) -> float:
        """Length of the unit [m]."""
        return METRES_PER_YARD if self.unit is LengthUnit.YARDS else 1.0

    @property
    def short(self) -> str:
        """The unit beside a number."""
        return "yd" if self.unit is LengthUnit.YARDS else "m"

    @property
    def scale_words(self) -> str:
        """What a centimetre on paper is on the grass."""
        per_cm = 2 * self.half / (SIDE_MM / 10)
        many = {0.5: "half a", 1.0: "1"}.get(per_cm, f"{per_cm:g}")
        return f"1 cm on paper is {many} {'yard' if self.unit is LengthUnit.YARDS else 'metre'} on the grass"


def landing_window(unit: LengthUnit, circle_m: float = 0.0) -> Window:
    """The window around the landing spot; `circle_m` is the radius of the landing circle [m]."""
    fits = 0 < circle_m <= 0.97 * LANDING_HALF * (METRES_PER_YARD if unit is LengthUnit.YARDS else 1.0)
    return Window(
        title="Where it landed",
        half=LANDING_HALF,
        rings=LANDING_RINGS,
        dashed_m=circle_m if fits else 0.0,
        dashed_words="landing circle",
        unit=unit,
        at_top="to the hole",
        centre_words="landing spot",
    )


def hole_window(unit: LengthUnit) -> Window:
    """The window around the hole."""
    return Window(
        title="Where it finished",
        half=HOLE_HALF,
        rings=HOLE_RINGS,
        dashed_m=TWO_PACES_M,
        dashed_words="two paces",
        unit=unit,
        at_top="past the hole",
        centre_words="hole",
    )


def window_picture(window: Window) -> Drawn:
    """The window as SVG, square, and in words."""
    canvas = Canvas(f"window-{window.title.split()[-1]}", _frame(window))
    canvas.height = theme.WIDTH
    with canvas.clipped(canvas.frame.box):
        _grid(canvas, window)
        _rings(canvas, window)
    canvas.rectangle(canvas.frame.box, "none", _EDGE)
    _words(canvas, window)
    return Drawn(
        svg=canvas.svg(window.title, _described(window)), alt=f"{window.title}: {_described(window)}"
    )


def _frame(window: Window) -> Frame:
    inside = 2.0  #: the line of the edge stands inside the picture [page units]
    scale = theme.WIDTH / (2 * window.half * window.metres)
    box = Box(inside, inside, theme.WIDTH - inside, theme.WIDTH - inside)
    return Frame(box=box, centre=(0.0, 0.0), scale_x=scale, scale_y=scale)


def _grid(canvas: Canvas, window: Window) -> None:
    """Squared paper: half a unit, or a unit in the wider window."""
    step = 0.5 if window.half <= LANDING_HALF else 1.0
    reach = window.half * window.metres
    for k in np.arange(-window.half, window.half + step, step) * window.metres:
        for points in ([(k, -reach), (k, reach)], [(-reach, k), (reach, k)]):
            canvas.path(canvas.page(np.array(points)), _GRID)


def _rings(canvas: Canvas, window: Window) -> None:
    reach = window.half * window.metres
    canvas.draw(Polyline(points=[(0, -reach), (0, reach)], style=LineStyle(theme.PENCIL, 1.2)))
    for ring in window.rings:
        canvas.draw(Ring(centre=(0, 0), radius_m=ring * window.metres, style=_RING))
    if window.dashed_m:
        canvas.draw(Ring(centre=(0, 0), radius_m=window.dashed_m, style=_DASHED))
    canvas.draw(Dots(points=[(0, 0)], shape="cross", size=20, colour=theme.ACCENT))


def _words(canvas: Canvas, window: Window) -> None:
    """Ring sizes along the line to lower right, sides at the edges, the dashed ring named."""
    middle, edge = theme.WIDTH / 2, theme.WIDTH
    for ring in window.rings:
        at = canvas.page(np.array([[ring * window.metres * 0.7071, -ring * window.metres * 0.7071]]))[0]
        canvas.text(at[0] + 4, at[1] + 8, f"{ring:g} {window.short}", size=23, halo=True)
    canvas.text(middle + 8, 30, f"↑ {window.at_top}", size=24, halo=True)
    canvas.text(middle + 8, edge - 14, "short", size=24, halo=True)
    canvas.text(14, middle - 8, "left", size=24, halo=True)
    canvas.text(edge - 14, middle - 8, "right", size=24, anchor="end", halo=True)
    canvas.text(middle + 14, middle + 30, window.centre_words, size=23, colour=theme.ACCENT, halo=True)
    if window.dashed_m:
        _dashed_words(canvas, window)


def _dashed_words(canvas: Canvas, window: Window) -> None:
    """The name of the dashed ring at upper left: outside the ring where there is room, else inside."""
    outside = window.dashed_m < 0.75 * window.half * window.metres
    up = canvas.page(np.array([[-0.7071 * window.dashed_m, 0.7071 * window.dashed_m]]))[0]
    anchor: Anchor
    x, y, anchor = (up[0] - 8, up[1] - 6, "end") if outside else (up[0] + 12, up[1] + 26, "start")
    canvas.text(x, y, window.dashed_words, size=23, anchor=anchor, halo=True)


def _described(window: Window) -> str:
    rings = ", ".join(f"{ring:g}" for ring in window.rings)
    dashed = f" and a dashed ring, {window.dashed_words}" if window.dashed_m else ""
    return (
        f"a square window around the {window.centre_words} with rings at {rings} {window.short}{dashed}; "
        f"the line to the hole runs up; {window.scale_words}."
    )
