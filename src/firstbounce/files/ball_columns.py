"""The columns of `balls.csv`, version 1: name, how a cell is read, what it means."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from firstbounce.files.numbers import number_fault
from firstbounce.words import LieKind, Strike, TallyFinish, TallyLanding

FEET_HINT = "; were feet typed as metres?"
YES = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}
LONGEST_NAME = 80

Value = str | float | bool | StrEnum


@dataclass(frozen=True, slots=True)
class Column:
    """One column: `read` gives the value of a cell that is not empty, or raises ValueError in plain words."""

    name: str
    read: Callable[[str], Value]
    meaning: str
    span: tuple[float, float] | None = None  #: of a number, lowest and highest

    def read_all(self, cells: Sequence[str]) -> tuple[list[Value | None], dict[int, str]]:
        """Values of all cells, None where empty or faulty, and what is wrong by position.

        Whole columns are read at once because a file may have 100,000 rows.
        """
        joined = ",".join(cells)
        if joined.split(None, 1) != [joined]:  # some cell holds a space, perhaps at its ends
            cells = list(map(str.strip, cells))
        if not any(cells):
            return [None] * len(cells), {}
        try:
            values = self._at_once(cells, joined)
        except ValueError:
            values = None
        return self._one_by_one(cells) if values is None else (values, {})

    def _at_once(self, cells: Sequence[str], joined: str) -> list[Value | None] | None:
        """Values of cells without a fault; None or ValueError when one has to be looked for."""
        if self.span is None:
            known: dict[str, Value | None] = {cell: self.read(cell) for cell in set(cells) if cell}
            return list(map(known.get, cells))
        if "_" in joined:
            return None
        if "" not in cells:
            numbers: list[Any] = list(map(float, cells))
            return numbers if self._inside(numbers) else None
        numbers = [float(cell) if cell else None for cell in cells]
        return numbers if self._inside([number for number in numbers if number is not None]) else None

    def _inside(self, numbers: list[float]) -> bool:
        """Whether all lie within the span; one that is not a number does not."""
        low, high = self.span or (-math.inf, math.inf)
        table = np.array(numbers)
        return bool(low <= table.min() and table.max() <= high)

    def _one_by_one(self, cells: Sequence[str]) -> tuple[list[Value | None], dict[int, str]]:
        values: list[Value | None] = []
        wrong: dict[int, str] = {}
        for position, cell in enumerate(cells):
            value = None
            try:
                value = self.read(cell) if cell else None
            except ValueError as error:
                wrong[position] = str(error)
            values.append(value)
        return values, wrong


def name(cell: str) -> str:
    """A short name on one line."""
    if len(cell) > LONGEST_NAME or not cell.isprintable():
        raise ValueError(f"must be a name of at most {LONGEST_NAME} letters on one line, got {cell[:40]!r}")
    return cell


def yes_or_no(cell: str) -> bool:
    """yes or no."""
    if cell.lower() not in YES:
        raise ValueError(f"must be yes or no, got {cell[:40]!r}")
    return YES[cell.lower()]


def number(low: float, high: float, unit: str, hint: str = "") -> Callable[[str], float]:
    """A reader of numbers from `low` to `high`; `hint` is said of larger ones."""

    def read(cell: str) -> float:
        try:
            value = float(cell)
        except ValueError:
            value = math.nan
        if low <= value <= high and "_" not in cell:
            return value
        problem = number_fault(cell)
        if problem is None:
            said = "below 0, negative" if low == 0 and value < 0 else f"outside {low:g} to {high:g}"
            problem = f"{value:g} is {said} ({unit}){hint if value > high else ''}"
        raise ValueError(problem)

    return read


def word(kind: type[StrEnum]) -> Callable[[str], StrEnum]:
    """A reader of one of a kind's words, in any case."""
    words = {str(one): one for one in kind}

    def read(cell: str) -> StrEnum:
        found = words.get(cell) or words.get(cell.lower())
        if found is None:
            raise ValueError(f"{cell[:40]!r} is not known; one of: {'; '.join(words)}")
        return found

    return read


def _number(column: str, low: float, high: float, unit: str, meaning: str, hint: str = "") -> Column:
    return Column(column, number(low, high, unit, hint), meaning, (low, high))


def _place(column: str, meaning: str) -> Column:
    return _number(column, -500, 500, "metres in the green's own frame", meaning, FEET_HINT)


def _sideways(column: str, meaning: str) -> Column:
    return _number(column, -50, 50, "metres", meaning, FEET_HINT)


COLUMNS = (
    Column("id", name, "the ball's own name, different for each ball"),
    Column("session", name, "which session it belongs to"),
    Column(
        "station",
        name,
        "name of a station of green.toml; fills start, hole, aim and lie where they are empty",
    ),
    Column("club", name, "club, as in the player's bag"),
    Column("lie", word(LieKind), "what the ball lay on"),
    Column("wet", yes_or_no, "wet grass behind the ball: yes or no"),
    _number("stance_uphill_deg", -25, 25, "degrees", "stance uphill, degrees"),
    _number("stance_above_feet_deg", -25, 25, "degrees", "ball above the feet, degrees"),
    _place("start_x_m", "where it was hit from, metres right"),
    _place("start_y_m", "where it was hit from, metres away"),
    _place("hole_x_m", "the hole, metres right"),
    _place("hole_y_m", "the hole, metres away"),
    _place("aim_x_m", "landing spot it was meant for (centre of the circle of a tally), metres right"),
    _place("aim_y_m", "landing spot it was meant for (centre of the circle of a tally), metres away"),
    _place("landed_x_m", "where it landed, metres right"),
    _place("landed_y_m", "where it landed, metres away"),
    _place("finished_x_m", "where it stopped, metres right; empty for a holed ball"),
    _place("finished_y_m", "where it stopped, metres away; empty for a holed ball"),
    Column("holed", yes_or_no, "in the hole: yes or no"),
    Column("strike", word(Strike), "how it was struck; empty when nobody looked"),
    _number("hang_time_s", 0.05, 8, "seconds from strike to landing", "time in the air, seconds"),
    _number("landed_sd_m", 0.01, 10, "metres", "placing error of landed, metres each way; 0.25 when empty"),
    _number(
        "finished_sd_m", 0.01, 10, "metres", "placing error of finished, metres each way; 0.25 when empty"
    ),
    _number(
        "carry_m",
        0,
        100,
        "metres",
        "paced: start to landed along the line to landing spot or hole, metres",
        FEET_HINT,
    ),
    _sideways("carry_side_m", "paced: landed right of that line, metres; left is negative"),
    _number("run_m", -30, 100, "metres", "paced: landed to finished along that line, metres", FEET_HINT),
    _sideways("finish_side_m", "paced: finished right of that line, metres; straight on when empty"),
    Column("tally_landed", word(TallyLanding), "tally: where it landed, seen against the circle"),
    Column("tally_finished", word(TallyFinish), "tally: where it finished, seen against the hole"),
    _number("circle_radius_m", 0.1, 10, "metres", "tally: radius of the circle, metres", FEET_HINT),
    Column("checked", yes_or_no, "yes keeps a ball that looks wrong but is not"),
)
BY_NAME = {column.name: column for column in COLUMNS}
