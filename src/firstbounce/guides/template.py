"""Templates of guides as data: which parts a guide has, in which order, with which heading and words.

A template is a TOML file (docs/guides.md): `format = 1`, `kind`, `title`, `subtitle`, and `[[part]]` tables
with `show`, `heading`, `words` and `new_page`. Words may hold names in braces, such as {player}; they are
filled in as plain text. Every fault of a file is listed at once.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any

from firstbounce.errors import FileFault, FileFaults, ParameterError
from firstbounce.guides.blocks import Kind
from firstbounce.guides.coach import checked_text

FORMAT = 1
SHIPPED = {
    Kind.PLAYER: "player.toml",
    Kind.GENERAL: "general.toml",
    Kind.LOG_SHEET: "log-sheet.toml",
    Kind.CARD: "card.toml",
}
PARTS: dict[Kind, tuple[str, ...]] = {
    Kind.PLAYER: (
        "saw",
        "aim",
        "shot",
        "chart",
        "steps",
        "drills",
        "goal",
        "score sheet",
        "cautions",
        "link",
        "words",
    ),
    Kind.GENERAL: ("saw", "levels", "chart", "steps", "drills", "score sheet", "cautions", "link", "words"),
    Kind.LOG_SHEET: ("station", "windows", "rows", "cautions"),
    Kind.CARD: ("cover", "metres", "yards", "steps"),
}
NEEDED: dict[Kind, tuple[str, ...]] = {
    Kind.PLAYER: ("cautions",),
    Kind.GENERAL: ("cautions",),
    Kind.LOG_SHEET: ("windows", "rows", "cautions"),
    Kind.CARD: ("metres", "yards"),
}
NAMES = ("player", "coach", "date", "pace", "station", "level", "theme")
LONGEST_HEADING, LONGEST_WORDS, MOST_WORDS, MOST_PARTS = 60, 400, 12, 30
_PLACE = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a guide."""

    show: str
    heading: str = ""
    words: tuple[str, ...] = ()
    new_page: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """The parts of one kind of guide, in order."""

    kind: Kind
    title: str
    subtitle: str
    parts: tuple[Part, ...]

    def filled(self, names: Mapping[str, str]) -> Template:
        """The same with every {name} written out. Text that is put in is never looked at again."""
        return replace(
            self,
            title=fill(self.title, names),
            subtitle=tidy(fill(self.subtitle, names)),
            parts=tuple(
                replace(
                    part,
                    heading=fill(part.heading, names),
                    words=tuple(fill(one, names) for one in part.words),
                )
                for part in self.parts
            ),
        )


def fill(text: str, names: Mapping[str, str]) -> str:
    """Every {name} of the text written out, once."""
    return _PLACE.sub(lambda found: names.get(found[1], found[0]), text)


def tidy(text: str) -> str:
    """A line without the commas that a missing name leaves behind."""
    return re.sub(r"(?:,\s*)+$", "", re.sub(r",\s*(?=,)", "", text.strip())).strip()


@cache
def shipped_template(kind: Kind) -> Template:
    """The template that comes with the program."""
    path = resources.files("firstbounce") / "guides" / "templates" / SHIPPED[kind]
    return template_of_text(SHIPPED[kind], path.read_text(encoding="utf-8"))


def template_of_text(name: str, text: str) -> Template:
    """A template from the text of its file. FileFaults lists every fault."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileFaults(name, [_fault(None, f"this is not TOML ({error})")]) from None
    faults: list[FileFault] = []
    template = _template(table, faults)
    if faults or template is None:
        raise FileFaults(name, faults)
    return template


def _template(table: dict[str, Any], faults: list[FileFault]) -> Template | None:
    _known(table, ("format", "kind", "title", "subtitle", "part"), "", faults)
    if table.get("format") != FORMAT:
        faults.append(_fault("format", f"must be {FORMAT}, got {table.get('format')!r}"))
    if table.get("kind") not in tuple(Kind):
        faults.append(_fault("kind", f"must be one of {', '.join(Kind)}, got {table.get('kind')!r}"))
        return None
    kind = Kind(table["kind"])
    title = _text(table, "title", "", LONGEST_HEADING, faults)
    subtitle = _text(table, "subtitle", "", 2 * LONGEST_HEADING, faults)
    given = table.get("part")
    if not isinstance(given, list) or not 1 <= len(given) <= MOST_PARTS:
        faults.append(_fault("part", f"give 1 to {MOST_PARTS} [[part]] tables"))
        return None
    parts = tuple(_part(one, f"part[{i}]", kind, faults) for i, one in enumerate(given))
    shown = [part.show for part in parts]
    for needed in NEEDED[kind]:
        if needed not in shown:
            faults.append(_fault("part", f"a {kind} must show {needed!r}"))
    if not title.strip():
        faults.append(_fault("title", "is missing; say it in a few words"))
    return Template(kind=kind, title=title, subtitle=subtitle, parts=parts)


def _part(table: Any, where: str, kind: Kind, faults: list[FileFault]) -> Part:
    if not isinstance(table, dict):
        faults.append(_fault(where, "must be a table with show, heading and words"))
        return Part(show="words")
    _known(table, ("show", "heading", "words", "new_page"), where, faults)
    show = table.get("show")
    if show not in PARTS[kind]:
        faults.append(
            _fault(f"{where}.show", f"a {kind} can show {', '.join(PARTS[kind])}; this says {show!r}")
        )
    new_page = table.get("new_page", False)
    if not isinstance(new_page, bool):
        faults.append(_fault(f"{where}.new_page", f"must be true or false, got {new_page!r}"))
    return Part(
        show=str(show),
        heading=_text(table, "heading", where, LONGEST_HEADING, faults),
        words=_words(table, where, faults),
        new_page=bool(new_page),
    )


def _words(table: dict[str, Any], where: str, faults: list[FileFault]) -> tuple[str, ...]:
    given = table.get("words", [])
    if not isinstance(given, list) or len(given) > MOST_WORDS:
        faults.append(_fault(f"{where}.words", f"must be a list of at most {MOST_WORDS} sentences"))
        return ()
    words = [_text({"words": one}, "words", where, LONGEST_WORDS, faults) for one in given]
    if any(not one.strip() for one in words):
        faults.append(_fault(f"{where}.words", "holds an empty sentence; take it out"))
    return tuple(words)


def _text(table: Mapping[str, Any], key: str, where: str, longest: int, faults: list[FileFault]) -> str:
    value, place = table.get(key, ""), f"{where}.{key}" if where else key
    if not isinstance(value, str):
        faults.append(_fault(place, f"must be text, got {value!r}"))
        return ""
    try:
        checked_text(value, "this text", longest)
    except ParameterError as error:
        faults.append(_fault(place, str(error)))
    for name in _PLACE.findall(value):
        if name not in NAMES:
            faults.append(_fault(place, f"{{{name}}} is not known; known are {', '.join(NAMES)}"))
    return value


def _known(table: Mapping[str, Any], keys: tuple[str, ...], where: str, faults: list[FileFault]) -> None:
    for key in table:
        if key not in keys:
            place = f"{where}.{key}" if where else key
            faults.append(_fault(place, f"this key is not known; known are {', '.join(keys)}"))


def _fault(column: str | None, problem: str) -> FileFault:
    return FileFault(line=None, column=column, problem=problem)
