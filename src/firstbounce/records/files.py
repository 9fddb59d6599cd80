"""Files of the records: bytes lie under their id in the data folder; a person's file name is only text."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from firstbounce.errors import NotThere, StoreError
from firstbounce.records.snapshot import FILES

LARGEST_BYTES = 500_000_000


def write_file(folder: Path, file_id: str, data: bytes) -> str:
    """Write the bytes, whole or not at all, and give their SHA-256."""
    if len(data) > LARGEST_BYTES:
        raise StoreError(
            f"A file of {len(data) / 1e6:.0f} MB is too large; at most {LARGEST_BYTES / 1e6:.0f} MB."
        )
    place = folder / FILES / file_id
    try:
        place.parent.mkdir(exist_ok=True, mode=0o700)
        part = place.with_suffix(".part")
        with part.open("wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.replace(part, place)
    except OSError as error:
        raise StoreError(f"The file could not be kept ({error.strerror}); nothing was written.") from None
    return hashlib.sha256(data).hexdigest()


def file_path(folder: Path, file_id: str) -> Path:
    """Where the bytes of a file lie. NotThere when they are gone."""
    place = folder / FILES / file_id
    if not place.is_file():
        raise NotThere(f"The file {file_id} is not in the data folder; restore a backup.")
    return place


def delete_file(folder: Path, file_id: str) -> bool:
    """Delete the bytes of a file; False when they were gone already."""
    place = folder / FILES / file_id
    there = place.is_file()
    place.unlink(missing_ok=True)
    return there
