"""Greens, shapes, readings, days and stations, and the day that the models work with."""

from __future__ import annotations

import datetime
from typing import Any

from firstbounce.files.green import FORMAT, checked_green
from firstbounce.files.green_shape import GreenFile
from firstbounce.records import places
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow, GreenRow, Reading, ReadingKind, Shape, StationRow
from firstbounce.records.store import Store
from firstbounce.services.day import Day, day_of
from firstbounce.services.players import given_player

SPEED = (ReadingKind.STIMP, ReadingKind.ROLLS, ReadingKind.SPEED)
FIRMNESS = (ReadingKind.DROPS, ReadingKind.FIRMNESS)


def add_green(store: Store, green: GreenRow, shape: Shape | None = None) -> None:
    """A green, with its first shape when it is known; once only, by id."""
    with store.write() as connection:
        places.add_green(connection, green)
        if shape is not None:
            places.add_shape(connection, shape)


def change_green(store: Store, green: GreenRow) -> None:
    """Name and whether it is archived. NotThere when there is none."""
    with store.write() as connection:
        places.change_green(connection, green)


def green(store: Store, green_id: str) -> GreenRow:
    """One green. NotThere when there is none."""
    with store.read() as connection:
        return places.green_of(connection, green_id)


def greens(store: Store, *, archived: bool = False) -> tuple[GreenRow, ...]:
    """Every green, by name."""
    with store.read() as connection:
        return places.greens(connection, archived=archived)


def add_shape(store: Store, shape: Shape) -> None:
    """A new outline, areas or slope: the shape made last counts. FileFaults when it can be no green."""
    checked_green(_contents(shape, "green", (), None, (), None), "the shape")
    with store.write() as connection:
        places.add_shape(connection, shape)


def shape(store: Store, green_id: str) -> Shape:
    """The shape that counts. NotThere when none was drawn yet."""
    with store.read() as connection:
        return places.shape_now(connection, green_id)


def shapes(store: Store, green_id: str, limit: int = 20) -> tuple[Shape, ...]:
    """Shapes, newest first: what undo goes back through."""
    with store.read() as connection:
        return places.shapes(connection, green_id, limit)


def add_day(store: Store, day: DayRow) -> None:
    """A green today; once only, by id."""
    with store.write() as connection:
        places.add_day(connection, day)


def day_row(store: Store, day_id: str) -> DayRow:
    """One day of a green. NotThere when there is none."""
    with store.read() as connection:
        return places.day_row(connection, day_id)


def days(store: Store, green_id: str, limit: int = 50) -> tuple[DayRow, ...]:
    """Days of a green, newest first."""
    with store.read() as connection:
        return places.days(connection, green_id, limit)


def current_day(store: Store, date: datetime.date) -> DayRow | None:
    """The day of a green that was opened last on this date."""
    opened = [day for one in greens(store) for day in days(store, one.id, limit=1) if day.date == date]
    return max(opened, key=lambda day: day.made, default=None)


def add_reading(store: Store, reading: Reading) -> None:
    """A reading as read; once only, by id. A correction or withdrawal is a new one that names the old one."""
    with store.write() as connection:
        places.add_reading(connection, reading)


def readings(store: Store, green_id: str, day_id: str | None = None) -> tuple[Reading, ...]:
    """Readings that stand, oldest first: of the green's slope, and of the day when it is named."""
    return places.standing(all_readings(store, green_id, day_id))


def all_readings(store: Store, green_id: str, day_id: str | None = None) -> tuple[Reading, ...]:
    """The same with those that were corrected or withdrawn, and their corrections."""
    with store.read() as connection:
        return places.readings(connection, green_id, day_id)


def add_station(store: Store, station: StationRow) -> None:
    """A place to hit from; once only, by id."""
    with store.write() as connection:
        places.add_station(connection, station)


def station(store: Store, station_id: str) -> StationRow:
    """One station. NotThere when there is none."""
    with store.read() as connection:
        return places.station_of(connection, station_id)


def stations(store: Store, green_id: str | None, limit: int = 100) -> tuple[StationRow, ...]:
    """Stations of a green (None: those without a green), newest first."""
    with store.read() as connection:
        return places.stations(connection, green_id, limit)


def archive_station(store: Store, station_id: str) -> None:
    """The station is no longer offered; balls keep it."""
    with store.write() as connection:
        places.archive_station(connection, station_id)


def green_file(
    store: Store, day_id: str, *, player: PlayerRow | None = None, stations: tuple[StationRow, ...] = ()
) -> GreenFile:
    """A day of a green as `green.toml` would say it: what plans keep, and what export writes."""
    with store.read() as connection:
        day = places.day_row(connection, day_id)
        name = places.green_of(connection, day.green_id).name
        drawn = places.shape_now(connection, day.green_id)
        read = places.standing(places.readings(connection, day.green_id, day_id))
    return checked_green(_contents(drawn, name, read, day, stations, player), name)


def model_day(
    store: Store, day_id: str, *, player: PlayerRow | None = None, stations: tuple[StationRow, ...] = ()
) -> Day:
    """The day for the models: one player, some stations. ParameterError or FileFaults say what is wrong."""
    file = green_file(store, day_id, player=player, stations=stations)
    return day_of(file, file.green.name)


def _contents(
    drawn: Shape,
    name: str,
    read: tuple[Reading, ...],
    day: DayRow | None,
    stations: tuple[StationRow, ...],
    player: PlayerRow | None,
) -> dict[str, Any]:
    """The tables of `green.toml`."""
    contents: dict[str, Any] = {
        "format": FORMAT,
        "green": {
            "name": name,
            "outline": [tuple(corner) for corner in drawn.outline],
            "fringe_m": drawn.fringe_m,
            "around": drawn.around,
        },
        "surface": _surface(drawn, read),
        "area": [
            {"kind": area.kind, "polygon": [tuple(corner) for corner in area.polygon]} for area in drawn.areas
        ],
        "today": {"date": (day.date if day else drawn.made.date()), **_today(read)},
        "station": [_station(one, stations) for one in stations],
    }
    if player is not None:
        contents["player"] = given_player(player)
    return contents


def _surface(drawn: Shape, read: tuple[Reading, ...]) -> dict[str, Any]:
    """Heights before one slope before readings at places before a word."""
    slopes = [one for one in read if one.kind in (ReadingKind.SLOPE, ReadingKind.LEVEL)]
    if drawn.heights is not None:
        grid = drawn.heights
        return {"heights": {"x0_m": grid.x0_m, "y0_m": grid.y0_m, "cell_m": grid.cell_m, "rows": grid.rows}}
    if drawn.slope_percent is not None:
        return {"slope_percent": drawn.slope_percent, "downhill_deg": drawn.downhill_deg}
    if slopes:
        return {"reading": [{"at": tuple(one.at_m or (0.0, 0.0)), **one.given} for one in slopes]}
    return {"word": drawn.slope_word or "level"}


def _today(read: tuple[Reading, ...]) -> dict[str, Any]:
    """Of each thing the last reading; a measured one before a word."""
    said: dict[str, Any] = {}
    for kinds in (SPEED, FIRMNESS):
        last = _last(read, kinds[:-1]) or _last(read, kinds[-1:])
        said |= last.given if last else {}
    wet, wind, weather = (
        _last(read, (kind,)) for kind in (ReadingKind.WET, ReadingKind.WIND, ReadingKind.WEATHER)
    )
    if ReadingKind.ROLLS in {one.kind for one in read} and "up_m" in said:
        said["rolls"] = {"up_m": said.pop("up_m"), "down_m": said.pop("down_m")}
    if wet is not None:
        said["wet"] = wet.given["wet"]
    if wind is not None:
        said["wind"] = {name: value for name, value in wind.given.items() if value is not None}
    if weather is not None:
        said["weather"] = weather.given
    return said


def _last(read: tuple[Reading, ...], kinds: tuple[ReadingKind, ...]) -> Reading | None:
    return next((one for one in reversed(read) if one.kind in kinds), None)


def _station(one: StationRow, every: tuple[StationRow, ...]) -> dict[str, Any]:
    """As the file writes it; stations that share a name are told apart by their ids."""
    shared = sum(other.name == one.name for other in every) > 1
    lie = one.lie
    said: dict[str, Any] = {
        "name": f"{one.name[:70]} {one.id[:8]}" if shared else one.name,
        "start": tuple(one.start_m),
        "hole": tuple(one.hole_m),
        "lie": {
            "kind": lie.kind,
            "wet": lie.wet,
            "uphill_deg": lie.uphill_deg,
            "above_feet_deg": lie.above_feet_deg,
        },
    }
    if one.landing_spot_m is not None:
        said["landing_spot"] = tuple(one.landing_spot_m)
    return said
