"""Connections: SQLite made durable and strict, PostgreSQL by URL; errors said in a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError, SQLAlchemyError, StatementError

from firstbounce.errors import FirstbounceError, StoreBusy, StoreError

BUSY_TIMEOUT_MS = 5000  #: how long a writer waits for another program
FILE_NAME = "records.sqlite"
PRAGMAS = (
    f"busy_timeout = {BUSY_TIMEOUT_MS}",
    "journal_mode = WAL",
    "synchronous = FULL",
    "foreign_keys = ON",
    "secure_delete = ON",
    "trusted_schema = OFF",
)
AWAY = "The database does not answer; nothing is known to be written, try again."
#: What databases say when they fail, and what a person is told.
ANSWERS: tuple[tuple[tuple[str, ...], type[StoreError], str], ...] = (
    (
        ("disk is full", "no space", "disk i/o", "disk full", "could not extend"),
        StoreError,
        "The disk is full: nothing was written; make room and try again.",
    ),
    (
        ("locked", "busy", "lock timeout"),
        StoreBusy,
        "Another program is writing to the records; nothing was written, try again.",
    ),
    (
        ("connection", "server closed", "terminating", "shutting down", "starting up", "recovery mode"),
        StoreBusy,
        AWAY,
    ),
    (
        ("not a database", "malformed"),
        StoreError,
        "The file of the records is damaged or of another program; restore a backup.",
    ),
)


def sqlite_url(path: Path) -> URL:
    """The URL of a database file."""
    return URL.create("sqlite+pysqlite", database=str(path))


def engine_for(url: str | URL, *, foreign_keys: bool = True) -> Engine:
    """An engine on SQLite or PostgreSQL. StoreError when the URL is neither."""
    try:
        where = make_url(url)
    except ArgumentError:
        raise StoreError(
            "The database URL cannot be read; it looks like postgresql://user@host/name."
        ) from None
    if where.get_backend_name() == "sqlite":
        return _sqlite(where, foreign_keys)
    if where.get_backend_name() == "postgresql":
        return _postgresql(where)
    raise StoreError(f"A database of kind {where.get_backend_name()!r} cannot be used: sqlite or postgresql.")


def _postgresql(where: URL) -> Engine:
    try:
        return create_engine(
            where.set(drivername="postgresql+psycopg"),
            pool_pre_ping=True,
            pool_size=5,
            max_overflow=20,
            connect_args={"connect_timeout": 5, "options": "-c synchronous_commit=on -c lock_timeout=10s"},
        )
    except ModuleNotFoundError:
        raise StoreError("PostgreSQL needs a driver: install firstbounce[postgres].") from None


def _sqlite(where: URL, foreign_keys: bool) -> Engine:
    wait_s = BUSY_TIMEOUT_MS / 1000
    engine = create_engine(where, pool_size=5, max_overflow=20, connect_args={"timeout": wait_s})

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # we say BEGIN ourselves, below
        cursor = connection.cursor()
        for pragma in PRAGMAS:
            cursor.execute(f"pragma {pragma}")
        if not foreign_keys:
            cursor.execute("pragma foreign_keys = OFF")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


@contextmanager
def plain_errors() -> Iterator[None]:
    """What a database says, in one sentence for a person; nothing of the transaction was kept."""
    try:
        yield
    except StatementError as error:
        raise _plain(error) from error
    except SQLAlchemyError as error:
        raise StoreError(f"The records cannot be used: {_first_line(error)}.") from error


def _plain(error: StatementError) -> FirstbounceError:
    if isinstance(error.orig, FirstbounceError):
        return error.orig
    said = str(error.orig).lower()
    if isinstance(error, IntegrityError):
        return StoreError(
            f"This does not fit the other records; nothing was written ({_first_line(error.orig)})."
        )
    if isinstance(error, DBAPIError) and error.connection_invalidated:
        return StoreBusy(AWAY)
    for signs, kind, answer in ANSWERS:
        if any(sign in said for sign in signs):
            return kind(answer)
    return StoreError(f"The records cannot be used: {_first_line(error.orig)}.")


def _first_line(error: object) -> str:
    return (str(error).splitlines() or ["unknown"])[0].rstrip(".")[:200]
