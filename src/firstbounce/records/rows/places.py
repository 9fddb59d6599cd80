"""Greens with their shapes, readings as read, the green today, stations."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from firstbounce.errors import ParameterError
from firstbounce.ground.conditions import SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.slopes import SlopeWord
from firstbounce.records.rows.base import Document, Id, LongText, Moment, Name, Place, row, said
from firstbounce.words import Lie, Station, TurfKind

Corners = Annotated[tuple[Place, ...], Field(min_length=3, max_length=300)]
Heights = tuple[tuple[Annotated[float, Field(ge=-50, le=50)], ...], ...]


@row
class GreenRow:
    """A practice green; its shape stands in `Shape`, the last one made counts."""

    id: Id
    name: Name
    made: Moment
    archived: bool = False


@row
class ShapeArea:
    """Turf of one kind; later areas lie over earlier ones."""

    kind: TurfKind
    polygon: Corners


@row
class HeightRows:
    """Heights on a regular grid, rows from near to far, as in `green.toml`."""

    x0_m: float
    y0_m: float
    cell_m: Annotated[float, Field(gt=0, le=10)]
    rows: Heights


@row
class Shape:
    """Outline and areas of a green, and its slope where that is known as a word, one slope or heights.

    Never changed: a change is a new shape, and undo takes the one before as a new one.
    Slope readings at places are `Reading`s and count where neither heights nor one slope is given.
    """

    id: Id
    green_id: Id
    made: Moment
    outline: Corners
    fringe_m: Annotated[float, Field(ge=0, le=10)] = 0.0
    around: TurfKind = TurfKind.FAIRWAY
    areas: Annotated[tuple[ShapeArea, ...], Field(max_length=100)] = ()
    slope_word: SlopeWord | None = None
    slope_percent: Annotated[float, Field(ge=0, le=15)] | None = None
    downhill_deg: Annotated[float, Field(ge=-360, le=360)] | None = None
    heights: HeightRows | None = None

    def __post_init__(self) -> None:
        if (self.slope_percent is None) != (self.downhill_deg is None):
            raise ParameterError("A slope needs both slope_percent and downhill_deg.")


@row
class DayRow:
    """The green on one day: what was read of it stands in `Reading`s."""

    id: Id
    green_id: Id
    date: datetime.date
    made: Moment
    note: LongText = ""


class ReadingKind(StrEnum):
    """What was read. The first two belong to the green, the others to a day."""

    SLOPE = "slope"  #: {"slope_percent": 2.0, "downhill_deg": 90}, at a place
    LEVEL = "level"  #: {"level_deg": [1.1, -1.0], "downhill_deg": 90}, at a place
    STIMP = "stimp"  #: {"stimp_ft": 9.5}
    ROLLS = "rolls"  #: {"up_m": [2.1], "down_m": [3.4]}
    SPEED = "speed"  #: {"speed": "medium"}
    DROPS = "drops"  #: {"drop_heights_m": [0.31, 0.28]}
    FIRMNESS = "firmness"  #: {"firmness": "soft"}
    WET = "wet"  #: {"wet": true}
    WIND = "wind"  #: {"beaufort": 3, "from_deg": 270} or {"speed_m_s": 2.5, "from_deg": 270}
    WEATHER = "weather"  #: {"temperature_c": 18, "pressure_hpa": 1010, "humidity_percent": 70}


AT_A_PLACE = (ReadingKind.SLOPE, ReadingKind.LEVEL)


@row
class Reading:
    """One reading, kept as read. A correction is a new reading that points at the old one."""

    id: Id
    green_id: Id
    day_id: Id | None = None  #: needed for all but slope and level
    made: Moment
    kind: ReadingKind
    at_m: Place | None = None
    given: Document
    corrects_id: Id | None = None
    withdrawn: bool = False
    note: LongText = ""

    def __post_init__(self) -> None:
        if self.withdrawn and self.corrects_id is None:
            raise ParameterError("A reading that is withdrawn must say which one in corrects_id.")
        if self.kind in AT_A_PLACE and self.at_m is None:
            raise ParameterError(f"A {self.kind} reading needs its place, at_m.")
        if self.kind not in AT_A_PLACE and self.day_id is None:
            raise ParameterError(f"A {self.kind} reading needs its day, day_id.")
        _check_given(self.kind, self.given)


def _check_given(kind: ReadingKind, given: Document) -> None:
    try:
        _GIVEN[kind].validate_python(given)
    except ValidationError as error:
        raise ParameterError(f"{kind} reading: {said(error)}") from None


def _given(**fields: Any) -> TypeAdapter[Any]:
    from pydantic import ConfigDict, create_model

    model = create_model("given", __config__=ConfigDict(extra="forbid", allow_inf_nan=False), **fields)
    return TypeAdapter(model)


def _number(low: float, high: float) -> Any:
    return Annotated[float, Field(ge=low, le=high)]


def _numbers(low: float, high: float, most: int = 20) -> Any:
    one: Any = _number(low, high)
    return Annotated[list[one], Field(min_length=1, max_length=most)]


#: Limits as in `green.toml`.
_GIVEN: dict[ReadingKind, TypeAdapter[Any]] = {
    ReadingKind.SLOPE: _given(slope_percent=(_number(0, 15), ...), downhill_deg=(_number(-360, 360), ...)),
    ReadingKind.LEVEL: _given(
        level_deg=(_numbers(-9, 9, most=2), ...),
        downhill_deg=(_number(-360, 360), ...),
    ),
    ReadingKind.STIMP: _given(stimp_ft=(_number(3, 15), ...)),
    ReadingKind.ROLLS: _given(up_m=(_numbers(0.3, 15), ...), down_m=(_numbers(0.3, 15), ...)),
    ReadingKind.SPEED: _given(speed=(SpeedWord, ...)),
    ReadingKind.DROPS: _given(drop_heights_m=(_numbers(0.01, 1.0), ...)),
    ReadingKind.FIRMNESS: _given(firmness=(FirmnessWord, ...)),
    ReadingKind.WET: _given(wet=(bool, ...)),
    ReadingKind.WIND: _given(
        beaufort=(Annotated[int, Field(ge=0, le=7)] | None, None),
        speed_m_s=(_number(0, 20) | None, None),
        from_deg=(_number(-360, 360), 0.0),
    ),
    ReadingKind.WEATHER: _given(
        temperature_c=(_number(-10, 50), 15.0),
        pressure_hpa=(_number(600, 1100), 1013.25),
        humidity_percent=(_number(0, 100), 60.0),
    ),
}


@row
class StationRow:
    """A place to hit from. Never moved: the hole of another day is another station."""

    id: Id
    name: Name
    made: Moment
    green_id: Id | None = None  #: None when only distances were paced: the frame is the station's own
    start_m: Place
    hole_m: Place
    lie: Lie = Lie()
    landing_spot_m: Place | None = None
    circle_radius_m: Annotated[float, Field(ge=0.1, le=10)] | None = None
    club: Name | None = None  #: the club chosen
    archived: bool = False

    def spoken(self) -> Station:
        """The station as the models speak of it."""
        return Station(
            name=self.name,
            start=self.start_m,
            hole=self.hole_m,
            lie=self.lie,
            landing_spot=self.landing_spot_m,
        )
