"""Read guide.toml (what guides are to be made) and coach.toml (who hands them out); every fault at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from pathlib import Path
from typing import Any

from firstbounce.errors import FileFault, FileFaults, ParameterError
from firstbounce.files.reading import read_bytes, read_text
from firstbounce.files.toml import key_fault, open_toml
from firstbounce.guides.blocks import Kind, Paper
from firstbounce.guides.coach import Coach, coach_of_table
from firstbounce.guides.logo import Logo, checked_logo
from firstbounce.players.player import Hand
from firstbounce.services.guide import Ask
from firstbounce.units import LengthUnit
from firstbounce.words import Fault, Level

FORMAT = 1
MOST_GUIDES = 1000
Where = tuple[str | int, ...]
Good = Callable[[Any], bool]  #: whether a value may stand there
Read = Callable[[Any, Path], Any]  #: the value as we use it; the folder of the file
PATHS = ("green", "balls", "own_drills", "template", "fonts")
TEXTS = ("name", "player", "station", "aim", "goal", "theme", "link")
LISTS = ("saw", "drills")
WORDS: dict[str, type[StrEnum]] = {
    "kind": Kind,
    "level": Level,
    "hand": Hand,
    "units": LengthUnit,
    "paper": Paper,
}
GUIDE_KEYS = (*PATHS, *TEXTS, *LISTS, *WORDS, "coach", "faults", "carry_m", "carries_m")


@dataclass(slots=True)
class _File:
    """A TOML file being read: where its keys stand, and the faults so far."""

    path: Path
    table: dict[str, Any]
    lines: dict[Where, int]
    faults: list[FileFault] = field(default_factory=list)

    def fault(self, where: Where, problem: str) -> None:
        self.faults.append(key_fault(self.lines, where, problem))

    def finish(self) -> None:
        if self.faults:
            raise FileFaults(self.path, self.faults)


def read_coach(path: Path) -> Coach:
    """The coach of a coach.toml; the logo is a file beside it. FileFaults lists every fault."""
    file = _opened(path)
    logo = _logo(file)
    coach, faults = coach_of_table(file.table, logo)
    for one in faults:
        file.fault((one.column,) if one.column else (), one.problem)
    file.finish()
    assert coach is not None
    return coach


def read_guides(path: Path, coach: Coach | None = None) -> tuple[Ask, ...]:
    """What a guide.toml asks for: one guide, or one for each [[guide]]; keys above them hold for all.

    `coach` stands in for the file's own when given. FileFaults lists every fault.
    """
    file = _opened(path)
    if file.table.get("format") != FORMAT:
        file.fault(("format",), f"must be {FORMAT}, got {file.table.get('format')!r}")
    common = {key: value for key, value in file.table.items() if key not in ("format", "guide")}
    base = _ask(file, common, (), Ask(coach=coach or Coach()), keep_coach=coach is not None)
    tables = file.table.get("guide", [{}])
    if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables):
        file.fault(("guide",), "must be [[guide]] tables")
        tables = []
    elif not 1 <= len(tables) <= MOST_GUIDES:
        file.fault(("guide",), f"at most {MOST_GUIDES} guides at once, got {len(tables)}")
    asks = tuple(
        _ask(file, one, ("guide", i), base, keep_coach=coach is not None) for i, one in enumerate(tables)
    )
    file.finish()
    return asks


def _opened(path: Path) -> _File:
    return _File(path, *open_toml(path, read_text(path)))


def _logo(file: _File) -> Logo | None:
    """The logo that the file names, read and checked."""
    name = file.table.get("logo")
    if name is None:
        return None
    if not isinstance(name, str):
        file.fault(("logo",), f"must be the name of an SVG or PNG beside this file, got {name!r}")
        return None
    try:
        return checked_logo(read_bytes(file.path.parent / name), name)
    except ParameterError as error:
        file.fault(("logo",), str(error))
    except FileFaults as error:
        file.fault(("logo",), f"{name}: {error.faults[0].problem}")
    return None


def _ask(file: _File, table: Mapping[str, Any], where: Where, base: Ask, *, keep_coach: bool) -> Ask:
    """One guide: what its table says over what holds for all."""
    changes: dict[str, Any] = {}
    lesson: dict[str, Any] = {}
    for key, value in table.items():
        place = (*where, key)
        if key not in GUIDE_KEYS:
            file.fault(place, f"this key is not known; known are {', '.join(GUIDE_KEYS)}")
        elif key == "coach":
            if not keep_coach:
                changes["coach"] = _coach(file, place, value, base.coach)
        elif key in ("saw", "aim", "goal"):
            lesson[key] = _value(file, place, key, value)
        elif key == "units":
            changes["unit"] = _value(file, place, key, value)
        else:
            changes[key] = _value(file, place, key, value)
    kept = {key: value for key, value in changes.items() if value is not None}
    try:
        said = replace(base.lesson, **{key: value for key, value in lesson.items() if value is not None})
        return replace(base, lesson=said, **kept)
    except ParameterError as error:
        file.fault(where, str(error))
        return base


def _coach(file: _File, place: Where, value: Any, usual: Coach) -> Coach:
    """The coach.toml named, once read for the whole file."""
    if not isinstance(value, str):
        file.fault(place, f"must be the name of a coach.toml, got {value!r}")
        return usual
    try:
        return read_coach(file.path.parent / value)
    except FileFaults as error:
        for one in error.faults:
            file.fault(place, f"{value}: {one}")
        return usual


def _value(file: _File, place: Where, key: str, value: Any) -> Any:
    """One value of its kind, or None with its fault noted."""
    good, read = READERS[key]
    if good(value):
        return read(value, file.path.parent)
    file.fault(place, f"must be {_allowed(key)}, got {value!r}")
    return None


def _allowed(key: str) -> str:
    if key in WORDS:
        return f"one of {', '.join(WORDS[key])}"
    if key == "faults":
        return f"a list of {', '.join(Fault)}"
    lists = {"saw": "a list of sentences", "drills": "a list of names or numbers of drills"}
    numbers = {"carry_m": "a number of metres", "carries_m": "a list of numbers of metres"}
    return (lists | numbers).get(key, "text")


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _all_of(good: Good) -> Good:
    return lambda value: isinstance(value, list) and all(good(one) for one in value)


def _one_of(words: type[StrEnum]) -> Good:
    return lambda value: isinstance(value, str) and value in tuple(words)


def _word(words: type[StrEnum]) -> Read:
    return lambda value, beside: words(value)


READERS: dict[str, tuple[Good, Read]] = {
    **dict.fromkeys(PATHS, (_is_text, lambda value, beside: beside / value)),
    **dict.fromkeys(TEXTS, (_is_text, lambda value, beside: value)),
    **{key: (_one_of(words), _word(words)) for key, words in WORDS.items()},
    "saw": (_all_of(_is_text), lambda value, beside: tuple(value)),
    "drills": (
        _all_of(lambda one: _is_text(one) or _is_number(one)),
        lambda value, beside: tuple(str(one) for one in value),
    ),
    "faults": (_all_of(_one_of(Fault)), lambda value, beside: tuple(Fault(one) for one in value)),
    "carry_m": (_is_number, lambda value, beside: float(value)),
    "carries_m": (_all_of(_is_number), lambda value, beside: tuple(float(one) for one in value)),
}
