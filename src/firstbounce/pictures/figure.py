"""A person at a ball, seen face on, as a few pencil strokes; metres, x to the target, y up."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Array
from firstbounce.pictures.canvas import Canvas, Label, path_data
from firstbounce.pictures.marks import Arrow, Dots, Ellipse, Polyline, Ring, sampled
from firstbounce.pictures.text import coordinate, wrap
from firstbounce.pictures.theme import LineStyle

SHOWS: tuple[str, ...] = (
    "address",
    "soft ball",
    "towel",
    "lead foot",
    "stick",
    "hold",
    "arcs",
    "tempo",
    "face",
    "uphill",
    "downhill",
)

SWINGING = ("stick", "hold", "arcs", "tempo")  #: need room to both sides

SHOULDER = np.array([0.0, 1.38])  #: between the shoulders [m]
ARM_M, SHAFT_M = 0.60, 0.80  #: as seen, foreshortened [m]
_LIMB = LineStyle(theme.INK, 6.0)
_ARM = LineStyle(theme.INK, 4.6)
_CLUB = LineStyle(theme.PENCIL, 3.0)
_GHOST = LineStyle(theme.PENCIL, 2.4, (7, 5))
_RED = LineStyle(theme.ACCENT, 3.4)
_SLOPE = 0.10  #: rise over run of the slope drawn [-]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What the person shows, and the words at it."""

    shows: str
    words: str = ""
    stick_m: float = 0.75  #: from the ball to the foot of the stick
    mirrored: bool = False  #: a left-handed player

    def draw(self, canvas: Canvas) -> None:
        """Draw the person in the frame of the canvas."""
        if self.shows == "face":
            _face(canvas, self)
            return
        rise = {"uphill": _SLOPE, "downhill": -_SLOPE}.get(self.shows, 0.0)
        pen = _Pen(canvas, self.mirrored, rise)
        pen.line([(-1.0, 0.0), (1.0, 0.0)], LineStyle(theme.PENCIL, 1.8))
        _SHOWN[self.shows](pen, self)
        pen.ball()

    def points(self) -> Array:
        """What the window must show (n, 2) [m]."""
        if self.shows == "face":
            return np.array([[-0.11, -0.06], [0.11, 0.11]])
        wide = 1.05 if self.shows in SWINGING else 0.75
        return np.array([[-wide, -0.12], [wide, 1.74]])


@dataclass(slots=True)
class _Pen:
    """Draws in the person's own coordinates: mirrored and on a slope where asked."""

    canvas: Canvas
    mirrored: bool
    rise: float

    def place(self, points: list[tuple[float, float]] | Array) -> Array:
        at = np.asarray(points, dtype=float).reshape(-1, 2).copy()
        at[:, 1] += self.rise * at[:, 0]
        if self.mirrored:
            at[:, 0] *= -1
        return at

    def line(self, points: list[tuple[float, float]] | Array, style: LineStyle) -> None:
        Polyline(points=self.place(points), style=style).draw(self.canvas)

    def ring(
        self, at: tuple[float, float], radius_m: float, style: LineStyle, wash: str | None = None
    ) -> None:
        centre = self.place([at])[0]
        Ring(centre=(float(centre[0]), float(centre[1])), radius_m=radius_m, style=style, wash=wash).draw(
            self.canvas
        )

    def word(
        self, words: str, at: tuple[float, float], colour: str = theme.ACCENT, prefer_deg: int = 0
    ) -> None:
        if words.strip():
            x, y = self.place([at])[0]
            prefer = (180 - prefer_deg) % 360 if self.mirrored else prefer_deg
            lines = tuple(wrap(words, theme.SMALL_SIZE, 0.36 * self.canvas.frame.box.width, bold=True))
            self.canvas.draw(
                Label(
                    lines, (float(x), float(y)), colour, bold=len(lines) == 1, clear=10.0, prefer_deg=prefer
                )
            )

    def ball(self) -> None:
        page = self.canvas.page(self.place([(0.0, 0.03)]))[0]
        x, y = coordinate(float(page[0])), coordinate(float(page[1]))
        self.canvas.add(
            f'<circle cx="{x}" cy="{y}" r="6" fill="#FFFFFF" stroke="{theme.INK}" stroke-width="2.2"/>'
        )

    def body(self, hands_deg: float, shaft_deg: float | None = None, *, tip: bool = False) -> Array:
        """Legs, trunk, head, arms and club; angles from straight down, towards the target positive."""
        if not tip:
            self.line([(-0.14, 0.86), (-0.24, 0.02), (-0.13, 0.02)], _LIMB)
        self.line([(0.14, 0.86), (0.24, 0.02), (0.35, 0.02)], _LIMB)
        trunk = self.place([(-0.21, 1.38), (0.21, 1.38), (0.15, 0.84), (-0.15, 0.84)])
        page = self.canvas.page(trunk)
        edge = LineStyle(theme.INK, 2.6).attributes().replace('fill="none" ', "")
        self.canvas.add(f'<path d="{path_data(page, closed=True)}" fill="{theme.PAPER}" {edge}/>')
        self.canvas.keep_clear(sampled(np.concatenate([page, page[:1]])))
        self.ring((0.02, 1.58), 0.11, LineStyle(theme.INK, 2.6))
        hands, head = swung(hands_deg, hands_deg if shaft_deg is None else shaft_deg)
        self.line([(-0.21, 1.36), hands], _ARM)
        self.line([(0.21, 1.36), hands], _ARM)
        self.line([hands, head], _CLUB)
        return np.array([hands, head])

    def ghost(self, hands_deg: float, shaft_deg: float) -> tuple[float, float]:
        """Arms and club somewhere else in the swing, dashed; returns the club head."""
        hands, head = swung(hands_deg, shaft_deg)
        self.line([(float(SHOULDER[0]), float(SHOULDER[1])), hands], _GHOST)
        self.line([hands, head], _GHOST)
        return head


def swung(hands_deg: float, shaft_deg: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Hands and club head [m] for the two angles from straight down."""
    a, b = math.radians(hands_deg), math.radians(shaft_deg)
    hands = SHOULDER + ARM_M * np.array([math.sin(a), -math.cos(a)])
    head = hands + SHAFT_M * np.array([math.sin(b), -math.cos(b)])
    return (float(hands[0]), float(hands[1])), (float(head[0]), float(head[1]))


def _address(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0)
    pen.word(figure.words, (0.1, 0.8))


def _soft_ball(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0)
    pen.ring((0.05, 0.98), 0.085, _RED, wash=theme.WASH)
    pen.word(figure.words, (0.13, 0.98))


def _towel(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0)
    band = LineStyle(theme.ACCENT, 9.0, opacity=0.9)
    pen.line([(-0.27, 1.02), (-0.24, 1.2), (0.0, 1.24), (0.24, 1.2), (0.27, 1.02)], band)
    pen.word(figure.words, (0.28, 1.1))


def _lead_foot(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0, tip=True)
    pen.line([(-0.14, 0.86), (-0.22, 0.12), (-0.12, 0.02)], _LIMB)
    tail, head = pen.place([(0.46, 0.62), (0.46, 0.08)])
    Arrow(tail=(tail[0], tail[1]), head=(head[0], head[1]), style=_RED).draw(pen.canvas)
    pen.word(figure.words, (0.46, 0.35))


def _stick(pen: _Pen, figure: Figure) -> None:
    tip = (figure.stick_m, 0.95)
    hands, _ = swung(34.0, 0.0)
    aim = math.degrees(math.atan2(tip[0] - hands[0], hands[1] - tip[1]))
    pen.body(34.0, aim)
    pen.ghost(-34.0, -62.0)
    pen.line([(figure.stick_m, 0.0), tip], _RED)
    pen.ring(tip, 0.045, _RED, wash=theme.WASH)
    pen.word(figure.words, (figure.stick_m, 0.45))


def _hold(pen: _Pen, figure: Figure) -> None:
    pen.body(38.0, 62.0)
    _, head = swung(38.0, 62.0)
    pen.ring(head, 0.07, _RED)
    pen.word(figure.words, (head[0], head[1] - 0.05), prefer_deg=270)


def _arcs(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0)
    for x in (-0.4, 0.4, 0.6):
        pen.line([(x, 0.0), (x, 0.07)], _RED)
    pen.ghost(-30.0, -52.0)
    pen.ghost(30.0, 52.0)
    pen.word(figure.words, (0.66, 1.0))


def _tempo(pen: _Pen, figure: Figure) -> None:
    pen.body(6.0, -6.0)
    head = pen.ghost(-34.0, -66.0)
    pen.word("1", (-0.03, 0.03), prefer_deg=225)
    pen.word("3", (head[0], head[1]), prefer_deg=180)
    pen.word("4", (0.03, 0.03), prefer_deg=315)
    pen.word(figure.words, (0.3, 0.75))


_SHOWN = {
    "address": _address,
    "soft ball": _soft_ball,
    "towel": _towel,
    "lead foot": _lead_foot,
    "stick": _stick,
    "hold": _hold,
    "arcs": _arcs,
    "tempo": _tempo,
    "uphill": _address,
    "downhill": _address,
}


def _face(canvas: Canvas, figure: Figure) -> None:
    """The face of a wedge with its grooves, the middle ringed in red."""
    side = -1.0 if figure.mirrored else 1.0
    outline = np.array(
        [
            (-0.055, 0.0),
            (0.02, -0.012),
            (0.05, 0.004),
            (0.062, 0.042),
            (0.05, 0.072),
            (0.02, 0.075),
            (-0.06, 0.03),
        ]
    )
    outline[:, 0] *= side
    Polyline(points=outline, style=LineStyle(theme.INK, 3.0), closed=True).draw(canvas)
    for y in (0.008, 0.016, 0.024, 0.032, 0.040, 0.048):
        right = 0.047 if y < 0.012 else 0.052
        Polyline(points=[(side * -0.03, y), (side * right, y)], style=theme.THIN).draw(canvas)
    hosel = np.array([(-0.055, 0.0), (-0.085, 0.1), (-0.07, 0.105), (-0.052, 0.037)])
    hosel[:, 0] *= side
    Polyline(points=hosel, style=LineStyle(theme.INK, 3.0)).draw(canvas)
    Ellipse(
        centre=(side * 0.012, 0.024), half_long_m=0.02, half_short_m=0.02, style=_RED, wash=theme.WASH
    ).draw(canvas)
    Dots(points=[(side * 0.012, 0.024)], size=7, colour=theme.ACCENT).draw(canvas)
    if figure.words.strip():
        canvas.draw(
            Label((figure.words,), (side * 0.012, 0.044), theme.ACCENT, bold=True, clear=22.0, prefer_deg=270)
        )
