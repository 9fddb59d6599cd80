"""Rows from one database into another: all of them in place of what is there, or those that are new."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, Table, func, select, text, true, update
from sqlalchemy.sql.elements import ColumnElement

from firstbounce.errors import StoreError
from firstbounce.players.clubs import usual_bag
from firstbounce.records.balls import count_anew
from firstbounce.records.codec import row_of
from firstbounce.records.queries import erased, put
from firstbounce.records.rows import kept, people, places, sessions
from firstbounce.records.rows.balls import BallRow
from firstbounce.records.tables import (
    AREA,
    BALL,
    CLINIC,
    CLUB,
    CONSENT,
    DAY,
    DRILL_SCORE,
    ERASED,
    FIT,
    GREEN,
    GUIDE,
    GUIDE_LINK,
    KEPT_FILE,
    LESSON,
    LESSON_DRILL,
    LEVEL,
    LINK,
    METADATA,
    NOTE,
    PLAN,
    PLAYER,
    READING,
    REVIEW,
    SESSION,
    SHAPE,
    STATION,
    TECHNIQUE,
)

BATCH = 1000
#: What each row must be able to say; fields that stand in other tables are given as usual.
SAYS: dict[Table, tuple[type, dict[str, Any]]] = {
    PLAYER: (people.PlayerRow, {"clubs": usual_bag().clubs}),
    CONSENT: (people.Consent, {}),
    NOTE: (people.Note, {}),
    LEVEL: (people.LevelSince, {}),
    LINK: (people.LinkRow, {}),
    GREEN: (places.GreenRow, {}),
    SHAPE: (places.Shape, {"areas": ()}),
    AREA: (places.ShapeArea, {}),
    DAY: (places.DayRow, {}),
    READING: (places.Reading, {}),
    STATION: (places.StationRow, {}),
    SESSION: (sessions.SessionRow, {}),
    CLINIC: (sessions.ClinicRow, {}),
    LESSON: (sessions.LessonRow, {"drills": ()}),
    LESSON_DRILL: (sessions.LessonDrill, {}),
    DRILL_SCORE: (sessions.DrillScoreRow, {}),
    BALL: (BallRow, {}),
    FIT: (kept.FitRow, {}),
    PLAN: (kept.PlanRow, {}),
    REVIEW: (kept.ReviewRow, {}),
    TECHNIQUE: (kept.TechniqueRow, {}),
    GUIDE: (kept.GuideRow, {}),
    GUIDE_LINK: (kept.GuideLinkRow, {}),
    KEPT_FILE: (kept.KeptFile, {}),
}
#: Rows that are part of another row and come with it or not at all, and the column that names it.
PARTS = {CLUB: ("player_id", PLAYER), AREA: ("shape_id", SHAPE), LESSON_DRILL: ("lesson_id", LESSON)}


def check_rows(connection: Connection) -> None:
    """StoreError when a row of this database could not be read back by the program."""
    for table, (cls, others) in SAYS.items():
        for row in connection.execution_options(yield_per=BATCH).execute(select(table)).mappings():
            try:
                row_of(cls, row, **others)
            except (ValueError, KeyError, TypeError) as error:
                reason = str(error).splitlines()[0]
                raise StoreError(
                    f"A row of {table.name} makes no sense ({reason}); nothing was taken in."
                ) from None


def replace_all(source: Connection, target: Connection) -> dict[str, int]:
    """Everything in `target` gives way to everything in `source`. Gives the number of rows by table."""
    for table in reversed(METADATA.sorted_tables):
        target.execute(table.delete())
    count = {}
    for table in METADATA.sorted_tables:
        count[table.name] = 0
        for part in _batches(in_order(source, table)):
            target.execute(table.insert(), part)
            count[table.name] += len(part)
    _go_on_counting(target)
    return count


def add_new(source: Connection, target: Connection) -> tuple[dict[str, int], tuple[str, ...]]:
    """Rows of `source` that `target` does not have.

    Gives their number by table, and the players left out because they were erased from `target`.
    """
    left_out = erased(target, source.execute(select(PLAYER.c.id)).scalars())
    lessons = set(source.execute(select(LESSON.c.id).where(LESSON.c.player_id.in_(left_out))).scalars())
    before = {table: _ids(target, table) for _, table in PARTS.values()}
    count = {}
    for table in METADATA.sorted_tables:
        was = _size(target, table)
        wanted = (
            row for row in in_order(source, table) if not _left_out(table, row, left_out, lessons, before)
        )
        for part in _batches(wanted):
            put(target, table, [_without_arrival(row) for row in part])
        count[table.name] = _size(target, table) - was
    _count_balls(target, source.execute(select(PLAYER.c.id)).scalars())
    return count, tuple(sorted(left_out))


def _left_out(
    table: Table, row: Mapping[str, Any], players: set[str], lessons: set[str], before: dict[Table, set[str]]
) -> bool:
    if table in PARTS:
        column, parent = PARTS[table]
        if row[column] in before[parent] or row[column] in (lessons if parent is LESSON else players):
            return True
    if table is ERASED:
        return row["id"] in before[PLAYER]
    owner = row["id"] if table is PLAYER else row.get("player_id")
    return owner in players


def in_order(
    connection: Connection, table: Table, wanted: ColumnElement[bool] | None = None
) -> Iterator[dict[str, Any]]:
    """Every row, or those wanted; what a row corrects comes before it."""
    order = [table.c.arrival] if "arrival" in table.c else list(table.primary_key)
    asked = select(table).where(true() if wanted is None else wanted).order_by(*order)
    found = connection.execution_options(yield_per=BATCH).execute(asked).mappings()
    rows = (dict(row) for row in found)
    if "corrects_id" not in table.c or "arrival" in table.c:
        yield from rows
        return
    waiting = list(rows)
    to_come = {row["id"] for row in waiting}
    while waiting:
        ready = [row for row in waiting if row["corrects_id"] not in to_come]
        if not ready:
            raise StoreError(f"Corrections of {table.name} point at each other; nothing was taken in.")
        yield from ready
        to_come -= {row["id"] for row in ready}
        waiting = [row for row in waiting if row["id"] in to_come]


def _batches(rows: Iterable[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    part: list[dict[str, Any]] = []
    for row in rows:
        part.append(row)
        if len(part) == BATCH:
            yield part
            part = []
    if part:
        yield part


def _ids(connection: Connection, table: Table) -> set[str]:
    return set(connection.execute(select(table.c.id)).scalars())


def _size(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def _without_arrival(row: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in row.items() if name != "arrival"}


def _count_balls(connection: Connection, player_ids: Iterable[str]) -> None:
    here = _ids(connection, PLAYER)
    for player_id in list(player_ids):
        if player_id in here:
            count = count_anew(connection, player_id)
            connection.execute(update(PLAYER).where(PLAYER.c.id == player_id).values(balls=count))


def _go_on_counting(connection: Connection) -> None:
    """PostgreSQL's counter of arrivals goes on after the last one (SQLite's does so by itself)."""
    if connection.dialect.name == "postgresql":
        last = "(select coalesce(max(arrival), 0) + 1 from ball)"
        connection.execute(text(f"select setval(pg_get_serial_sequence('ball', 'arrival'), {last}, false)"))
