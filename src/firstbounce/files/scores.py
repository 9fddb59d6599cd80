"""`scores.csv`: drills that were scored, one row a try. Read, checked, added to; rows are never changed."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from itertools import groupby
from pathlib import Path

from firstbounce.errors import FileFault, FileFaults, ParameterError
from firstbounce.files.reading import read_text
from firstbounce.practice.drill import Drill
from firstbounce.practice.scoring import DrillScore, Try, score_drill

FIRST_LINE = "# firstbounce scores 1"
RESULTS = ("hit", "miss", "mishit")
COLUMNS = ("score", "at", "player", "drill", "try", "result", "size_m", "carry_m", "stick_m", "note")


def read_scores(path: Path, drills: Iterable[Drill]) -> tuple[DrillScore, ...]:
    """All scores of the file, in its order. Raises FileFaults with every fault found."""
    return parse_scores(path, read_text(path), drills)


def parse_scores(path: Path, text: str, drills: Iterable[Drill]) -> tuple[DrillScore, ...]:
    """As `read_scores`, from text; `path` only names it in faults."""
    lines = text.splitlines()
    faults: list[FileFault] = []
    if not lines or lines[0].strip() != FIRST_LINE:
        raise FileFaults(path, [_fault(1, None, f'the first line must be "{FIRST_LINE}"')])
    rows = list(csv.reader(io.StringIO("\n".join(lines[1:]))))
    if not rows or tuple(rows[0]) != COLUMNS:
        raise FileFaults(path, [_fault(2, None, f"the columns must be {','.join(COLUMNS)}")])
    known = {drill.name.lower(): drill for drill in drills}
    read = [(number, dict(zip(COLUMNS, row, strict=False))) for number, row in enumerate(rows[1:], 3) if row]
    for number, row in read:
        faults += _row_faults(number, row, known)
    if faults:
        raise FileFaults(path, faults)
    scores = []
    for _, group in groupby(read, key=lambda one: one[1]["score"]):
        scored = list(group)
        try:
            scores.append(_score(scored, known))
        except ParameterError as error:
            faults.append(_fault(scored[0][0], "score", str(error)))
    if faults:
        raise FileFaults(path, faults)
    return tuple(scores)


def format_scores(scores: Iterable[DrillScore], *, head: bool = True) -> str:
    """The text of a file with these scores; without its head, the rows only."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if head:
        out.write(FIRST_LINE + "\n")
        writer.writerow(COLUMNS)
    for score in scores:
        for k, one in enumerate(score.tries, 1):
            sizes = [_number(value) for value in (one.size_m, one.carry_m, one.stick_m)]
            result = "hit" if one.hit else "mishit" if one.mishit else "miss"
            writer.writerow([score.id, score.at, score.player, score.drill, k, result, *sizes, score.note])
    return out.getvalue()


def add_score(path: Path, score: DrillScore, drills: Iterable[Drill]) -> int:
    """Add a score to the file, made when it is not there; returns how many it holds. Nothing is changed."""
    before = read_scores(path, drills) if path.exists() else ()
    if any(old.id == score.id for old in before):
        raise ParameterError(f"A score with the id {score.id} is in {path} already.")
    text = format_scores([score], head=not before and not path.exists())
    with path.open("a", encoding="utf-8", newline="\n") as file:
        file.write(text)
    return len(before) + 1


def _score(rows: list[tuple[int, dict[str, str]]], known: dict[str, Drill]) -> DrillScore:
    first = rows[0][1]
    tries = [
        Try(
            hit=row["result"] == "hit",
            mishit=row["result"] == "mishit",
            size_m=_value(row["size_m"]),
            carry_m=_value(row["carry_m"]),
            stick_m=_value(row["stick_m"]),
        )
        for _, row in rows
    ]
    drill = known[first["drill"].lower()]
    return score_drill(
        drill, tries, id=first["score"], at=first["at"], player=first["player"], note=first["note"]
    )


def _row_faults(number: int, row: dict[str, str], known: dict[str, Drill]) -> list[FileFault]:
    faults = []
    if len(row) < len(COLUMNS):
        return [_fault(number, None, f"has {len(row)} cells; {len(COLUMNS)} are needed")]
    if not row["score"].strip():
        faults.append(_fault(number, "score", "is empty; every score has its own id"))
    if row["drill"].lower() not in known:
        faults.append(_fault(number, "drill", f"{row['drill']!r} is not known; name its drill file too"))
    if row["result"] not in RESULTS:
        faults.append(_fault(number, "result", f"must be {', '.join(RESULTS)}, got {row['result']!r}"))
    for column in ("size_m", "carry_m", "stick_m"):
        if row[column] and not _is_number(row[column]):
            faults.append(_fault(number, column, f"must be a number or empty, got {row[column]!r}"))
    return faults


def _is_number(text: str) -> bool:
    try:
        return 0 < float(text) < 1000
    except ValueError:
        return False


def _value(text: str) -> float | None:
    return float(text) if text else None


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.10g}"


def _fault(line: int, column: str | None, problem: str) -> FileFault:
    return FileFault(line=line, column=column, problem=problem)
