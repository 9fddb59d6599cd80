"""The few statements that every part of the records uses."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import Connection, Table, insert, select
from sqlalchemy.dialects import postgresql, sqlite

from firstbounce.errors import NotThere
from firstbounce.records.codec import row_of, values_of
from firstbounce.records.tables import ERASED

T = TypeVar("T")
CHUNK = 400  #: ids in one question; databases limit how many values a statement may hold


def new_id() -> str:
    """A new id: 32 hexadecimal digits."""
    return uuid.uuid4().hex


def put(
    connection: Connection, table: Table, values: Mapping[Any, Any] | Sequence[Mapping[Any, Any]]
) -> None:
    """Insert rows; a row whose key is there already is left as it is."""
    if values:
        connection.execute(_insert(connection, table).on_conflict_do_nothing(), values)


def replace(connection: Connection, table: Table, values: Mapping[Any, Any]) -> None:
    """Insert a row, or change the one with this key to these values."""
    keys = [column.name for column in table.primary_key]
    others = {name: value for name, value in values.items() if name not in keys}
    connection.execute(
        _insert(connection, table).values(values).on_conflict_do_update(index_elements=keys, set_=others)
    )


def add(connection: Connection, table: Table, values: Sequence[Mapping[Any, Any]]) -> None:
    """Insert rows that must not be there yet."""
    if values:
        connection.execute(insert(table), values)


def put_row(connection: Connection, table: Table, row: Any, *leave_out: str, **more: Any) -> None:
    """`put` for a dataclass of the records."""
    put(connection, table, values_of(row, *leave_out) | more)


def one(connection: Connection, table: Table, cls: type[T], row_id: str, **others: Any) -> T:
    """The row with this id. NotThere when there is none."""
    return row_of(cls, found(connection, table, row_id), **others)


def found(connection: Connection, table: Table, row_id: str) -> Mapping[Any, Any]:
    """The columns of the row with this id. NotThere when there is none."""
    row = connection.execute(select(table).where(table.c.id == row_id)).mappings().first()
    if row is None:
        raise NotThere(f"There is no {table.name.replace('_', ' ')} with the id {row_id!r}.")
    return dict(row)


def rows(connection: Connection, statement: Any, cls: type[T]) -> tuple[T, ...]:
    """Every row of a question as a dataclass."""
    return tuple(row_of(cls, row) for row in connection.execute(statement).mappings())


def those_there(connection: Connection, table: Table, ids: Iterable[str]) -> set[str]:
    """Which of these ids are in the table."""
    return {
        row_id
        for part in in_chunks(ids)
        for row_id in connection.execute(select(table.c.id).where(table.c.id.in_(part))).scalars()
    }


def erased(connection: Connection, ids: Iterable[str]) -> set[str]:
    """Which of these players or sessions were erased on request."""
    return those_there(connection, ERASED, ids)


def in_chunks(ids: Iterable[str]) -> list[list[str]]:
    """Distinct ids in parts that a database can take at once."""
    distinct = list(dict.fromkeys(ids))
    return [distinct[start : start + CHUNK] for start in range(0, len(distinct), CHUNK)]


def _insert(connection: Connection, table: Table) -> Any:
    return (sqlite if connection.dialect.name == "sqlite" else postgresql).insert(table)
