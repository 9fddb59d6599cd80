"""Long benches in pieces: every finished row goes to a file, and the next run goes on from there."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

UNFINISHED = 3  #: exit status of a run that stopped before the end


def add_options(parser: argparse.ArgumentParser) -> None:
    """`--file` and `--seconds` of a bench that can stop and go on."""
    parser.add_argument(
        "--file", type=Path, help="keep finished rows here, and go on from those that it holds"
    )
    parser.add_argument("--seconds", type=float, help="stop after this long; run again with --file to go on")


def in_pieces(
    work: Callable[[int], Any], n: int, label: str, path: Path | None, seconds: float | None
) -> list[Any] | None:
    """work(0) ... work(n - 1), JSON rows; None when the time ran out first.

    `label` says what the rows are of: a file that was written for something else is refused.
    """
    rows = _kept(path, label) if path else {}
    stop = time.monotonic() + seconds if seconds else float("inf")
    for k in range(n):
        if k in rows:
            continue
        if time.monotonic() > stop:
            print(f"{len(rows)} of {n} done; run again with the same --file to go on")
            return None
        rows[k] = work(k)
        if path:
            with path.open("a") as file:
                file.write(json.dumps([k, rows[k]]) + "\n")
        if sys.stderr.isatty():
            print(f"\r{len(rows)} of {n}", end="", file=sys.stderr, flush=True)
    return [rows[k] for k in range(n)]


def _kept(path: Path, label: str) -> dict[int, Any]:
    if not path.exists():
        path.write_text(json.dumps(label) + "\n")
        return {}
    first, *rest = path.read_text().splitlines()
    if json.loads(first) != label:
        raise SystemExit(f"{path} holds rows of {json.loads(first)!r}, not of {label!r}: name another file.")
    return dict(json.loads(line) for line in rest)
