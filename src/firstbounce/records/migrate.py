"""Bring a database up to date: under a lock, after a backup, all or nothing; refuse one that is newer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from firstbounce.errors import StoreError
from firstbounce.records.engine import engine_for

REVISIONS = (
    "0001",
    "0002",
    "0003",
)  #: every schema ever released, oldest first; tests/records/schemas keeps each of them
HEAD = REVISIONS[-1]
VERSION_TABLE = "alembic_version"
ADVISORY_LOCK = 7_246_019_355_120_417  #: any number that no one else uses


def bring_up(engine: Engine, *, backup: Callable[[str], None], to: str = HEAD) -> str | None:
    """Make or migrate the schema. Gives the revision found, None for an empty database."""
    _refuse_unknown(to)
    with engine.connect() as connection:
        found = revision_of(connection)
    if found == to:
        return found
    _refuse_unknown(found)
    with _alone(engine) as connection:
        found = revision_of(connection)  # another program may have been quicker
        _refuse_unknown(found)
        if found == to:
            return found
        if found is not None:
            backup(found)
        _upgrade(connection, to)
    return found


def revision_of(connection: Connection) -> str | None:
    """The schema's revision; None when the database is empty. StoreError when it is another program's."""
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        if tables:
            raise StoreError("This database belongs to another program: it holds tables that are not ours.")
        return None
    return connection.execute(text(f"select version_num from {VERSION_TABLE}")).scalar()


def _refuse_unknown(found: str | None) -> None:
    if found is not None and found not in REVISIONS:
        raise StoreError(
            f"These records were written by a newer version of the program (schema {found}, this one knows "
            f"{HEAD}); install that version or restore an older backup."
        )


@contextmanager
def _alone(engine: Engine) -> Iterator[Connection]:
    """A transaction in which nobody else migrates; foreign keys are looked at when it ends."""
    sqlite = engine.dialect.name == "sqlite"
    own = engine_for(engine.url, foreign_keys=False) if sqlite else engine
    try:
        with own.connect() as fresh:
            connection = fresh.execution_options(writes=True)
            with connection.begin():
                if not sqlite:
                    connection.execute(text(f"select pg_advisory_xact_lock({ADVISORY_LOCK})"))
                yield connection
                if sqlite and connection.exec_driver_sql("pragma foreign_key_check").first():
                    raise StoreError(
                        "The migration would leave rows that point nowhere; nothing was changed."
                    )
    finally:
        if sqlite:
            own.dispose()


def _upgrade(connection: Connection, to: str) -> None:
    from alembic import command

    command.upgrade(alembic_config(connection), to)


def alembic_config(connection: Connection) -> Any:
    """Alembic's settings, bound to a connection that is in a transaction already."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "firstbounce.records:migrations")
    config.attributes["connection"] = connection
    return config
