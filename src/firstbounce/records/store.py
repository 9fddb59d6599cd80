"""The store: one database, one lane for writes, one folder for files."""

from __future__ import annotations

import datetime
import os
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection

from firstbounce.errors import StoreBusy, StoreError
from firstbounce.records.engine import FILE_NAME, engine_for, plain_errors, sqlite_url
from firstbounce.records.migrate import bring_up

Clock = Callable[[], datetime.datetime]
FOLDER_VARIABLE = "FIRSTBOUNCE_DATA"  #: names the data folder when --data does not
URL_VARIABLE = "FIRSTBOUNCE_DATABASE"  #: URL of a PostgreSQL database instead of a file in the folder
LANE_WAIT_S = 20.0  #: how long a write waits for those before it


def here_and_now() -> datetime.datetime:
    """This moment with the offset of this place."""
    return datetime.datetime.now().astimezone()


def data_folder(given: Path | None = None) -> Path:
    """What was given, else FIRSTBOUNCE_DATA, else the usual place for the data of programs."""
    if given is not None:
        return given
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named)
    import platformdirs

    return Path(platformdirs.user_data_dir("firstbounce", appauthor=False))


class Store:
    """The records. `read` and `write` give a connection in a transaction; SQL stays in this package."""

    def __init__(self, folder: Path, url: str | None = None, clock: Clock = here_and_now) -> None:
        self.folder = folder
        self.clock = clock
        _make_folder(folder)
        self.is_file = url is None
        self.engine = engine_for(url or sqlite_url(folder / FILE_NAME))
        self._lane = threading.Lock() if self.engine.dialect.name == "sqlite" else None

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A connection that sees one moment of the records."""
        with plain_errors(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A connection whose changes are all on disk when the block has ended, or none of them."""
        with self._in_lane(), plain_errors(), self.engine.connect() as fresh:
            connection = fresh.execution_options(writes=True)
            with connection.begin():
                yield connection

    @contextmanager
    def _in_lane(self) -> Iterator[None]:
        """SQLite takes one writer at a time: ours wait here, those of other programs in the database."""
        if self._lane is None:
            yield
            return
        if not self._lane.acquire(timeout=LANE_WAIT_S):
            raise StoreBusy("The records are busy; nothing was written, try again.")
        try:
            yield
        finally:
            self._lane.release()

    def tidy(self) -> None:
        """Leave nothing of deleted rows in the file; another program that reads meanwhile puts it off."""
        if self._lane is None:
            return
        with self._in_lane(), self.engine.connect() as fresh:
            raw = fresh.connection.cursor()
            try:
                raw.execute("vacuum")
                raw.execute("pragma wal_checkpoint(truncate)")
            except sqlite3.OperationalError:
                return
            finally:
                raw.close()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_store(folder: Path | None = None, url: str | None = None, clock: Clock = here_and_now) -> Store:
    """The records in a folder (or in the database at a URL), made when there are none and brought up to date.

    A database of an older version is backed up and migrated under a lock; a newer one is refused.
    """
    store = Store(data_folder(folder), url or os.environ.get(URL_VARIABLE) or None, clock)
    try:
        with plain_errors():
            bring_up(store.engine, backup=lambda revision: _backup(store, revision))
    except BaseException:
        store.close()
        raise
    return store


def _backup(store: Store, revision: str) -> None:
    from firstbounce.records.snapshot import save_backup

    save_backup(store.engine, store.folder, now=store.clock(), why=f"before-migration-of-{revision}")


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise StoreError(f"The data folder {folder} cannot be made: {error.strerror}.") from None
    if not os.access(folder, os.W_OK):
        raise StoreError(f"The data folder {folder} cannot be written to; choose another with --data.")
