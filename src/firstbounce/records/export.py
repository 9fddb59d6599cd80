"""Rows out of the records and back in, in an open form: one JSON and one CSV file a table.

Secrets (keys, the hash of a passphrase) never leave; arrival numbers are given anew where rows come in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, MetaData, Table, func, select, true
from sqlalchemy.sql.elements import ColumnElement

from firstbounce.errors import StoreError
from firstbounce.records.columns import METADATA, Json, json_text
from firstbounce.records.engine import plain_errors
from firstbounce.records.merge import add_new, check_rows, in_order
from firstbounce.records.migrate import bring_up
from firstbounce.records.queries import found
from firstbounce.records.rows_of_player import needed_by
from firstbounce.records.snapshot import BATCH, one_moment, open_copy
from firstbounce.records.store import Store
from firstbounce.records.tables import ALL, CLINIC, ERASED, GUIDE_LINK, LINK, PLAYER, SETTING

#: tables left out of the export of one player
NOT_OF_A_PLAYER = (ERASED.name, GUIDE_LINK.name, LINK.name, SETTING.name)
Rows = Iterator[dict[str, Any]]


@contextmanager
def leaving(store: Store, player_id: str | None) -> Iterator[dict[str, Rows]]:
    """The rows of every table as of one moment, of one player or (None) of all. NotThere: no such player."""
    with plain_errors(), one_moment(store.engine) as connection:
        if player_id is not None:
            found(connection, PLAYER, player_id)
        yield {table.name: _rows(connection, table, player_id) for table in ALL}


def columns(name: str) -> tuple[str, ...]:
    """The columns of a table as they are exported."""
    return tuple(column.name for column in PLAYER.metadata.tables[name].columns if column.name != "arrival")


def take_in(
    store: Store, tables: Mapping[str, Rows], revision: str, work: Path
) -> tuple[dict[str, int], tuple[str, ...]]:
    """Rows of an export into the records: those that are new, all or nothing.

    They first fill an empty database of the export's own schema, which checks and migrates them. Gives the
    number of rows by table, and the players left out because they were erased here.
    """
    copy = open_copy(work / "import.sqlite")
    try:
        with plain_errors():
            bring_up(copy, backup=lambda _: None, to=revision)
            with copy.connect() as fresh, fresh.begin():
                _fill(fresh, tables)
            bring_up(copy, backup=lambda _: None)
            with copy.connect() as source:
                _whole(source)
                check_rows(source)
                with store.write() as target:
                    return add_new(source, target)
    finally:
        copy.dispose()


def _rows(connection: Connection, table: Table, player_id: str | None) -> Rows:
    if player_id is not None and table.name in NOT_OF_A_PLAYER:
        return
    wanted = _wanted(table, player_id)
    for row in in_order(connection, table, wanted):
        row.pop("arrival", None)
        if player_id is not None and table is CLINIC:
            row["setup"] = {}  # it may name the others of the group
        yield row


def _wanted(table: Table, player_id: str | None) -> ColumnElement[bool]:
    if player_id is not None:
        return needed_by(table, player_id)
    return SETTING.c.secret == 0 if table is SETTING else true()


def _fill(connection: Connection, tables: Mapping[str, Rows]) -> None:
    known = MetaData()
    known.reflect(connection)
    for name, rows in tables.items():
        if name not in known.tables or name == "alembic_version":
            raise StoreError(f"There is no table {name!r} in these records; nothing was taken in.")
        table = known.tables[name]
        allowed = {column.name for column in table.columns} - {"arrival"}
        part: list[dict[str, Any]] = []
        for row in rows:
            if set(row) != allowed:
                odd = ", ".join(sorted(set(row) ^ allowed))
                raise StoreError(f"A row of {name} lacks or adds columns ({odd}); nothing was taken in.")
            part.append({column: _stored(name, column, value) for column, value in row.items()})
            if len(part) == BATCH:
                connection.execute(table.insert(), part)
                part = []
        if part:
            connection.execute(table.insert(), part)


def _stored(table: str, column: str, value: Any) -> Any:
    """A value as the database holds it: documents are text there."""
    known = METADATA.tables.get(table)
    is_document = known is not None and column in known.c and isinstance(known.c[column].type, Json)
    as_text = value is not None and (is_document or isinstance(value, (dict, list)))
    return json_text(value) if as_text else value


def _whole(connection: Connection) -> None:
    """StoreError when a row points at one that is not in the export."""
    broken = connection.exec_driver_sql("pragma foreign_key_check").first()
    if broken is not None:
        raise StoreError(
            f"A row of {broken[0]} points at a row of {broken[2]} that is missing; nothing was taken in."
        )
    secrets = connection.execute(select(func.count()).where(SETTING.c.secret == 1)).scalar_one()
    if secrets:
        raise StoreError("The file sets secrets of the program; nothing was taken in.")
