"""Back up while others write; restore everything as it was."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from firstbounce.errors import StoreError
from firstbounce.records import erase as eraser
from firstbounce.records.engine import plain_errors
from firstbounce.records.merge import check_rows, replace_all
from firstbounce.records.migrate import bring_up
from firstbounce.records.queries import put
from firstbounce.records.snapshot import BACKUPS, FILES, open_copy, opened_backup, save_backup
from firstbounce.records.store import Store
from firstbounce.records.tables import ERASED


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What a restore put in place."""

    made: str  #: when the backup was made
    rows: dict[str, int]  #: by table
    before: Path  #: a backup of what was there before
    erased_again: tuple[str, ...]  #: ids of players that were erased since the backup and stay so


def backup(store: Store, to: Path | None = None) -> Path:
    """Write everything into one file and give its path; the records may be in use meanwhile."""
    if to is not None and to.is_dir():
        raise StoreError(f"{to} is a folder; name the file of the backup.")
    try:
        with plain_errors():
            return save_backup(store.engine, store.folder, now=store.clock(), to=to)
    except OSError as error:
        raise StoreError(
            f"The backup could not be written ({error.strerror}); nothing else was changed."
        ) from None


def backups(store: Store) -> tuple[Path, ...]:
    """The backups in the data folder, oldest first."""
    return tuple(sorted((store.folder / BACKUPS).glob("*.zip")))


def restore(store: Store, path: Path) -> Restored:
    """Put a backup in place of everything, all or nothing, after a backup of what is there now."""
    with opened_backup(path) as (database, files, manifest), plain_errors():
        copy = open_copy(database)
        try:
            bring_up(copy, backup=lambda _: None)
            with copy.connect() as source:
                check_rows(source)
            before = save_backup(store.engine, store.folder, now=store.clock(), why="before-restore")
            with copy.connect() as source, store.write() as target:
                gone = eraser.erased_players(target)
                rows = replace_all(source, target)
                put(target, ERASED, gone)
                again = tuple(str(one["id"]) for one in gone if one["kind"] == "player")
                for player_id in again:
                    eraser.erase_rows(target, player_id)
        finally:
            copy.dispose()
        _put_files(files, store)
    return Restored(made=str(manifest["made"]), rows=rows, before=before, erased_again=again)


def _put_files(files: Path, store: Store) -> None:
    target = store.folder / FILES
    target.mkdir(exist_ok=True, mode=0o700)
    for path in files.iterdir():
        shutil.copyfile(path, target / path.name)
