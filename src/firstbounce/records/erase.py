"""Erase a player: every row that is theirs, here and in backups; what remains of them is said."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from sqlalchemy import Connection, MetaData, String, Table, cast, delete, func, select

from firstbounce.records.codec import moment_columns
from firstbounce.records.queries import found, put
from firstbounce.records.rows_of_player import belongs_to
from firstbounce.records.tables import (
    CLINIC,
    DAY,
    ERASED,
    GREEN,
    KEPT_FILE,
    METADATA,
    NOTE,
    PLAYER,
    SESSION,
    STATION,
)

SHORTEST_SOUGHT = 3  #: letters of a name that is looked for in free text; shorter ones are found everywhere
#: Texts that coaches type beside players, where a name may stand.
FREE_TEXT = (
    (GREEN, "name", "the name of a green"),
    (DAY, "note", "the note of a day"),
    (STATION, "name", "the name of a station"),
    (CLINIC, "name", "the name of a clinic"),
    (CLINIC, "setup", "the set-up of a clinic"),
    (NOTE, "text", "a note about another player"),
    (SESSION, "note", "the note of another player's session"),
)


def count_rows(connection: Connection, player_id: str) -> dict[str, int]:
    """How many rows of each table are this player's. NotThere when there is no such player."""
    found(connection, PLAYER, player_id)
    every = METADATA.tables
    count = {
        name: int(
            connection.execute(
                select(func.count()).select_from(table).where(belongs_to(table, player_id, every))
            ).scalar_one()
        )
        for name, table in every.items()
    }
    return {name: number for name, number in count.items() if number}


def erase_rows(connection: Connection, player_id: str, tables: Mapping[str, Table] | None = None) -> None:
    """Delete every row that is this player's, in an order that foreign keys allow."""
    every = METADATA.tables if tables is None else tables
    metadata = METADATA if tables is None else next(iter(every.values())).metadata
    for table in reversed(metadata.sorted_tables):
        connection.execute(delete(table).where(belongs_to(table, player_id, every)))


def note_erased(connection: Connection, player_id: str, now: datetime.datetime) -> None:
    """Keep the ids, which say nothing of the player, so that balls still waiting on a phone are told so."""
    sessions = (
        connection.execute(select(SESSION.c.id).where(SESSION.c.player_id == player_id)).scalars().all()
    )
    gone = [(player_id, "player"), *((session_id, "session") for session_id in sessions)]
    when = moment_columns("erased", now)
    put(connection, ERASED, [{"id": row_id, "kind": kind, **when} for row_id, kind in gone])


def erased_players(connection: Connection) -> list[dict[str, object]]:
    """The rows of those who were erased."""
    return [dict(row) for row in connection.execute(select(ERASED)).mappings()]


def file_ids(
    connection: Connection, player_id: str, tables: Mapping[str, Table] | None = None
) -> tuple[str, ...]:
    """Ids of the files of a player."""
    every = METADATA.tables if tables is None else tables
    kept = every[KEPT_FILE.name]
    return tuple(connection.execute(select(kept.c.id).where(belongs_to(kept, player_id, every))).scalars())


def where_named(connection: Connection, name: str) -> tuple[str, ...]:
    """Texts outside the player's own rows in which the name stands."""
    if len(name) < SHORTEST_SOUGHT:
        return ()
    places = []
    for table, column, said in FREE_TEXT:
        text = func.lower(cast(table.c[column], String))
        asked = select(func.count()).select_from(table).where(text.contains(name.lower(), autoescape=True))
        number = connection.execute(asked).scalar_one()
        if number:
            places.append(f"{said} ({number})")
    return tuple(places)


def reflected(connection: Connection) -> Mapping[str, Table]:
    """The tables of a copy, whatever its revision."""
    metadata = MetaData()
    metadata.reflect(connection)
    return metadata.tables
