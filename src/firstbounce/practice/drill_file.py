"""From the tables of a drill file to drills, or to the list of every fault with its place in the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from firstbounce.errors import ParameterError
from firstbounce.pictures.figure import SHOWS
from firstbounce.practice.drill import (
    EQUIPMENT,
    FEATURES,
    KNOWN_LENGTHS,
    MARKS,
    STROKES,
    Drill,
    Place,
    SetUpMark,
    Stage,
)
from firstbounce.practice.lengths import length_of, names_in
from firstbounce.words import Fault

Where = tuple[str | int, ...]  #: keys and list positions (from 0) from the top of the file
Problem = tuple[Where, str]

KEYS = (*(Drill.__dataclass_fields__.keys() - {"marks"}), "mark")
MARK_KEYS = tuple(SetUpMark.__dataclass_fields__)
TEXTS = ("name", "purpose", "set_up", "score", "easier", "harder", "caution")
LONGEST_TEXT = 600


def drills_of_tables(tables: Any) -> tuple[list[Drill], list[Problem]]:
    """Drills from the `drill` tables of a file, and every fault found; a drill with a fault is left out."""
    if not isinstance(tables, list) or not tables or not all(isinstance(one, dict) for one in tables):
        return [], [(("drill",), "there is no [[drill]] table; give at least one")]
    drills: list[Drill] = []
    problems: list[Problem] = []
    seen: dict[str, set[Any]] = {"name": set(), "number": set()}
    for i, table in enumerate(tables):
        drill, wrong = drill_of_table(table, ("drill", i))
        problems += wrong
        for key, values in seen.items():
            value = table.get(key)
            known = value.lower() if isinstance(value, str) else value
            if isinstance(value, (str, int)) and known in values:
                problems.append((("drill", i, key), f"{value!r} stands twice; each drill needs its own"))
            elif isinstance(value, (str, int)):
                values.add(known)
        if drill:
            drills.append(drill)
    return drills, problems


def drill_of_table(table: Mapping[str, Any], where: Where) -> tuple[Drill | None, list[Problem]]:
    """A drill from one table of a drill file, or its faults (never both)."""
    reading = _Reading(table, where)
    reading.only(KEYS)
    values = _values(reading)
    marks = _marks(reading)
    for key in ("set_up", "score", "easier", "harder", "caution", "figure_words"):
        reading.lengths_in(key, values.get(key) or "")
    if reading.problems:
        return None, reading.problems
    try:
        return Drill(marks=marks, **values), []
    except ParameterError as error:
        said = str(error).removeprefix(f"Drill {values['name']!r}: ").rstrip(".")
        return None, [(_at_key(where, said), said)]


@dataclass(slots=True)
class _Reading:
    """One table of a drill file: values taken, faults noted."""

    table: Mapping[str, Any]
    where: Where
    problems: list[Problem] = field(default_factory=list)

    def fault(self, key: str | Where, problem: str) -> None:
        at = (key,) if isinstance(key, str) else key
        self.problems.append(((*self.where, *at), problem))

    def only(self, known: tuple[str, ...]) -> None:
        for key in self.table:
            if key not in known:
                close = get_close_matches(key, known, n=1)
                meant = f"did you mean {close[0]}? " if close else ""
                self.fault(key, f"this key is not known; {meant}known are {', '.join(sorted(known))}")

    def take(self, key: str, kind: type | tuple[type, ...], usual: Any = None) -> Any:
        value = self.table.get(key, usual)
        if value is None:
            self.fault(key, f"is missing; it must be {_kind_words(kind)}")
            return None
        if not isinstance(value, kind) or isinstance(value, bool) != (kind is bool):
            self.fault(key, f"must be {_kind_words(kind)}, got {value!r}"[:300])
            return None
        return value

    def text(self, key: str) -> str:
        value = self.take(key, str) or ""
        if key in self.table and isinstance(self.table[key], str) and not value.strip():
            self.fault(key, "is empty; say it in a few words")
        if len(value) > LONGEST_TEXT:
            self.fault(key, f"has {len(value)} letters; at most {LONGEST_TEXT}")
        return value

    def one_of(self, key: str, allowed: tuple[str, ...], usual: str) -> str:
        value = self.take(key, str, usual)
        if value is not None and value not in (usual, *allowed):
            self.fault(key, f"{value!r} is not known; allowed are {', '.join(allowed)}")
        return value or usual

    def words(self, key: str, allowed: tuple[str, ...], usual: list[str] | None = None) -> tuple[str, ...]:
        value = self.take(key, list, usual) or []
        wrong = [word for word in value if word not in allowed]
        for word in wrong:
            self.fault(key, f"{word!r} is not known; allowed are {', '.join(allowed)}")
        if key in self.table and not value and usual is None:
            self.fault(key, f"is empty; give at least one of {', '.join(allowed)}")
        return tuple(word for word in value if word not in wrong)

    def lengths_in(self, key: str | Where, text: str) -> None:
        for expression in names_in(text):
            self.length(key, expression)

    def length(self, key: str | Where, value: Any, *, above_0: bool = False) -> None:
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            self.fault(key, f"must be metres or a sum of lengths, got {value!r}"[:300])
            return
        try:
            metres = length_of(value, KNOWN_LENGTHS)
        except ParameterError as error:
            self.fault(key, str(error))
            return
        if not abs(metres) <= 60:
            self.fault(key, f"must be 60 m at most, got {value!r}")
        elif above_0 and metres <= 0:
            self.fault(key, f"must be above 0 m, got {value!r}")


def _kind_words(kind: type | tuple[type, ...]) -> str:
    said = {
        str: "text in quotes",
        int: "a whole number",
        list: "a list in square brackets",
        (int, float): "a number",
    }
    return said.get(kind, "a value")  # type: ignore[call-overload,no-any-return]


def _values(reading: _Reading) -> dict[str, Any]:
    return {
        "number": reading.take("number", int),
        "carry_m": _span(reading),
        "faults": tuple(Fault(word) for word in reading.words("faults", tuple(Fault))),
        "stages": tuple(Stage(word) for word in reading.words("stages", tuple(Stage))),
        "places": tuple(Place(word) for word in reading.words("places", tuple(Place))),
        "equipment": reading.words("equipment", EQUIPMENT),
        "ground": reading.words("ground", FEATURES, []),
        "minutes": reading.take("minutes", (int, float)),
        "circle_share": reading.take("circle_share", (int, float), 0.0),
        "balls_a_try": reading.take("balls_a_try", int, 1),
        "figure": reading.one_of("figure", SHOWS, ""),
        "figure_words": reading.take("figure_words", str, "") or "",
        "stroke": reading.one_of("stroke", STROKES, "chip"),
        **{key: reading.take(key, int) for key in ("balls", "out_of", "passes")},
        **{key: reading.text(key) for key in TEXTS},
    }


def _span(reading: _Reading) -> tuple[float, float]:
    span = reading.take("carry_m", list)
    if span is None:
        return (1.0, 1.0)
    numbers = [end for end in span if isinstance(end, (int, float)) and not isinstance(end, bool)]
    if len(span) != 2 or len(numbers) != 2:
        reading.fault("carry_m", f"must be two numbers, shortest and longest carry [m], got {span!r}"[:300])
        return (1.0, 1.0)
    return (float(numbers[0]), float(numbers[1]))


def _marks(reading: _Reading) -> tuple[SetUpMark, ...]:
    tables = reading.take("mark", list, []) or []
    made = [_mark(reading, i, table) for i, table in enumerate(tables)]
    return tuple(mark for mark in made if mark)


def _mark(reading: _Reading, i: int, table: Any) -> SetUpMark | None:
    if not isinstance(table, dict):
        reading.fault(("mark", i), "must be a table with kind, x and y")
        return None
    inner = _Reading(table, (*reading.where, "mark", i))
    inner.only(MARK_KEYS)
    if "kind" not in table:
        inner.fault("kind", f"is missing; one of {', '.join(MARKS)}")
    elif table["kind"] not in MARKS:
        inner.fault("kind", f"{table['kind']!r} is not known; known are {', '.join(MARKS)}")
    for key in ("words", "ground"):
        inner.take(key, str, "")
    for key in ("x", "y", "to_x", "to_y", "size"):
        if key in table:
            inner.length(key, table[key], above_0=key == "size")
    if isinstance(table.get("words"), str):
        inner.lengths_in("words", table["words"])
    reading.problems += inner.problems
    return None if inner.problems else SetUpMark(**table)


def _at_key(where: Where, said: str) -> Where:
    """The place of a key that a sentence begins with, else that of the whole table."""
    first = said.split(":", maxsplit=1)[0].split(maxsplit=1)[0] if said else ""
    return (*where, first) if first in KEYS else where
