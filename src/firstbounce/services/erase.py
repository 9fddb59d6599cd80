"""Erase a player on request: what goes is listed row by row, what cannot be erased is said."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from firstbounce.errors import FirstbounceError
from firstbounce.records import erase as eraser
from firstbounce.records import people
from firstbounce.records.files import delete_file
from firstbounce.records.snapshot import open_copy, opened_backup, rebundle
from firstbounce.records.store import Store
from firstbounce.services.backup import backups

OUT_OF_REACH = (
    "guides, pictures and exports that were handed out or saved elsewhere",
    "copies of the data folder or of backups outside it, and snapshots of the disk",
    "entries that still wait on a phone: they are refused when they arrive; clear the page's data there",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Erasure:
    """What is to be erased, or was."""

    player: str  #: name
    rows: dict[str, int]  #: by table
    files: tuple[str, ...]  #: ids of files
    backups: tuple[Path, ...]  #: those that hold the player
    not_read: tuple[Path, ...]  #: backups that could not be looked into
    named_in: tuple[str, ...]  #: texts outside the player's rows in which the name stands
    out_of_reach: tuple[str, ...] = OUT_OF_REACH


def look(store: Store, player_id: str) -> Erasure:
    """What erasing this player would take; nothing is changed. NotThere when there is no such player."""
    with store.read() as connection:
        name = people.player_of(connection, player_id).name
        rows = eraser.count_rows(connection, player_id)
        files = eraser.file_ids(connection, player_id)
        named_in = eraser.where_named(connection, name)
    holding, not_read = _holding(store, player_id)
    return Erasure(player=name, rows=rows, files=files, backups=holding, not_read=not_read, named_in=named_in)


def erase(store: Store, player_id: str, *, and_backups: bool = False) -> Erasure:
    """Erase the player's rows and files, and with `and_backups` also from the backups in the data folder.

    The id, which says nothing of the person, stays on a list, so that what arrives late is refused.
    """
    found = look(store, player_id)
    with store.write() as connection:
        eraser.note_erased(connection, player_id, store.clock())
        eraser.erase_rows(connection, player_id)
        left = eraser.where_named(connection, found.player)
    for file_id in found.files:
        delete_file(store.folder, file_id)
    store.tidy()
    if and_backups:
        for path in found.backups:
            _erase_from_backup(path, player_id)
    return Erasure(
        player=found.player,
        rows=found.rows,
        files=found.files,
        backups=found.backups,
        not_read=found.not_read,
        named_in=left,
    )


def _holding(store: Store, player_id: str) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    holding, not_read = [], []
    for path in backups(store):
        try:
            with opened_backup(path) as (database, _, _):
                if player_id.encode() in database.read_bytes():
                    holding.append(path)
        except FirstbounceError:
            not_read.append(path)
    return tuple(holding), tuple(not_read)


def _erase_from_backup(path: Path, player_id: str) -> None:
    with opened_backup(path) as (database, files, manifest):
        copy = open_copy(database)
        try:
            with copy.connect() as fresh, fresh.begin():
                tables = eraser.reflected(fresh)
                gone = eraser.file_ids(fresh, player_id, tables)
                eraser.erase_rows(fresh, player_id, tables)
        finally:
            copy.dispose()
        for file_id in gone:
            (files / file_id).unlink(missing_ok=True)
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".backup-") as work:
            rebuilt = rebundle(Path(work), database, files, manifest)
            os.replace(rebuilt, path)
