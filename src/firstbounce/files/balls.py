"""`balls.csv`: read, check and write. A file with any fault gives nothing but the list of its faults."""

from __future__ import annotations

import csv
import gc
import io
from collections.abc import Hashable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from firstbounce.errors import FileFault, FileFaults, ParameterError
from firstbounce.files.ball_checks import doubts
from firstbounce.files.ball_columns import BY_NAME, COLUMNS, Column, Value
from firstbounce.files.ball_quick import quick_balls
from firstbounce.files.ball_rows import RowFault, ball_of_row, row_of_ball
from firstbounce.files.reading import read_text, whole_file
from firstbounce.players.clubs import Bag
from firstbounce.words import Ball, Lie, Station, Tally

FORMAT = 1
FIRST_LINE = f"# firstbounce balls {FORMAT}"
SEPARATORS = {";": "semicolons", "\t": "tabs"}
PLACES = ("landed", "finished")
SAYS_SOMETHING = ("landed_x_m", "finished_x_m", "carry_m", "holed", "tally_landed", "tally_finished")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedBalls:
    """What a `balls.csv` holds: placed balls and tallied balls, each in the order of the file."""

    balls: tuple[Ball, ...] = ()
    tallies: tuple[Tally, ...] = ()

    @property
    def every(self) -> tuple[Ball | Tally, ...]:
        """Placed balls, then tallied ones."""
        return (*self.balls, *self.tallies)


def read_balls(
    path: Path, *, stations: Mapping[str, Station] | None = None, bag: Bag | None = None
) -> LoggedBalls:
    """All balls of the file. Raises FileFaults with every fault found.

    `stations` are those of `green.toml` by name and fill what a row leaves empty; None takes any name as a
    mere label. `bag` gives clubs their names, however they are written; None takes any name as it is.
    """
    return parse_balls(path, read_text(path), stations=stations, bag=bag)


def parse_balls(
    path: Path,
    text: str,
    *,
    stations: Mapping[str, Station] | None = None,
    bag: Bag | None = None,
) -> LoggedBalls:
    """As `read_balls`, from text; `path` only names the file in faults."""
    reader = csv.reader(io.StringIO(text))
    reading = _Reading(stations=stations, bag=bag)
    try:
        reading.header(path, reader)
        with _no_garbage_runs():
            reading.rows([(reader.line_num, row) for row in reader if any(row)])
    except csv.Error as error:
        reading.fault(reader.line_num, None, f"this is not CSV ({error})")
    if reading.faults:
        raise FileFaults(path, sorted(reading.faults, key=lambda fault: fault.line or 0))
    if not reading.lines:
        raise whole_file(path, "there are no balls in the file, only its header")
    return LoggedBalls(balls=tuple(reading.balls), tallies=tuple(reading.tallies))


def write_balls(path: Path, logged: LoggedBalls) -> None:
    """Write the file; reading it back gives equal balls. Raises ParameterError when that cannot be."""
    path.write_text(format_balls(logged), encoding="utf-8", newline="\n")


def format_balls(logged: LoggedBalls) -> str:
    """Text of a `balls.csv` with these balls; columns that stay empty are left out."""
    rows = [row_of_ball(ball) for ball in logged.every]
    used = {name for row in rows for name, cell in row.items() if cell} | {
        "id",
        "club",
        "start_x_m",
        "start_y_m",
    }
    names = [column.name for column in COLUMNS if column.name in used]
    out = io.StringIO()
    out.write(FIRST_LINE + "\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([row.get(name, "") for name in names] for row in rows)
    _sure(out.getvalue(), logged)
    return out.getvalue()


def _sure(text: str, logged: LoggedBalls) -> None:
    """Refuse text that does not read back as the same balls."""
    if not logged.balls and not logged.tallies:
        raise ParameterError("There are no balls to write.")
    try:
        again = parse_balls(Path("balls.csv"), text)
    except FileFaults as error:
        raise ParameterError(f"These balls cannot be written: {error.faults[0]}") from None
    for before, after in zip(logged.every, again.every, strict=True):
        if before != after:
            raise ParameterError(
                f"Ball {before.id!r} cannot be written without change: {before} reads as {after}."
            )


@contextmanager
def _no_garbage_runs() -> Iterator[None]:
    """Searching for cycles among a million new objects that have none doubles the time of a large file."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@dataclass(slots=True)
class _Reading:
    """One pass over the rows: what was read and what was wrong."""

    stations: Mapping[str, Station] | None
    bag: Bag | None
    columns: list[Column] = field(default_factory=list)
    faults: list[FileFault] = field(default_factory=list)
    balls: list[Ball] = field(default_factory=list)
    tallies: list[Tally] = field(default_factory=list)
    lines: dict[Value | None, int] = field(default_factory=dict)  #: first line of each id
    bad_lines: set[int] = field(default_factory=set)  #: lines with a faulty cell
    lies: dict[Hashable, Lie] = field(default_factory=dict)  #: equal lies are one object

    def fault(self, line: int | None, column: str | None, problem: str) -> None:
        self.faults.append(FileFault(line=line, column=column, problem=problem))

    def header(self, path: Path, reader: Iterator[list[str]]) -> None:
        """The version line, comment lines and the names of the columns."""
        first = next(reader, None)
        if first is None:
            raise whole_file(path, f"the file is empty; it starts with the line {FIRST_LINE!r}")
        self._version(path, first)
        names = next((row for row in reader if any(row) and not row[0].startswith("#")), None)
        if names is None:
            raise whole_file(path, "there is no line of column names after the first line")
        line = reader.line_num  # type: ignore[attr-defined]
        self._separator(path, names, line)
        self._columns([name.strip().lower() for name in names], line)
        if self.faults:
            raise FileFaults(path, self.faults)

    def _version(self, path: Path, first: list[str]) -> None:
        said = first[0].strip(" ;\t") if first else ""
        if said == FIRST_LINE:
            return
        if said.startswith(FIRST_LINE[:-1]):
            problem = f"this version reads format {FORMAT}, got {said[len(FIRST_LINE) - 1 :][:20]!r}"
        else:
            problem = f"the first line must be {FIRST_LINE!r}, got {','.join(first)[:60]!r}"
        raise FileFaults(path, [FileFault(line=1, column=None, problem=problem)])

    def _separator(self, path: Path, names: list[str], line: int) -> None:
        for sign, called in SEPARATORS.items():
            if len(names) == 1 and sign in names[0]:
                problem = (
                    f"columns are separated by {called}; save with commas, and numbers with a decimal point"
                )
                raise FileFaults(path, [FileFault(line=line, column=None, problem=problem)])

    def _columns(self, names: list[str], line: int) -> None:
        while names and not names[-1]:
            names.pop()
        for place, name in enumerate(names, 1):
            if name not in BY_NAME:
                close = get_close_matches(name, BY_NAME, n=1)
                meant = f"; did you mean {close[0]}?" if close else "; see docs/files.md for the columns"
                self.fault(line, name or str(place), f"this column is not known{meant}")
            elif names.index(name) != place - 1:
                self.fault(line, name, "this column stands twice")
        self._missing(set(names), line)
        self.columns = [BY_NAME[name] for name in names if name in BY_NAME]

    def _missing(self, names: set[str], line: int) -> None:
        for name in ("id", "club"):
            if name not in names:
                self.fault(line, name, f"this column is missing; {BY_NAME[name].meaning}")
        for base in ("start", "hole", "aim", *PLACES):
            pair = {f"{base}_x_m", f"{base}_y_m"}
            for name in sorted(pair - names):
                if pair & names or (base == "start" and "station" not in names):
                    self.fault(line, name, f"this column is missing; {BY_NAME[name].meaning}")
        if not names.intersection(SAYS_SOMETHING):
            wanted = "landed_x_m, landed_y_m, finished_x_m, finished_y_m; or carry_m, run_m; or tally_landed"
            self.fault(line, None, f"no column says where a ball went; give {wanted}")

    def rows(self, rows: list[tuple[int, list[str]]]) -> None:
        """Every ball of the file, or the faults."""
        whole = [(line, cells) for line, cells in rows if self._has_all_cells(line, cells)]
        if not whole:
            return
        lines = [line for line, _ in whole]
        columns = self._values(lines, [cells for _, cells in whole])
        self._names(columns, lines)
        bad = (
            {place for place, line in enumerate(lines) if line in self.bad_lines} if self.bad_lines else set()
        )
        for place, ball in enumerate(quick_balls(columns, len(lines), self.stations, self.lies, bad)):
            if ball is not None:
                self.balls.append(ball)
            elif place not in bad:
                self._ball(lines[place], {name: cells[place] for name, cells in columns.items()})

    def _has_all_cells(self, line: int, cells: list[str]) -> bool:
        """Cells for every column; a spreadsheet may add empty ones at the end."""
        wanted = len(self.columns)
        if len(cells) == wanted or (len(cells) > wanted and not any(cells[wanted:])):
            return True
        self.fault(line, None, f"has {len(cells)} cells, the header names {wanted} columns")
        return False

    def _values(self, lines: list[int], rows: list[list[str]]) -> dict[str, list[Value | None]]:
        """Values of each column; faulty cells are noted and become None."""
        read: dict[str, list[Value | None]] = {}
        for column, cells in zip(self.columns, zip(*rows, strict=False), strict=False):
            read[column.name], wrong = column.read_all(cells)
            for position, problem in wrong.items():
                self.fault(lines[position], column.name, problem)
                self.bad_lines.add(lines[position])
        return read

    def _ball(self, line: int, values: dict[str, Value | None]) -> None:
        """A row that is not plain: a tally, paces, a doubt or a fault."""
        try:
            ball = ball_of_row(values, self.stations, self.lies)
        except RowFault as error:
            self.fault(line, error.column, str(error))
            return
        if not values.get("checked"):
            for column, problem in doubts(ball):
                self.fault(line, column, problem)
        if isinstance(ball, Ball):
            self.balls.append(ball)
        else:
            self.tallies.append(ball)

    def _names(self, columns: dict[str, list[Value | None]], lines: list[int]) -> None:
        """Every ball and club has a name, each ball its own; clubs get the bag's names."""
        ids, clubs = columns["id"], columns["club"]
        for place in (place for place, pair in enumerate(zip(ids, clubs, strict=True)) if None in pair):
            if lines[place] not in self.bad_lines:
                name = "id" if ids[place] is None else "club"
                self.fault(lines[place], name, f"is empty; {BY_NAME[name].meaning}")
                self.bad_lines.add(lines[place])
        self.lines = dict(zip(reversed(ids), reversed(lines), strict=True))
        if len(self.lines) < len(lines):
            self._twice(ids, lines)
        if self.bag is not None:
            columns["club"] = self._clubs(clubs, lines, self.bag)

    def _twice(self, ids: list[Value | None], lines: list[int]) -> None:
        for ball_id, line in zip(ids, lines, strict=True):
            first = self.lines[ball_id]
            if ball_id is not None and first != line:
                self.fault(line, "id", f"ball {ball_id!r} stands on line {first} already; each ball once")

    def _clubs(self, clubs: list[Value | None], lines: list[int], bag: Bag) -> list[Value | None]:
        """The bag's own names of the clubs; a club outside the bag is a fault."""
        named: dict[Value | None, Value | None] = {None: None}
        for club in set(clubs) - {None}:
            with suppress(ParameterError):
                named[club] = bag.club(str(club)).name
        for club, line in zip(clubs, lines, strict=True):
            if club not in named:
                self.fault(line, "club", f"{club!r} is not in the bag: {', '.join(bag.names)}")
        return [named.get(club) for club in clubs]
