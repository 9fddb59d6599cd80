"""The set-up of a drill on one sheet: the ground from above, the ball close by, the person face on.

Every sign has its own shape, so that the sheet reads in black and white. Lengths are metres: x right of the
line, y to the target, from the ball. The target is up the page.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from firstbounce.errors import ParameterError
from firstbounce.pictures import furniture, theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.canvas import Canvas, labels_text
from firstbounce.pictures.figure import Figure
from firstbounce.pictures.frame import Frame, fit
from firstbounce.pictures.keys import key_of
from firstbounce.pictures.legend import draw_notes, draw_title
from firstbounce.pictures.setup_signs import Sign, draw_sign, sign_points
from firstbounce.pictures.text import METRES, Measure
from firstbounce.pictures.theme import LineStyle

_TALL, _HALF, _GAP, _HEAD = 560.0, 258.0, 16.0, 28.0  #: of windows and what is between them [page units]
_SIDE = 320.0  #: width of the window that shows all of it when there are others beside it [page units]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpPicture:
    """A drill's set-up. `signs` far from the ball, `near` close to it."""

    title: str
    signs: tuple[Sign, ...] = ()
    near: tuple[Sign, ...] = ()
    figure: Figure | None = None
    note: str = ""
    measure: Measure = METRES
    key: str = ""
    alt: str = ""

    def __post_init__(self) -> None:
        if not (self.signs or self.near or self.figure):
            raise ParameterError("A set-up needs at least one sign or a figure to draw.")


def set_up_view(picture: SetUpPicture) -> str:
    """The picture as SVG text."""
    canvas, description = compose_set_up(picture)
    return canvas.svg(picture.title, description)


def compose_set_up(picture: SetUpPicture) -> tuple[Canvas, str]:
    """The finished canvas and the text alternative."""
    empty = Frame(box=Box(0, 0, 1, 1), centre=(0, 0), scale_x=1, scale_y=1)
    canvas = Canvas(picture.key or key_of("setup", picture), empty)
    top = draw_title(canvas, picture.title, theme.MARGIN * 0.8) + 6
    lower = top
    for (words, part), box in zip(_parts(picture), _boxes(picture, top), strict=True):
        canvas.text(box.left, box.top - 8, words, italic=True, colour=theme.PENCIL, room=box.width)
        _window(canvas, part, box, picture.measure)
        lower = max(lower, box.bottom)
    notes = [picture.note] if picture.note else []
    if canvas.unplaced:
        notes.append(f"Not written in the picture: {labels_text(canvas.unplaced)}.")
    canvas.height = draw_notes(canvas, notes, lower + 6) + theme.MARGIN * 0.7
    return canvas, picture.alt or _describe(picture)


Part = tuple[Sign, ...] | Figure


def _parts(picture: SetUpPicture) -> list[tuple[str, Part]]:
    parts: list[tuple[str, Part]] = []
    if picture.signs:
        parts.append(("From above, target up", picture.signs))
    if picture.near:
        parts.append(("At the ball, from above", picture.near))
    if picture.figure:
        face = picture.figure.shows == "face"
        parts.append(("The club face" if face else "Face on", picture.figure))
    return parts


def _boxes(picture: SetUpPicture, top: float) -> list[Box]:
    """Windows in the order of the parts: one over the full width, or one tall and the others beside it."""
    left, right, top = theme.MARGIN, theme.WIDTH - theme.MARGIN, top + _HEAD
    n = len(_parts(picture))
    if n == 1:
        return [Box(left, top, right, top + (_TALL if picture.signs else 1.4 * _HALF))]
    if not picture.signs:
        middle = (left + right - _GAP) / 2
        return [
            Box(left, top, middle, top + 1.4 * _HALF),
            Box(middle + _GAP, top, right, top + 1.4 * _HALF),
        ]
    beside = left + _SIDE + _GAP
    tall = Box(left, top, left + _SIDE, top + _TALL)
    if n == 2:
        return [tall, Box(beside, top, right, top + _TALL)]
    half = (_TALL - _GAP - _HEAD) / 2
    return [
        tall,
        Box(beside, top, right, top + half),
        Box(beside, top + half + _GAP + _HEAD, right, top + _TALL),
    ]


def _window(canvas: Canvas, part: Part, box: Box, measure: Measure) -> None:
    """One window with its frame, its drawing and its words."""
    points = part.points() if isinstance(part, Figure) else sign_points(part)
    canvas.frame = _framed(points, box)
    with canvas.clipped(box):
        if isinstance(part, Figure):
            part.draw(canvas)
        else:
            furniture.squared_paper(canvas, measure)
            for sign in part:
                draw_sign(canvas, sign)
    canvas.rectangle(box, "none", LineStyle(theme.INK, 1.4))
    if not isinstance(part, Figure):
        furniture.scale_bar(canvas, measure)
    canvas.place_labels(box.grown(-5))


def _framed(points: Array, box: Box) -> Frame:
    """Equal scales that show all points in a window of a given size."""
    frame = fit(
        points,
        left=box.left,
        top=box.top,
        width=box.width,
        heights=(box.height, box.height),
        margin=0.13,
        least_m=0.2,
    )
    return replace(frame, box=box)


def _describe(picture: SetUpPicture) -> str:
    """The sheet in sentences."""
    parts = []
    for words, signs in (
        ("Seen from above, the target up the page", picture.signs),
        ("Close to the ball", picture.near),
    ):
        said = [sign.said for sign in signs if sign.said]
        if said:
            parts.append(f"{words}: {'; '.join(said)}.")
    if picture.figure and picture.figure.words:
        parts.append(f"Face on: {picture.figure.words}.")
    if picture.note:
        parts.append(picture.note)
    return " ".join(parts) or picture.title
