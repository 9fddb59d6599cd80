"""What a picture of a green from above is made of: plain numbers, all lengths in metres."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from numpy.typing import ArrayLike

from firstbounce.errors import ParameterError
from firstbounce.pictures.canvas import Mark
from firstbounce.pictures.heights import Heights
from firstbounce.pictures.legend import Entry
from firstbounce.pictures.text import METRES, Measure
from firstbounce.pictures.textures import TEXTURE_OF, Texture

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundArea:
    """An area of the ground; the texture follows from the words when it is not given."""

    words: str  #: what it is called in the legend
    outline: ArrayLike  #: (n, 2) [m]
    texture: Texture | None = None

    def drawn_texture(self) -> Texture:
        """The texture it is drawn with."""
        return self.texture or TEXTURE_OF.get(self.words.lower(), Texture.BLANK)


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingCircle:
    """Where to land: centre and radius [m]."""

    centre: Point
    radius_m: float
    words: str = "landing circle"

    def __post_init__(self) -> None:
        if not self.radius_m > 0:
            raise ParameterError(f"A landing circle needs a radius above 0 m, got {self.radius_m:g} m.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingSpread:
    """An ellipse of landings: centre and half axes [m], the long one turned from x, anticlockwise [deg]."""

    centre: Point
    half_long_m: float
    half_short_m: float
    turn_deg: float
    words: str  #: what share it holds, in words


@dataclass(frozen=True, slots=True, kw_only=True)
class BallPath:
    """The mean ball seen from above: points of the flight, then of bounces and roll (n, 2) [m]."""

    flight: ArrayLike
    run: ArrayLike


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenPicture:
    """A green from above. Everything but the title may be missing."""

    title: str
    start: Point | None = None
    hole: Point | None = None
    outline: ArrayLike | None = None  #: edge of the green (n, 2) [m]
    areas: tuple[GroundArea, ...] = ()  #: around the green, later over earlier
    patches: tuple[GroundArea, ...] = ()  #: on the green
    around: str = ""  #: what lies where no area is, such as "light rough"
    heights: Heights | None = None
    circle: LandingCircle | None = None
    spread: LandingSpread | None = None
    landings: ArrayLike | None = None  #: (n, 2) [m]
    finishes: ArrayLike | None = None  #: (n, 2) [m]; not finite: never came to rest here
    holed: ArrayLike | None = None  #: (n,) bool, which finishes are in the hole
    path: BallPath | None = None
    marks: tuple[Mark, ...] = ()  #: anything else, drawn last, in world metres
    mark_points: ArrayLike | None = None  #: points of `marks` that the zoom must show (n, 2) [m]
    entries: tuple[Entry, ...] = field(default=())  #: legend entries of `marks`
    measure: Measure = METRES
    up: Literal["hole", "away"] = "hole"  #: what points up the page: the line to the hole, or y
    legend: bool = True  #: explain every mark below the map
    note: str = ""  #: conditions, one or two sentences
    key: str = ""  #: start of every id; made from the content when empty
    alt: str = ""  #: text alternative in place of the composed one
