"""The green from above: ground, height lines, start, hole, landing circle, finishes and path."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.pictures import furniture, theme
from firstbounce.pictures.boxes import Array, as_points, thinned
from firstbounce.pictures.canvas import Canvas, Label, labels_text
from firstbounce.pictures.frame import Frame, fit
from firstbounce.pictures.green_data import (
    BallPath,
    GreenPicture,
    GroundArea,
    LandingCircle,
    LandingSpread,
)
from firstbounce.pictures.green_words import describe, legend_entries, notes
from firstbounce.pictures.heights import Heights, draw_height_lines, write_heights
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import draw_legend, draw_notes, draw_title
from firstbounce.pictures.marks import Area, Dots, Ellipse, Polyline, Ring
from firstbounce.pictures.textures import TEXTURE_OF, Texture
from firstbounce.pictures.theme import LineStyle

__all__ = [
    "BallPath",
    "GreenPicture",
    "GroundArea",
    "Heights",
    "LandingCircle",
    "LandingSpread",
    "compose_green",
    "green_view",
]

MOST_FINISHES = 500  #: more dots than this are thinned, and the legend says so
MOST_LANDINGS = 80
_HEIGHTS = (430.0, 820.0)  #: lowest and highest window [page units]
_TAIL = 1.0  #: share of a cloud, at each end, that the zoom may leave out [percent]


def green_view(picture: GreenPicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_green(picture)
    return canvas.svg(picture.title, description)


def compose_green(picture: GreenPicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    canvas = Canvas(picture.key or key_of("green", picture), _frame(picture, 0.0))
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 8
    canvas.frame = _frame(picture, top)
    window = canvas.frame.box
    landings, finishes, holed = _clouds(picture)
    zero = _zero(picture)
    with canvas.clipped(window):
        _ground(canvas, picture)
        step = draw_height_lines(canvas, picture.heights, zero) if picture.heights else 0.0
        _balls(canvas, picture, landings, finishes, holed)
        _path(canvas, picture)
        canvas.draw(*picture.marks)
    canvas.rectangle(window, "none", LineStyle(theme.INK, 1.4))
    _signs(canvas, picture)
    scale_words = furniture.scale_bar(canvas, picture.measure)
    if picture.start and picture.hole and picture.start != picture.hole:
        direction = (picture.hole[0] - picture.start[0], picture.hole[1] - picture.start[1])
        furniture.compass(canvas, direction, "line to hole")
    canvas.place_labels(window.grown(-6))
    if picture.heights:
        write_heights(canvas, picture.heights, zero, step)
    sizes = (len(as_points(picture.landings)), len(as_points(picture.finishes)))
    entries = legend_entries(picture, step, (len(landings), len(finishes)), sizes)
    top = draw_legend(canvas, entries if picture.legend else [], window.bottom + 14)
    outside = int((~window.inside(canvas.page(as_points(picture.finishes)))).sum())
    top = draw_notes(canvas, notes(picture, outside, labels_text(canvas.unplaced)), top)
    canvas.height = top + theme.MARGIN * 0.7
    return canvas, describe(picture, step, scale_words)


def _turn(picture: GreenPicture) -> float:
    if picture.up == "away" or picture.start is None or picture.hole is None or picture.start == picture.hole:
        return 0.0
    return math.pi / 2 - math.atan2(picture.hole[1] - picture.start[1], picture.hole[0] - picture.start[0])


def _frame(picture: GreenPicture, top: float) -> Frame:
    width = theme.WIDTH - 2 * theme.MARGIN
    points = _content(picture)
    return fit(
        points, left=theme.MARGIN, top=top, width=width, heights=_HEIGHTS, turn=_turn(picture), margin=0.1
    )


def _content(picture: GreenPicture) -> Array:
    """World points that the zoom must show; the whole green when there is nothing else."""
    pieces = [as_points(point) for point in (picture.start, picture.hole) if point is not None]
    if picture.circle:
        r = picture.circle.radius_m
        pieces.append(np.asarray(picture.circle.centre) + r * np.array([[1, 0], [-1, 0], [0, 1], [0, -1]]))
    if picture.spread:
        pieces.append(_ellipse(picture.spread).points())
    if picture.path:
        pieces += [as_points(picture.path.flight), as_points(picture.path.run)]
    pieces += [_without_tail(as_points(cloud)) for cloud in (picture.landings, picture.finishes)]
    pieces.append(as_points(picture.mark_points))
    points = np.concatenate(pieces) if pieces else np.empty((0, 2))
    return points if len(points) else as_points(picture.outline)


def _without_tail(cloud: Array) -> Array:
    """A cloud without its outermost part along each axis, when it is large enough to have one."""
    if len(cloud) < 30:
        return cloud
    low, high = np.percentile(cloud, [_TAIL, 100 - _TAIL], axis=0)
    return cloud[((cloud >= low) & (cloud <= high)).all(axis=1)]


def _ellipse(spread: LandingSpread) -> Ellipse:
    return Ellipse(
        centre=spread.centre,
        half_long_m=spread.half_long_m,
        half_short_m=spread.half_short_m,
        turn_deg=spread.turn_deg,
    )


def _clouds(picture: GreenPicture) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Landings and finishes to draw, thinned, and which finishes are holed."""
    landings = as_points(picture.landings)
    landings = landings[thinned(len(landings), MOST_LANDINGS)]
    raw = np.asarray(picture.finishes if picture.finishes is not None else [], dtype=float).reshape(-1, 2)
    finite = np.isfinite(raw).all(axis=1)
    holed = np.zeros(len(raw), bool) if picture.holed is None else np.asarray(picture.holed, bool)
    if len(holed) != len(raw):
        raise ParameterError(f"{len(holed)} holed marks for {len(raw)} finishes: one is needed for each.")
    keep = thinned(int(finite.sum()), MOST_FINISHES)
    return landings, raw[finite][keep], holed[finite][keep]


def _zero(picture: GreenPicture) -> float:
    """The height that is written as zero: the hole's, or that of the frame."""
    if picture.heights is None or picture.hole is None:
        return 0.0
    z = float(picture.heights.at(np.array([picture.hole], dtype=float))[0])
    return z if math.isfinite(z) else 0.0


def _ground(canvas: Canvas, picture: GreenPicture) -> None:
    around = TEXTURE_OF.get(picture.around.lower(), Texture.BLANK)
    canvas.rectangle(canvas.frame.box, canvas.fill_of(around))
    if around is Texture.BLANK:
        furniture.squared_paper(canvas, picture.measure)
    for area in picture.areas:
        canvas.draw(Area(outline=area.outline, texture=area.drawn_texture()))
    if picture.outline is not None:
        canvas.draw(Area(outline=picture.outline, texture=Texture.SMOOTH, style=theme.EDGE))
    for area in picture.patches:
        canvas.draw(Area(outline=area.outline, texture=area.drawn_texture()))


def _balls(
    canvas: Canvas, picture: GreenPicture, landings: Array, finishes: Array, holed: NDArray[np.bool_]
) -> None:
    circle = picture.circle
    few = len(landings) <= 40
    if circle:
        blank = LineStyle("none", 0.0)
        canvas.draw(Ring(centre=circle.centre, radius_m=circle.radius_m, style=blank, wash=theme.WASH))
    crowd = 1.0 if len(finishes) < 60 else 0.6
    canvas.draw(Dots(points=finishes[~holed], size=7 if len(finishes) < 60 else 5.5, opacity=crowd))
    canvas.draw(Dots(points=finishes[holed], shape="ring", size=12))
    canvas.draw(
        Dots(
            points=landings,
            shape="cross",
            size=7 if few else 6,
            colour=theme.ACCENT,
            opacity=1 if few else 0.7,
        )
    )
    if picture.spread:
        canvas.draw(_ellipse(picture.spread))
    if circle:
        canvas.draw(Ring(centre=circle.centre, radius_m=circle.radius_m))


def _path(canvas: Canvas, picture: GreenPicture) -> None:
    if picture.path is None:
        return
    flight, run = as_points(picture.path.flight), as_points(picture.path.run)
    canvas.draw(Polyline(points=run, style=theme.RUN, casing=True))
    canvas.draw(Polyline(points=flight, style=theme.FLIGHT, casing=True))
    if len(flight) and len(run):
        canvas.draw(Dots(points=flight[-1:], size=12, colour=theme.ACCENT))
    if len(run):
        canvas.draw(Dots(points=run[-1:], size=15, colour=theme.PAPER))
        canvas.draw(Dots(points=run[-1:], size=11, colour=theme.ACCENT))


def _signs(canvas: Canvas, picture: GreenPicture) -> None:
    """Ball, flag and their labels."""
    if picture.hole is not None:
        furniture.flag(canvas, canvas.page(as_points(picture.hole))[0])
    if picture.start is not None:
        furniture.ball(canvas, canvas.page(as_points(picture.start))[0])
    if picture.circle is not None:
        radius = picture.circle.radius_m * canvas.frame.scale_x
        words = _circle_words(picture, picture.circle)
        canvas.draw(Label(words, picture.circle.centre, theme.ACCENT, bold=True, clear=radius + 2))
    if picture.hole is not None:
        canvas.draw(Label(_hole_words(picture), picture.hole, bold=True, clear=10))
    if picture.start is not None:
        canvas.draw(Label(("start",), picture.start, bold=True, clear=10))


def _hole_words(picture: GreenPicture) -> tuple[str, ...]:
    if picture.start is None or picture.hole is None:
        return ("hole",)
    return ("hole", picture.measure.length(math.dist(picture.start, picture.hole)))


def _circle_words(picture: GreenPicture, circle: LandingCircle) -> tuple[str, ...]:
    if picture.start is None:
        return ("land here",)
    return ("land here", picture.measure.length(math.dist(picture.start, circle.centre)))
