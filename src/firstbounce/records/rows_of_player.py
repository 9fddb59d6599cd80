"""What belongs to one player, table by table: what an export of one player holds and what erasing takes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Select, Table, false, or_, select
from sqlalchemy.sql.elements import ColumnElement

from firstbounce.records import tables as t


def belongs_to(table: Table, player_id: str, among: Mapping[str, Table]) -> ColumnElement[bool]:
    """Rows of a table that are this player's alone. `among`: the tables by name, of any revision."""
    if table.name == "player":
        return table.c.id == player_id
    if table.name == "lesson_drill":
        return table.c.lesson_id.in_(_ids(among["lesson"], player_id))
    if table.name == "guide":
        return or_(table.c.player_id == player_id, table.c.lesson_id.in_(_ids(among["lesson"], player_id)))
    if "player_id" in table.c:
        return table.c.player_id == player_id
    return false()


def _ids(table: Table, player_id: str) -> Select[Any]:
    return select(table.c.id).where(table.c.player_id == player_id)


def needed_by(table: Table, player_id: str) -> ColumnElement[bool]:
    """Rows of a table that an export of this player holds: their own, and what those point at."""
    every = {one.name: one for one in t.ALL}
    own = belongs_to(table, player_id, every)
    shared = _NEEDED.get(table.name)
    return own if shared is None else shared(player_id)


def _named(column: str, player_id: str) -> list[Select[Any]]:
    """Questions for the ids that a player's own rows name in this column."""
    own = (t.SESSION, t.FIT, t.PLAN, t.BALL, t.REVIEW)
    return [
        select(table.c[column]).where(table.c.player_id == player_id, table.c[column].is_not(None))
        for table in own
        if column in table.c
    ]


def _station(player_id: str) -> ColumnElement[bool]:
    return or_(*(t.STATION.c.id.in_(asked) for asked in _named("station_id", player_id)))


def _clinic(player_id: str) -> ColumnElement[bool]:
    return or_(*(t.CLINIC.c.id.in_(asked) for asked in _named("clinic_id", player_id)))


def _day(player_id: str) -> ColumnElement[bool]:
    of_clinics = select(t.CLINIC.c.day_id).where(_clinic(player_id), t.CLINIC.c.day_id.is_not(None))
    return or_(*(t.DAY.c.id.in_(asked) for asked in (*_named("day_id", player_id), of_clinics)))


def _green(player_id: str) -> ColumnElement[bool]:
    of_days = select(t.DAY.c.green_id).where(_day(player_id))
    of_stations = select(t.STATION.c.green_id).where(_station(player_id), t.STATION.c.green_id.is_not(None))
    return or_(*(t.GREEN.c.id.in_(asked) for asked in (*_named("green_id", player_id), of_days, of_stations)))


def _shape(player_id: str) -> ColumnElement[bool]:
    return t.SHAPE.c.green_id.in_(select(t.GREEN.c.id).where(_green(player_id)))


def _area(player_id: str) -> ColumnElement[bool]:
    return t.AREA.c.shape_id.in_(select(t.SHAPE.c.id).where(_shape(player_id)))


def _reading(player_id: str) -> ColumnElement[bool]:
    of_greens = t.READING.c.green_id.in_(select(t.GREEN.c.id).where(_green(player_id)))
    of_days = t.READING.c.day_id.in_(select(t.DAY.c.id).where(_day(player_id)))
    return of_greens & or_(t.READING.c.day_id.is_(None), of_days)


_NEEDED = {
    "station": _station,
    "clinic": _clinic,
    "green_day": _day,
    "green": _green,
    "shape": _shape,
    "area": _area,
    "reading": _reading,
}
