"""A height grid as CSV: rows of numbers in metres, nothing else."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

from firstbounce.errors import FileFault, FileFaults
from firstbounce.files.numbers import number_fault
from firstbounce.files.reading import read_text, whole_file

LEAST = 4  #: rows and columns from which a smooth surface can be drawn
MOST = 1000  #: rows and columns
HIGHEST_M = 50.0  #: heights are above the green's own mark [m]

Rows = tuple[tuple[float, ...], ...]


def read_heights(path: Path) -> Rows:
    """Heights [m], first row nearest. Raises FileFaults with every fault found."""
    faults: list[FileFault] = []
    rows: list[tuple[float, ...]] = []
    for line, cells in _lines(path):
        rows.append(tuple(_height(cell, line, column, faults) for column, cell in enumerate(cells, 1)))
        if len(cells) != len(rows[0]):
            problem = f"has {len(cells)} heights, the first row has {len(rows[0])}; all rows are alike"
            faults.append(FileFault(line=line, column=None, problem=problem))
    if not faults and not (LEAST <= len(rows) <= MOST and LEAST <= len(rows[0]) <= MOST):
        size = f"{len(rows)} rows of {len(rows[0]) if rows else 0}"
        raise whole_file(path, f"needs {LEAST} to {MOST} rows of {LEAST} to {MOST} heights, got {size}")
    if faults:
        raise FileFaults(path, faults)
    return tuple(rows)


def write_heights(path: Path, rows: Rows) -> None:
    """Write the grid; reading it back gives the same numbers."""
    text = "".join(",".join(repr(float(height)) for height in row) + "\n" for row in rows)
    path.write_text(text, encoding="utf-8", newline="\n")


def _lines(path: Path) -> list[tuple[int, list[str]]]:
    """Line number and cells of each line that is neither blank nor a comment."""
    reader = csv.reader(io.StringIO(read_text(path)))
    try:
        return [(reader.line_num, row) for row in reader if any(row) and not row[0].startswith("#")]
    except csv.Error as error:
        problem = f"this is not CSV ({error})"
        raise FileFaults(path, [FileFault(line=reader.line_num, column=None, problem=problem)]) from None


def _height(cell: str, line: int, column: int, faults: list[FileFault]) -> float:
    problem = number_fault(cell)
    height = math.nan if problem else float(cell)
    if problem is None and abs(height) > HIGHEST_M:
        problem = f"{height:g} is outside -{HIGHEST_M:g} to {HIGHEST_M:g} metres above the green's own mark"
    if problem is not None:
        faults.append(FileFault(line=line, column=str(column), problem=problem))
    return height
