"""A whole copy of the records in one file, consistent while others write.

A backup is a ZIP of `records.sqlite` (whatever the database was), the kept files and `manifest.json`.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import os
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, MetaData, Table, select

from firstbounce.errors import StoreError
from firstbounce.records.engine import FILE_NAME, engine_for, sqlite_url
from firstbounce.records.migrate import bring_up, revision_of

FORMAT = 1
BACKUPS = "backups"  #: folder of backups in the data folder
FILES = "files"  #: folder of kept files in the data folder, and in a backup
MANIFEST = "manifest.json"
BATCH = 1000  #: rows copied at a time


def save_backup(
    engine: Engine, folder: Path, *, now: datetime.datetime, to: Path | None = None, why: str = "backup"
) -> Path:
    """Write a backup to `to`, else into the folder's `backups`; gives its path. Others may go on writing."""
    target = to or _free_name(folder / BACKUPS, now, why)
    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as work:
        copy = Path(work) / FILE_NAME
        revision = copy_database(engine, copy)
        bundle = Path(work) / "backup.zip"
        _bundle(bundle, copy, folder / FILES, {"made": now.isoformat(), "schema": revision, "why": why})
        os.replace(bundle, target)
    return target


def copy_database(engine: Engine, to: Path) -> str:
    """Copy every row, as of one moment, into a new SQLite file of the same schema; gives its revision."""
    if engine.dialect.name == "sqlite":
        _copy_sqlite(str(engine.url.database), to)
        with one_moment(engine) as connection:
            return _revision(connection)
    with one_moment(engine) as connection:
        _copy_rows(connection, to, _revision(connection))
        return _revision(connection)


@contextmanager
def one_moment(engine: Engine) -> Iterator[Connection]:
    """A connection all of whose questions are answered as of one moment."""
    with engine.connect() as fresh:
        if engine.dialect.name == "postgresql":
            fresh = fresh.execution_options(isolation_level="REPEATABLE READ")  # noqa: PLW2901
        with fresh.begin():
            yield fresh


def _revision(connection: Connection) -> str:
    revision = revision_of(connection)
    if revision is None:
        raise StoreError("The records are empty: there is nothing to copy.")
    return revision


def open_copy(path: Path) -> Engine:
    """The database file of a backup, without foreign keys at work."""
    return engine_for(sqlite_url(path), foreign_keys=False)


@contextmanager
def opened_backup(path: Path) -> Iterator[tuple[Path, Path, dict[str, Any]]]:
    """A backup unpacked: its database file, folder of files and manifest. StoreError when damaged."""
    with tempfile.TemporaryDirectory(prefix="firstbounce-") as work:
        try:
            with zipfile.ZipFile(path) as bundle:
                manifest = json.loads(bundle.read(MANIFEST))
                _unpack(bundle, Path(work), manifest)
        except (zipfile.BadZipFile, KeyError, ValueError, OSError) as error:
            raise StoreError(f"{path} is not a whole backup of these records ({error}).") from None
        yield Path(work) / FILE_NAME, Path(work) / FILES, manifest


def table_of(connection: Connection, name: str) -> Table:
    """A table as it is in the database, whatever its revision."""
    return Table(name, MetaData(), autoload_with=connection)


def rebundle(work: Path, database: Path, files: Path, manifest: dict[str, Any]) -> Path:
    """A backup's parts in one file again, in the folder `work`, without what was deleted in them."""
    copy = sqlite3.connect(database)
    copy.execute("pragma journal_mode = delete")
    copy.execute("vacuum")
    copy.close()
    bundle = work / "backup.zip"
    _bundle(bundle, database, files, {name: manifest[name] for name in ("made", "schema", "why")})
    return bundle


def _free_name(folder: Path, now: datetime.datetime, why: str) -> Path:
    stamp = now.astimezone(datetime.UTC).strftime("%Y%m%dT%H%M%S")
    names = (folder / f"{stamp}Z-{why}{again}.zip" for again in ["", *(f"-{i}" for i in range(2, 1000))])
    return next(path for path in names if not path.exists())


def _copy_sqlite(source: str, to: Path) -> None:
    """One step of SQLite's own backup: it reads one moment and does not stop writers."""
    with sqlite3.connect(source) as old, sqlite3.connect(to) as new:
        old.backup(new)
        new.execute("pragma journal_mode = delete")
    old.close()
    new.close()


def _copy_rows(source: Connection, to: Path, revision: str) -> None:
    target = open_copy(to)
    try:
        bring_up(target, backup=lambda _: None, to=revision)
        with target.connect() as fresh, fresh.execution_options(writes=True).begin():
            known = MetaData()
            known.reflect(fresh)
            for table in known.tables.values():
                fresh.execute(table.delete())
                copy_table(source, fresh, table)
            fresh.commit()
        with target.connect() as fresh:
            fresh.exec_driver_sql("pragma wal_checkpoint(truncate)")
    finally:
        target.dispose()


def copy_table(source: Connection, target: Connection, table: Table) -> None:
    """Copy all rows of a table between databases of the same schema."""
    order = [table.c.arrival] if "arrival" in table.c else []
    found = source.execution_options(yield_per=BATCH).execute(select(table).order_by(*order))
    for part in found.mappings().partitions(BATCH):
        target.execute(table.insert(), [dict(row) for row in part])


def _bundle(bundle: Path, database: Path, files: Path, said: dict[str, Any]) -> None:
    contents = {FILE_NAME: database}
    if files.is_dir():
        contents |= {f"{FILES}/{path.name}": path for path in sorted(files.iterdir()) if path.is_file()}
    sums = {}
    with zipfile.ZipFile(bundle, "w", zipfile.ZIP_DEFLATED) as out:
        for name, path in contents.items():
            data = path.read_bytes()
            sums[name] = hashlib.sha256(data).hexdigest()
            out.writestr(name, data)
        out.writestr(
            MANIFEST,
            json.dumps({"firstbounce": "backup", "format": FORMAT, **said, "sha256": sums}, indent=1),
        )
    with bundle.open("rb+") as written:
        os.fsync(written.fileno())


def _unpack(bundle: zipfile.ZipFile, work: Path, manifest: dict[str, Any]) -> None:
    if manifest.get("firstbounce") != "backup" or manifest.get("format") != FORMAT:
        raise ValueError("the manifest is of something else")
    (work / FILES).mkdir()
    for name, digest in manifest["sha256"].items():
        place = Path(name).name
        data = bundle.read(name)
        if hashlib.sha256(data).hexdigest() != digest:
            raise ValueError(f"{place} was changed")
        (work / (FILE_NAME if name == FILE_NAME else f"{FILES}/{place}")).write_bytes(data)
