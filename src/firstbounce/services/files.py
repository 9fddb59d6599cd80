"""Files that belong to the records: stills, clips, guides, a logo."""

from __future__ import annotations

from pathlib import Path

from firstbounce.errors import NotThere
from firstbounce.records import kept as shelf
from firstbounce.records.files import delete_file, file_path, write_file
from firstbounce.records.queries import new_id
from firstbounce.records.rows.kept import KeptFile
from firstbounce.records.store import Store


def keep_file(
    store: Store,
    data: bytes,
    *,
    kind: str,
    name: str,
    player_id: str | None = None,
    technique_id: str | None = None,
    guide_id: str | None = None,
) -> KeptFile:
    """Keep the bytes of a file. `name` is only shown; where the bytes lie never depends on it."""
    file_id = new_id()
    digest = write_file(store.folder, file_id, data)
    try:
        row = KeptFile(
            id=file_id,
            kind=kind,
            name=name,
            bytes=len(data),
            sha256=digest,
            made=store.clock(),
            player_id=player_id,
            technique_id=technique_id,
            guide_id=guide_id,
        )
        with store.write() as connection:
            shelf.keep(connection, row)
    except BaseException:
        delete_file(store.folder, file_id)
        raise
    return row


def file(store: Store, file_id: str) -> tuple[KeptFile, Path]:
    """A file and where its bytes lie. NotThere when there is none."""
    with store.read() as connection:
        row = shelf.file_row(connection, file_id)
    return row, file_path(store.folder, row.id)


def files(store: Store, player_id: str | None) -> tuple[KeptFile, ...]:
    """Files of a player (None: of no player), oldest first."""
    with store.read() as connection:
        return shelf.files(connection, player_id)


def drop_file(store: Store, file_id: str) -> None:
    """Delete a file."""
    with store.write() as connection:
        shelf.drop_file(connection, file_id)
    delete_file(store.folder, file_id)


def file_of(store: Store, kind: str, **owner: str) -> bytes:
    """The bytes of the newest file of a kind that belongs to a guide (guide_id) or a technique result."""
    with store.read() as connection:
        mine = [one for one in shelf.files_of(connection, **owner) if one.kind == kind]
    if not mine:
        raise NotThere(f"There is no {kind} here; it may have been erased.")
    return file_path(store.folder, mine[-1].id).read_bytes()
