"""Greens, shapes, days, readings and stations: what is asked and what is written."""

from __future__ import annotations

from sqlalchemy import Connection, select, update

from firstbounce.errors import NotThere, StoreError
from firstbounce.records.codec import row_of, values_of
from firstbounce.records.queries import found, one, put, put_row, rows, those_there
from firstbounce.records.rows.places import DayRow, GreenRow, Reading, Shape, ShapeArea, StationRow
from firstbounce.records.tables import AREA, DAY, GREEN, READING, SHAPE, STATION
from firstbounce.words import TurfKind


def add_green(connection: Connection, green: GreenRow) -> None:
    """A green without a shape yet."""
    put_row(connection, GREEN, green)


def change_green(connection: Connection, green: GreenRow) -> None:
    """Name and whether it is archived."""
    found(connection, GREEN, green.id)
    values = values_of(green, "id", "made")
    connection.execute(update(GREEN).where(GREEN.c.id == green.id).values(values))


def green_of(connection: Connection, green_id: str) -> GreenRow:
    """One green. NotThere when there is none."""
    return one(connection, GREEN, GreenRow, green_id)


def greens(connection: Connection, *, archived: bool = False) -> tuple[GreenRow, ...]:
    """Every green by name."""
    asked = select(GREEN).where(GREEN.c.archived == int(archived)).order_by(GREEN.c.name, GREEN.c.id)
    return rows(connection, asked, GreenRow)


def add_shape(connection: Connection, shape: Shape) -> None:
    """A shape of a green; the one made last counts."""
    if those_there(connection, SHAPE, [shape.id]):
        return
    put_row(connection, SHAPE, shape, "areas")
    areas = [values_of(area) | {"shape_id": shape.id, "place": i} for i, area in enumerate(shape.areas)]
    put(connection, AREA, areas)


def shapes(connection: Connection, green_id: str, limit: int = 20) -> tuple[Shape, ...]:
    """Shapes of a green, newest first."""
    newest = (SHAPE.c.made_utc.desc(), SHAPE.c.id.desc())
    asked = select(SHAPE).where(SHAPE.c.green_id == green_id).order_by(*newest).limit(limit)
    return tuple(
        row_of(Shape, row, areas=_areas(connection, row["id"]))
        for row in connection.execute(asked).mappings()
    )


def shape_now(connection: Connection, green_id: str) -> Shape:
    """The shape that counts. NotThere when the green has none yet."""
    made = shapes(connection, green_id, limit=1)
    if not made:
        raise NotThere(
            f"The green {green_of(connection, green_id).name!r} has no shape yet; draw its outline."
        )
    return made[0]


def add_day(connection: Connection, day: DayRow) -> None:
    """A green today."""
    put_row(connection, DAY, day)


def day_row(connection: Connection, day_id: str) -> DayRow:
    """One day of a green. NotThere when there is none."""
    return one(connection, DAY, DayRow, day_id)


def days(connection: Connection, green_id: str, limit: int = 50) -> tuple[DayRow, ...]:
    """Days of a green, newest first."""
    newest = (DAY.c.date.desc(), DAY.c.made_utc.desc(), DAY.c.id)
    return rows(
        connection, select(DAY).where(DAY.c.green_id == green_id).order_by(*newest).limit(limit), DayRow
    )


def add_reading(connection: Connection, reading: Reading) -> None:
    """A reading as read. StoreError when it corrects one of another green or day."""
    if reading.corrects_id is not None:
        corrected = found(connection, READING, reading.corrects_id)
        if (corrected["green_id"], corrected["day_id"]) != (reading.green_id, reading.day_id):
            raise StoreError("A reading corrects only one of the same green and day.")
    put_row(connection, READING, reading)


def readings(connection: Connection, green_id: str, day_id: str | None) -> tuple[Reading, ...]:
    """Readings of the green's slope, and of the day when named, oldest first, withdrawn ones too."""
    of_day = READING.c.day_id.is_(None) if day_id is None else (READING.c.day_id == day_id)
    wanted = (READING.c.green_id == green_id) & (READING.c.kind.in_(("slope", "level")) | of_day)
    return rows(connection, select(READING).where(wanted).order_by(READING.c.made_utc, READING.c.id), Reading)


def standing(every: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Readings that no later one corrects and that are not withdrawn."""
    corrected = {reading.corrects_id for reading in every}
    return tuple(one for one in every if one.id not in corrected and not one.withdrawn)


def add_station(connection: Connection, station: StationRow) -> None:
    """A place to hit from."""
    put_row(connection, STATION, station)


def archive_station(connection: Connection, station_id: str) -> None:
    """The station is no longer offered."""
    found(connection, STATION, station_id)
    connection.execute(update(STATION).where(STATION.c.id == station_id).values(archived=1))


def station_of(connection: Connection, station_id: str) -> StationRow:
    """One station. NotThere when there is none."""
    return one(connection, STATION, StationRow, station_id)


def stations(connection: Connection, green_id: str | None, limit: int = 100) -> tuple[StationRow, ...]:
    """Stations of a green (None: those without a green), newest first."""
    where = STATION.c.green_id.is_(None) if green_id is None else (STATION.c.green_id == green_id)
    newest = (STATION.c.made_utc.desc(), STATION.c.id)
    asked = select(STATION).where(where, STATION.c.archived == 0).order_by(*newest).limit(limit)
    return rows(connection, asked, StationRow)


def _areas(connection: Connection, shape_id: str) -> tuple[ShapeArea, ...]:
    asked = select(AREA).where(AREA.c.shape_id == shape_id).order_by(AREA.c.place)
    return tuple(ShapeArea(kind=TurfKind(row.kind), polygon=row.polygon) for row in connection.execute(asked))
