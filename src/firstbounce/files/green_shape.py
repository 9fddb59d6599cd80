"""The shape of `green.toml`, version 1: every key with what it means and what is allowed.

docs/files.md is checked against these classes. Positions are metres: x right, y away.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import Field, Strict, model_validator

from firstbounce.files.rules import (
    METRES_PER_FOOT_HINT,
    TIDY,
    Bearing,
    Coordinate,
    Name,
    Part,
    Percent,
    Place,
    between,
    fault,
)
from firstbounce.ground.conditions import SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.slopes import SlopeWord
from firstbounce.players.player import Hand
from firstbounce.words import Level, LieKind, TurfKind

CENTIMETRE_HINT = "were centimetres typed as metres? 25 cm is 0.25"


Degrees = Annotated[
    float, between(-9, 9, "degrees of a level on the green; 15 % is 8.5", above="is the reading in percent?")
]
Stimp = Annotated[
    float,
    between(
        3,
        15,
        "Stimp feet",
        below="a reading in metres? 1 m is 3.28 feet",
        above="a reading in inches or decimetres? 9 feet 6 inches is 9.5",
    ),
]
Roll = Annotated[float, between(0.3, 15, "metres of one roll", above=METRES_PER_FOOT_HINT)]
DropHeight = Annotated[
    float, between(0.01, 1.0, "metres of the first bounce after a drop from 1.50 m", above=CENTIMETRE_HINT)
]
Loft = Annotated[float, between(0, 75, "degrees of loft")]


class SlopeReading(Part):
    """One reading of slope at one place, and which way it falls there."""

    at: Place = Field(description="where the reading was taken, [x, y] in metres")
    downhill_deg: Bearing = Field(description="which way it falls: 0 away (y), 90 right (x)")
    slope_percent: Percent | None = Field(default=None, description="slope there, percent")
    level_deg: tuple[Degrees, ...] | None = Field(
        default=None,
        description="instead: the fall that a level shows that way, and again turned round, degrees",
        min_length=1,
        max_length=2,
    )

    @model_validator(mode="after")
    def one_kind(self) -> SlopeReading:
        if (self.slope_percent is None) == (self.level_deg is None):
            raise fault("needs either slope_percent or level_deg, one of the two")
        return self


class Heights(Part):
    """Heights on a regular grid; the first row is the nearest (smallest y), the first number the left."""

    x0_m: Coordinate = Field(description="x of the first number of a row")
    y0_m: Coordinate = Field(description="y of the first row")
    cell_m: Annotated[float, between(0.1, 10, "metres between neighbours")] = Field(
        description="step of the grid"
    )
    file: Name | None = Field(default=None, description="a CSV of numbers in metres beside green.toml")
    rows: tuple[tuple[Annotated[float, between(-50, 50, "metres")], ...], ...] | None = Field(
        default=None, description="the heights themselves, metres, row by row"
    )

    @model_validator(mode="after")
    def one_source(self) -> Heights:
        if (self.file is None) == (self.rows is None):
            raise fault("needs either file or rows, one of the two")
        if self.rows is not None and len({len(row) for row in self.rows}) != 1:
            raise fault("rows must all have the same number of heights")
        if self.rows is not None and (len(self.rows) < 4 or len(self.rows[0]) < 4):
            raise fault("needs at least 4 rows of 4 heights")
        return self


class Surface(Part):
    """The shape of the green, one of: a word; one slope; several readings; heights."""

    word: Annotated[SlopeWord, Strict(False), TIDY] | None = Field(
        default=None, description="uphill, level or downhill from start to hole"
    )
    slope_percent: Percent | None = Field(default=None, description="one slope for the whole green, percent")
    downhill_deg: Bearing | None = Field(
        default=None, description="which way it falls: 0 away (y), 90 right (x)"
    )
    reading: tuple[SlopeReading, ...] = Field(default=(), description="slope readings at places")
    heights: Heights | None = Field(default=None, description="a height grid")

    @model_validator(mode="after")
    def one_way(self) -> Surface:
        if (self.slope_percent is None) != (self.downhill_deg is None):
            raise fault("slope_percent and downhill_deg are given together or not at all")
        ways = [
            self.word is not None,
            self.slope_percent is not None,
            bool(self.reading),
            self.heights is not None,
        ]
        if sum(ways) != 1:
            raise fault("needs exactly one of: word; slope_percent with downhill_deg; reading; heights")
        return self


class Area(Part):
    """Turf of one kind; later areas lie over earlier ones, grass around the green lies under it."""

    kind: Annotated[TurfKind, Strict(False), TIDY] = Field(description="kind of turf")
    polygon: tuple[Place, ...] = Field(description="corners in order, metres", min_length=3, max_length=300)


class Green(Part):
    """The green from above."""

    name: Name = Field(description="what you call it")
    outline: tuple[Place, ...] = Field(
        description="corners of the green in order, metres", min_length=3, max_length=300
    )
    fringe_m: Annotated[float, between(0, 10, "metres", above=METRES_PER_FOOT_HINT)] = Field(
        default=0.0, description="width of the fringe around the green, metres"
    )
    around: Annotated[TurfKind, Strict(False), TIDY] = Field(
        default=TurfKind.FAIRWAY, description="turf around the green where no area says more"
    )


class Rolls(Part):
    """The same roll up and down one line, from the standard ramp."""

    up_m: tuple[Roll, ...] = Field(description="rolls up the line, metres", min_length=1)
    down_m: tuple[Roll, ...] = Field(description="rolls down the same line, metres", min_length=1)


class WindGiven(Part):
    """The wind: a Beaufort number, or a speed felt at head height."""

    beaufort: int | None = Field(default=None, description="Beaufort number by the signs on land", ge=0, le=7)
    speed_m_s: Annotated[float, between(0, 20, "metres a second; a wind of 20 is a gale")] | None = Field(
        default=None, description="speed at head height, metres a second"
    )
    from_deg: Bearing = Field(
        default=0.0, description="where it comes from: 0 from away (y), 90 from the right (x)"
    )

    @model_validator(mode="after")
    def one_strength(self) -> WindGiven:
        if (self.beaufort is None) == (self.speed_m_s is None):
            raise fault("needs either beaufort or speed_m_s, one of the two")
        return self


class WeatherGiven(Part):
    """The air; what is left out is usual."""

    temperature_c: Annotated[float, between(-10, 50, "degrees Celsius", above="is it in Fahrenheit?")] = (
        Field(default=15.0, description="air temperature, Celsius")
    )
    pressure_hpa: Annotated[
        float, between(600, 1100, "hectopascals at the green, not reduced to sea level")
    ] = Field(default=1013.25, description="air pressure at the place, hPa")
    humidity_percent: Annotated[float, between(0, 100, "percent")] = Field(
        default=60.0, description="relative humidity, percent"
    )


class Today(Part):
    """What was read of the day; what is left out has a usual value and a wide range."""

    date: datetime.date = Field(description="the day, such as 2026-05-14")
    stimp_ft: Stimp | None = Field(default=None, description="green speed, Stimp feet, level")
    rolls: Rolls | None = Field(
        default=None, description="rolls up and down one line instead of a Stimp reading"
    )
    speed: Annotated[SpeedWord, Strict(False), TIDY] | None = Field(
        default=None, description="slow, medium or fast, by eye"
    )
    firmness: Annotated[FirmnessWord, Strict(False), TIDY] | None = Field(
        default=None, description="soft, medium or firm"
    )
    drop_heights_m: tuple[DropHeight, ...] | None = Field(
        default=None, description="first-bounce heights after drops from 1.50 m, metres", min_length=1
    )
    wet: bool = Field(default=False, description="dew or rain on the grass")
    wind: WindGiven | None = Field(default=None, description="the wind; still air when left out")
    weather: WeatherGiven = Field(default_factory=WeatherGiven, description="the air")

    @model_validator(mode="after")
    def one_reading_each(self) -> Today:
        if sum(given is not None for given in (self.stimp_ft, self.rolls, self.speed)) > 1:
            raise fault("green speed is given once: stimp_ft, rolls or speed")
        if self.firmness is not None and self.drop_heights_m is not None:
            raise fault("firmness is given once: firmness or drop_heights_m")
        return self


class LieGiven(Part):
    """What the ball lies on, and the slope of the stance."""

    kind: Annotated[LieKind, Strict(False), TIDY] = Field(default=LieKind.FAIRWAY, description="kind of lie")
    wet: bool = Field(default=False, description="wet grass behind the ball")
    uphill_deg: Annotated[float, between(-25, 25, "degrees of the stance")] = Field(
        default=0.0, description="stance uphill, degrees"
    )
    above_feet_deg: Annotated[float, between(-25, 25, "degrees of the stance")] = Field(
        default=0.0, description="ball above the feet, degrees"
    )


class StationGiven(Part):
    """A place to hit from."""

    name: Name = Field(description="what you call it; balls.csv may use it")
    start: Place = Field(description="where the ball lies, [x, y] in metres")
    hole: Place = Field(description="where the hole is, [x, y] in metres")
    lie: LieGiven = Field(default_factory=LieGiven, description="the lie there")
    landing_spot: Place | None = Field(
        default=None, description="where the ball is meant to land, when chosen"
    )


class PlayerGiven(Part):
    """The player; what is left out is usual for the level."""

    name: Name = Field(default="player", description="name or initials")
    level: Annotated[Level, Strict(False), TIDY] = Field(description="level of play")
    hand: Annotated[Hand, Strict(False), TIDY] = Field(default=Hand.RIGHT, description="right or left")
    bag: dict[Name, Loft] | None = Field(default=None, description="clubs with their lofts in degrees")
    extra_lean_deg: Annotated[float, between(-10, 10, "degrees")] | None = Field(
        default=None,
        description="shaft lean at strike beyond the usual for the club, degrees, hands ahead positive",
    )
    attack_deg: Annotated[float, between(-15, 10, "degrees, down negative")] | None = Field(
        default=None, description="attack angle, degrees"
    )
    spread_floor_m: Annotated[float, between(0, 5, "metres")] | None = Field(
        default=None, description="spread of carry at no distance, metres"
    )
    spread_share: (
        Annotated[float, between(0, 0.6, "share of the carry; 11 % is 0.11", above="is it in percent?")]
        | None
    ) = Field(default=None, description="spread of carry as a share of it")
    spread_direction_deg: Annotated[float, between(0, 20, "degrees")] | None = Field(
        default=None, description="spread of direction, degrees"
    )
    mishit_share: (
        Annotated[float, between(0, 0.9, "share of balls; 10 % is 0.1", above="is it in percent?")] | None
    ) = Field(default=None, description="share of balls that are mishit")


class GreenFile(Part):
    """A whole `green.toml`."""

    format: Literal[1] = Field(description="version of this file format")
    green: Green
    surface: Surface = Field(
        default_factory=lambda: Surface(word=SlopeWord.LEVEL), description="the shape of the green"
    )
    area: tuple[Area, ...] = Field(default=(), description="turf by place")
    today: Today
    station: tuple[StationGiven, ...] = Field(default=(), description="places to hit from")
    player: PlayerGiven | None = Field(default=None, description="the player")
