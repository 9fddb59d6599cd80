"""Export everything or one player in open forms; import it again: what is there already stays as it is."""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
import json
import os
import re
import tempfile
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from firstbounce.errors import FirstbounceError, StoreError
from firstbounce.files.balls import LoggedBalls, format_balls
from firstbounce.files.green import format_green
from firstbounce.records import export as gate
from firstbounce.records.files import write_file
from firstbounce.records.migrate import HEAD, REVISIONS
from firstbounce.records.rows.balls import KeptBall
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.snapshot import FILES, MANIFEST
from firstbounce.records.store import Store
from firstbounce.services import greens, kept, players, sessions
from firstbounce.services.day_balls import by_name, stations_of
from firstbounce.services.kept_plans import kept_picture

FORMAT = 1
LARGEST_TABLE_BYTES = 1_000_000_000
MOST_PICTURES = 20  #: plans drawn for one player
FORMULA = ("=", "+", "-", "@", "\t", "\r")  #: a spreadsheet would take such a text for a formula
README = """\
An export of Firstbounce records, format 1. See docs/records.md.

manifest.json   what this is, when it was made, the schema and the number of rows of each table
json/           every row of each table; this is what `firstbounce import` reads
csv/            the same for spreadsheets; text that would be a formula has an apostrophe before it
files/          pictures, clips and guides under their ids; csv/kept_file.csv has their names
players/        by player and day: balls.csv and green.toml as the commands fit, plan and review read them;
                with --pictures the newest plans, drawn

Lengths are metres, angles degrees, times UTC with the offset of the place in minutes.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What was written."""

    path: Path
    rows: dict[str, int]  #: by table
    files: int
    missing_files: tuple[str, ...]  #: ids of files whose bytes were gone


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """What was taken in: rows that were not there yet."""

    rows: dict[str, int]  #: by table
    files: int
    left_out: tuple[str, ...]  #: ids of players that were erased here and stay so
    missing_files: tuple[str, ...]


def export(store: Store, to: Path, player_id: str | None = None, *, pictures: bool = False) -> Exported:
    """Write a ZIP with everything, or with all that belongs to one player; others may go on writing."""
    to.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=to.parent, prefix=".export-") as work:
        part = Path(work) / "export.zip"
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as out:
            rows, file_rows = _write_tables(store, out, player_id)
            missing = [row["id"] for row in file_rows if not _write_file(store, out, row["id"])]
            of = [player_id] if player_id else [line.id for line in players.every_player(store)]
            _write_for_commands(store, out, of)
            if pictures:
                _write_pictures(store, out, of)
            out.writestr("README.txt", README)
            out.writestr(MANIFEST, json.dumps(_manifest(store, player_id, rows), indent=1))
        os.replace(part, to)
    return Exported(path=to, rows=rows, files=len(file_rows) - len(missing), missing_files=tuple(missing))


def take_in(store: Store, path: Path) -> Imported:
    """Take an export in: rows that are new, all or nothing. StoreError says what is wrong with the file."""
    try:
        with zipfile.ZipFile(path) as bundle, tempfile.TemporaryDirectory(prefix="firstbounce-") as work:
            manifest = _read_manifest(bundle, path)
            tables = {name: _read_table(bundle, name) for name in manifest["rows"]}
            file_rows = list(_read_table(bundle, "kept_file")) if "kept_file" in manifest["rows"] else []
            rows, left_out = gate.take_in(store, tables, manifest["schema"], Path(work))
            done, missing = _read_files(store, bundle, file_rows) if rows.get("kept_file") else (0, [])
    except (zipfile.BadZipFile, OSError, KeyError, TypeError, ValueError) as error:
        if isinstance(error, FirstbounceError):
            raise
        raise StoreError(
            f"{path} is not an export of these records ({error}); nothing was taken in."
        ) from None
    return Imported(
        rows={name: number for name, number in rows.items() if number},
        files=done,
        left_out=left_out,
        missing_files=tuple(missing),
    )


def _manifest(store: Store, player_id: str | None, rows: dict[str, int]) -> dict[str, Any]:
    return {
        "firstbounce": "export",
        "format": FORMAT,
        "made": store.clock().isoformat(),
        "schema": HEAD,
        "of": player_id or "everything",
        "rows": rows,
    }


def _write_tables(
    store: Store, out: zipfile.ZipFile, player_id: str | None
) -> tuple[dict[str, int], list[dict[str, Any]]]:
    """Every table as JSON and CSV. Gives the number of rows and the rows of kept files."""
    count: dict[str, int] = {}
    file_rows: list[dict[str, Any]] = []
    with gate.leaving(store, player_id) as tables:
        for name, rows in tables.items():
            sheet = io.StringIO()
            writer = csv.DictWriter(sheet, gate.columns(name), lineterminator="\n")
            writer.writeheader()
            count[name] = 0
            with out.open(f"json/{name}.json", "w") as text:
                text.write(b"[")
                for row in rows:
                    text.write(b",\n" if count[name] else b"\n")
                    text.write(json.dumps(row, ensure_ascii=False, allow_nan=False).encode())
                    writer.writerow({key: _cell(value) for key, value in row.items()})
                    count[name] += 1
                    if name == "kept_file":
                        file_rows.append(row)
                text.write(b"\n]\n")
            out.writestr(f"csv/{name}.csv", sheet.getvalue())
    return count, file_rows


def _cell(value: Any) -> Any:
    if isinstance(value, (dict, list)):
        return json.dumps(value, ensure_ascii=False)
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA) else value


def _write_file(store: Store, out: zipfile.ZipFile, file_id: str) -> bool:
    place = store.folder / FILES / file_id
    if not place.is_file():
        return False
    out.write(place, f"{FILES}/{file_id}")
    return True


def _write_for_commands(store: Store, out: zipfile.ZipFile, player_ids: list[str]) -> None:
    """Balls and greens in the files that the other commands read; what these cannot say is in json/ alone."""
    for player_id in player_ids:
        player = players.player(store, player_id)
        for day_id, balls in _by_day(store, player_id).items():
            folder = f"players/{player_id}/{day_id or 'without-a-green'}"
            try:
                logged = _write_green(store, out, folder, player, day_id, balls)
                out.writestr(f"{folder}/balls.csv", format_balls(logged))
            except FirstbounceError as error:
                out.writestr(f"{folder}/not-written.txt", f"{error}\n")


def _write_green(
    store: Store,
    out: zipfile.ZipFile,
    folder: str,
    player: PlayerRow,
    day_id: str | None,
    balls: list[KeptBall],
) -> LoggedBalls:
    """The green of a day with the stations of its balls; gives the balls, which name those stations."""
    logged = sessions.spoken_balls(balls)
    if day_id is None:
        return logged
    stations = stations_of(store, day_id, balls)
    try:
        file = greens.green_file(store, day_id, player=player, stations=stations)
    except FirstbounceError as error:
        out.writestr(f"{folder}/not-written.txt", f"{error}\n")
        return logged
    out.writestr(f"{folder}/green.toml", format_green(file))
    return by_name(logged, stations, (one.name for one in file.station))


def _write_pictures(store: Store, out: zipfile.ZipFile, player_ids: list[str]) -> None:
    """The first choice of the newest plans, as SVG; a plan that cannot be drawn again is left out."""
    for player_id in player_ids:
        unit = players.player(store, player_id).units
        for row in kept.plans(store, player_id, limit=MOST_PICTURES):
            try:
                svg = kept_picture(store, row.id, row.result["choices"][0]["club"], unit)
            except (FirstbounceError, KeyError, IndexError):
                continue
            out.writestr(f"players/{player_id}/plans/{row.id}.svg", svg)


def _by_day(store: Store, player_id: str) -> dict[str | None, list[KeptBall]]:
    days: dict[str | None, list[KeptBall]] = {}
    skip = 0
    while page := sessions.sessions(store, player_id, limit=sessions.PAGE, skip=skip):
        for one in page:
            balls = sessions.session_balls(store, one.id)
            if balls:
                days.setdefault(one.day_id, []).extend(balls)
        skip += len(page)
    return days


def _read_manifest(bundle: zipfile.ZipFile, path: Path) -> dict[str, Any]:
    manifest: dict[str, Any] = json.loads(bundle.read(MANIFEST))
    if manifest.get("firstbounce") == "backup":
        raise StoreError(f"{path} is a backup: it replaces everything; use `firstbounce restore`.")
    if manifest.get("firstbounce") != "export" or manifest.get("format") != FORMAT:
        raise ValueError("the manifest is of something else")
    if manifest["schema"] not in REVISIONS:
        raise StoreError(f"{path} was written by a newer version of the program; nothing was taken in.")
    return manifest


def _read_table(bundle: zipfile.ZipFile, name: str) -> Iterator[dict[str, Any]]:
    if not re.fullmatch(r"[a-z_]{1,40}", name):
        raise ValueError(f"a table cannot be called {name[:40]!r}")
    info = bundle.getinfo(f"json/{name}.json")
    if info.file_size > LARGEST_TABLE_BYTES:
        raise ValueError(f"the table {name} is too large")
    rows = json.loads(bundle.read(info))
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise ValueError(f"json/{name}.json is not a list of rows")
    return iter(rows)


def _read_files(
    store: Store, bundle: zipfile.ZipFile, file_rows: list[dict[str, Any]]
) -> tuple[int, list[str]]:
    """Files that are not there yet and whose bytes are what their row says."""
    done, missing = 0, []
    names = set(bundle.namelist())
    for row in file_rows:
        if (store.folder / FILES / row["id"]).is_file():
            continue
        name = f"{FILES}/{row['id']}"
        data = bundle.read(name) if name in names else b""
        if name not in names or hashlib.sha256(data).hexdigest() != row["sha256"]:
            missing.append(row["id"])
            continue
        write_file(store.folder, row["id"], data)
        done += 1
    return done, missing


def export_name(store: Store, player_id: str | None = None) -> str:
    """A name for an export that says nothing of the player."""
    day = store.clock().astimezone(datetime.UTC).strftime("%Y%m%d")
    return f"firstbounce-{day}-{player_id[:8] if player_id else 'everything'}.zip"
