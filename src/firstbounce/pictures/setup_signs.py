"""Signs on the ground of a set-up: ball, spot, circle, stick, tee, line, strip, towel, patch and the like."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.pictures import furniture, theme
from firstbounce.pictures.boxes import Array, Box
from firstbounce.pictures.canvas import Canvas, Label, path_data
from firstbounce.pictures.marks import Area, Arrow, Dots, Ellipse, Polyline, Ring
from firstbounce.pictures.text import wrap
from firstbounce.pictures.textures import TEXTURE_OF, Texture
from firstbounce.pictures.theme import LineStyle

KINDS = (
    "ball",
    "hole",
    "spot",
    "circle",
    "stick",
    "tee",
    "line",
    "strip",
    "towel",
    "patch",
    "stand",
    "feet",
    "cone",
    "flight",
    "station",
    "way",
)
_RED = LineStyle(theme.ACCENT, 3.2)
_FINE_RED = LineStyle(theme.ACCENT, 1.8)
_PATCH_POINTS = 40
_WORDS_ROOM = (0.66, 0.30)  #: share of a narrow and of a wide window that words may take


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """Something on the ground [m]: a place, and another end where it has one."""

    kind: str
    x: float = 0.0
    y: float = 0.0
    to_x: float = 0.0
    to_y: float = 0.0
    size: float = 0.3  #: radius of a circle or patch; depth of a strip, along the way it crosses
    ground: str = ""  #: what a patch is, in the words of the textures
    lines: tuple[str, ...] = ()  #: written at it
    said: str = ""  #: the same for the text alternative

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ParameterError(f"No sign called {self.kind!r}; there are {', '.join(KINDS)}.")
        numbers = (self.x, self.y, self.to_x, self.to_y, self.size)
        if not all(math.isfinite(number) for number in numbers) or self.size <= 0:
            raise ParameterError(f"A sign needs finite places and a size above 0 m, got {self}.")

    @property
    def at(self) -> tuple[float, float]:
        """Its place."""
        return (self.x, self.y)

    @property
    def end(self) -> tuple[float, float]:
        """Its other end."""
        return (self.to_x, self.to_y)


def sign_points(signs: Sequence[Sign]) -> Array:
    """What a window must show of them (n, 2) [m]."""
    points: list[tuple[float, float]] = []
    for sign in signs:
        r = {"circle": sign.size, "patch": sign.size, "towel": 0.25, "stand": 0.2, "feet": 0.35}.get(
            sign.kind, 0
        )
        points += [(sign.x + a * r, sign.y + b * r) for a, b in ((1, 0), (-1, 0), (0, 1), (0, -1))]
        if sign.kind in ("line", "strip", "flight", "way"):
            points.append(sign.end)
    return np.array(points, dtype=float)


def draw_sign(canvas: Canvas, sign: Sign) -> None:
    """Draw one sign and ask for room for its words."""
    _DRAWN[sign.kind](canvas, sign)
    label = _label(canvas, sign)
    if label.lines:
        canvas.draw(label)


def _label(canvas: Canvas, sign: Sign) -> Label:
    """Beside a long sign its right end, at the edge of a circle, otherwise at the place."""
    at, clear = sign.at, 13.0
    if sign.kind in ("line", "strip"):
        at, clear = max(sign.at, sign.end), 7.0
    if sign.kind == "flight":
        at = ((sign.x + sign.to_x) / 2, (sign.y + sign.to_y) / 2)
    if sign.kind in ("circle", "patch"):
        clear = sign.size * canvas.frame.scale_x + 6
    room = _WORDS_ROOM[canvas.frame.box.width > theme.WIDTH / 2] * canvas.frame.box.width
    lines = tuple(part for line in sign.lines for part in wrap(line, theme.SMALL_SIZE, room, bold=True))
    red = sign.kind in ("spot", "circle", "stick", "line", "strip", "towel")
    return Label(lines, at, theme.ACCENT if red else theme.INK, bold=len(lines) <= 2, clear=clear)


def _ball(canvas: Canvas, sign: Sign) -> None:
    furniture.ball(canvas, canvas.page(np.array([sign.at]))[0])


def _hole(canvas: Canvas, sign: Sign) -> None:
    furniture.flag(canvas, canvas.page(np.array([sign.at]))[0])


def _spot(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Dots(points=[sign.at], shape="ring", size=20, colour=theme.ACCENT))
    canvas.draw(Dots(points=[sign.at], shape="cross", size=12, colour=theme.ACCENT))
    _reserve(canvas, sign, 12)


def _circle(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Ring(centre=sign.at, radius_m=sign.size, style=theme.CIRCLE, wash=theme.WASH))
    canvas.draw(Dots(points=[sign.at], size=6, colour=theme.ACCENT))


def _stick(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Dots(points=[sign.at], size=13, colour=theme.ACCENT))
    canvas.draw(Dots(points=[sign.at], shape="ring", size=24, colour=theme.ACCENT))
    _reserve(canvas, sign, 13)


def _tee(canvas: Canvas, sign: Sign) -> None:
    x, y = canvas.page(np.array([sign.at]))[0]
    points = np.array(
        [(x - 8, y - 7), (x + 8, y - 7), (x + 2, y - 3), (x + 1, y + 9), (x - 1, y + 9), (x - 2, y - 3)]
    )
    canvas.add(f'<path d="{path_data(points, closed=True)}" fill="{theme.INK}"/>')
    _reserve(canvas, sign, 10)


def _cone(canvas: Canvas, sign: Sign) -> None:
    x, y = canvas.page(np.array([sign.at]))[0]
    points = np.array([(x, y - 14), (x + 11, y + 8), (x - 11, y + 8)])
    edge = LineStyle(theme.INK, 2.2).attributes().replace('fill="none" ', "")
    canvas.add(f'<path d="{path_data(points, closed=True)}" fill="{canvas.fill_of(Texture.SLANT)}" {edge}/>')
    _reserve(canvas, sign, 14)


def _line(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Polyline(points=[sign.at, sign.end], style=_RED))


def _flight(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Polyline(points=[sign.at, sign.end], style=LineStyle(theme.PENCIL, 1.8, (10, 7))))


def _way(canvas: Canvas, sign: Sign) -> None:
    canvas.draw(Arrow(tail=sign.at, head=sign.end, style=LineStyle(theme.PENCIL, 2.2)))


def _strip(canvas: Canvas, sign: Sign) -> None:
    across = np.array(sign.end) - np.array(sign.at)
    length = float(np.hypot(*across)) or 1.0
    aside = np.array([-across[1], across[0]]) / length * sign.size / 2
    a, b = np.array(sign.at), np.array(sign.end)
    canvas.draw(
        Area(outline=[a - aside, b - aside, b + aside, a + aside], texture=Texture.HATCH, style=_FINE_RED)
    )


def _towel(canvas: Canvas, sign: Sign) -> None:
    half, deep = 0.22, min(sign.size, 0.2) / 2
    outline = [
        (sign.x - half, sign.y - deep),
        (sign.x + half, sign.y - deep),
        (sign.x + half, sign.y + deep),
        (sign.x - half, sign.y + deep),
    ]
    canvas.draw(Area(outline=outline, texture=Texture.SLANT, style=_FINE_RED))


def _patch(canvas: Canvas, sign: Sign) -> None:
    t = np.linspace(0, 2 * math.pi, _PATCH_POINTS, endpoint=False)
    r = sign.size * (1 + 0.06 * np.sin(3 * t) + 0.04 * np.cos(5 * t))
    outline = np.column_stack([sign.x + r * np.cos(t), sign.y + r * np.sin(t)])
    canvas.draw(Area(outline=outline, texture=TEXTURE_OF.get(sign.ground, Texture.BLANK), style=theme.EDGE))


def _shoe(canvas: Canvas, x: float, y: float, *, heavy: bool) -> None:
    style = LineStyle(theme.ACCENT if heavy else theme.INK, 3.2 if heavy else 2.2)
    Ellipse(
        centre=(x, y), half_long_m=0.145, half_short_m=0.055, style=style, wash=theme.WASH if heavy else None
    ).draw(canvas)


def _stand(canvas: Canvas, sign: Sign) -> None:
    """The lead foot, red: the weight is there; the trail foot touches with its toe, away from the ball."""
    inward = 0.06 if sign.x < 0 else -0.06
    _shoe(canvas, sign.x, sign.y + 0.12, heavy=True)
    Ellipse(
        centre=(sign.x - inward, sign.y - 0.14),
        half_long_m=0.145,
        half_short_m=0.055,
        style=LineStyle(theme.PENCIL, 2.0, (5, 4)),
    ).draw(canvas)


def _feet(canvas: Canvas, sign: Sign) -> None:
    for dy in (-0.14, 0.14):
        _shoe(canvas, sign.x, sign.y + dy, heavy=False)


def _station(canvas: Canvas, sign: Sign) -> None:
    x, y = (float(v) for v in canvas.page(np.array([sign.at]))[0])
    canvas.rectangle(Box(x - 11, y - 11, x + 11, y + 11), theme.PAPER, LineStyle(theme.INK, 2.4))
    _reserve(canvas, sign, 13)


def _reserve(canvas: Canvas, sign: Sign, half: float) -> None:
    x, y = (float(v) for v in canvas.page(np.array([sign.at]))[0])
    canvas.reserved.append(Box(x - half, y - half, x + half, y + half))


_DRAWN: dict[str, Callable[[Canvas, Sign], None]] = {
    "ball": _ball,
    "hole": _hole,
    "spot": _spot,
    "circle": _circle,
    "stick": _stick,
    "tee": _tee,
    "line": _line,
    "strip": _strip,
    "towel": _towel,
    "patch": _patch,
    "stand": _stand,
    "feet": _feet,
    "cone": _cone,
    "flight": _flight,
    "station": _station,
    "way": _way,
}
