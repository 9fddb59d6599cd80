"""`firstbounce import`: an export, or the entries that a phone saved as a file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.records_options import FILE, counted, open_records, records_options
from firstbounce.cli.words import echo_json

if TYPE_CHECKING:
    from firstbounce.services.store import Store

LARGEST_BYTES = 200_000_000


@click.command("import", short_help="Take in an export, or what waits on a phone; each entry once.")
@click.argument("file", type=FILE)
@records_options
@json_option
def command(file: Path, data: Path | None, database: str | None, as_json: bool) -> None:
    """Take in FILE: an export of this program (.zip), or the waiting entries that a phone saved (.json).

    What is there already stays as it is; taking the same file in twice changes nothing.

    Example:  firstbounce import firstbounce-waiting-2026-05-14.json
    """
    with open_records(data, database) as store:
        told = _waiting(store, file) if _is_json(file) else _export(store, file)
    if as_json:
        echo_json(told)
    else:
        click.echo(_words(told))


def _is_json(file: Path) -> bool:
    with file.open("rb") as start:
        return start.read(64).lstrip().startswith(b"{")


def _export(store: Store, file: Path) -> dict[str, Any]:
    from firstbounce.services.transfer import take_in

    taken = take_in(store, file)
    return {
        "rows": taken.rows,
        "files": taken.files,
        "left_out": list(taken.left_out),
        "missing_files": list(taken.missing_files),
    }


def _waiting(store: Store, file: Path) -> dict[str, Any]:
    """Entries of a phone, as the page would have sent them."""
    from pydantic import ValidationError

    from firstbounce.errors import FileFault, FileFaults
    from firstbounce.services.outbox import MOST_ROWS, Outbox, take

    fault = "this is not a file of entries that wait on a phone"
    try:
        if file.stat().st_size > LARGEST_BYTES:
            raise ValueError
        whole = json.loads(file.read_bytes())
        rows = whole["rows"]
        parts = [
            Outbox.model_validate({"v": whole["v"], "rows": rows[i : i + MOST_ROWS]})
            for i in range(0, len(rows), MOST_ROWS)
        ]
    except (ValueError, KeyError, TypeError, RecursionError, ValidationError):
        raise FileFaults(file, [FileFault(line=None, column=None, problem=fault)]) from None
    stored: list[str] = []
    refused: list[dict[str, Any]] = []
    for part in parts:
        settled = take(store, part)
        stored += settled.stored
        refused += [one.model_dump() for one in settled.refused]
    return {"stored": stored, "refused": refused}


def _words(told: dict[str, Any]) -> str:
    if "stored" in told:
        lines = [f"{len(told['stored'])} entries of the phone are in the records"]
        lines += [f"not taken: {one['id'][:8]}: {one['error']}" for one in told["refused"]]
        return "\n".join(lines)
    lines = [f"new: {counted(told['rows'])}; files: {told['files']}"]
    if told["left_out"]:
        lines.append(f"players erased here stay erased: {len(told['left_out'])}")
    lines += [f"file {file_id} was missing or changed and was not kept" for file_id in told["missing_files"]]
    return "\n".join(lines)
