"""What a guide is made of: blocks of plain words, numbers and pictures, for print and for phones alike.

Blocks hold finished words. They are frozen, check themselves when made, and know nothing of the typesetter:
both the PDF and the page for phones are made from the same blocks, and so say the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from typing import Any

from firstbounce.errors import ParameterError

Cell = tuple[str, ...]  #: lines of one cell of a table, the first one the largest


class Kind(StrEnum):
    """What a coach can hand out."""

    PLAYER = "player guide"
    GENERAL = "general guide"
    LOG_SHEET = "log sheet"
    CARD = "pocket card"


class Paper(StrEnum):
    """Sizes of paper that a club's printer holds."""

    A4 = "a4"
    LETTER = "us-letter"


class Tone(StrEnum):
    """How a paragraph is set."""

    BODY = "body"
    LEAD = "lead"  #: the one sentence of a box
    SMALL = "small"  #: small print: what a number rests on


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; 1 for the parts of a guide, 2 below."""

    words: str
    level: int = 1

    def __post_init__(self) -> None:
        _need_words(self.words, "a heading")
        if self.level not in (1, 2):
            raise ParameterError(f"A heading has level 1 or 2, got {self.level}.")


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    words: str
    tone: Tone = Tone.BODY

    def __post_init__(self) -> None:
        _need_words(self.words, "a paragraph")


@dataclass(frozen=True, slots=True)
class Points:
    """A list; `numbered` for steps in order."""

    items: tuple[str, ...]
    numbered: bool = False

    def __post_init__(self) -> None:
        if not self.items:
            raise ParameterError("A list needs at least one item.")
        for item in self.items:
            _need_words(item, "an item of a list")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number with its name, and in small print how sure it is."""

    label: str
    value: str
    small: str = ""

    def __post_init__(self) -> None:
        _need_words(self.label, "the name of a number")
        _need_words(self.value, "a number")


@dataclass(frozen=True, slots=True)
class Facts:
    """One to three numbers side by side; a player is never shown more at once."""

    facts: tuple[Fact, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.facts) <= 3:
            raise ParameterError(f"A row of numbers holds one to three of them, got {len(self.facts)}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing: SVG text, what it shows in words, and how wide it stands."""

    svg: str
    alt: str
    caption: str = ""
    width: float = 1.0  #: share of the column, 0..1
    width_mm: float = 0.0  #: instead: an exact width on paper, for drawings to scale [mm]

    def __post_init__(self) -> None:
        _need_words(self.alt, "the text alternative of a picture")
        if not self.svg.lstrip().startswith("<svg"):
            raise ParameterError("A picture of a guide must be SVG text that begins with <svg.")


def heads(*names: str) -> tuple[Cell, ...]:
    """The head of a table with one line a column."""
    return tuple((name,) for name in names)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of cells under a head. `row_mm` sets the height of rows to write in."""

    head: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    label: str  #: what the table holds, in words
    row_mm: float = 0.0
    widths: tuple[float, ...] = ()  #: shares of the width; even when empty
    compact: bool = False

    def __post_init__(self) -> None:
        _need_words(self.label, "the label of a table")
        if not self.rows:
            raise ParameterError(f"The table {self.label!r} has no rows.")
        if any(len(row) != len(self.head) for row in self.rows):
            raise ParameterError(f"Every row of the table {self.label!r} needs {len(self.head)} cells.")
        if self.widths and len(self.widths) != len(self.head):
            raise ParameterError(f"The table {self.label!r} needs {len(self.head)} widths.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One idea in a frame, never split over two pages."""

    title: str
    blocks: tuple[Block, ...]
    strong: bool = False  #: the accent bar of what matters most

    def __post_init__(self) -> None:
        _need_words(self.title, "the title of a box")
        if not self.blocks:
            raise ParameterError(f"The box {self.title!r} is empty; leave it out or fill it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Two columns on paper; one after the other on a phone."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]
    share: float = 0.5  #: width of the left column, 0..1
    left_mm: float = 0.0  #: instead: an exact width of the left column [mm]

    def __post_init__(self) -> None:
        if not self.left or not self.right:
            raise ParameterError("Two columns need something in each.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Panels of one small card under each other, cut out and folded like a concertina."""

    panels: tuple[tuple[Block, ...], ...]
    names: tuple[str, ...]
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        if len(self.panels) != len(self.names) or not all(self.panels):
            raise ParameterError("Each panel of a card needs a name and something on it.")


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins a new page; nothing on a phone."""


Block = Heading | Words | Points | Facts | Picture | Table | Box | Beside | Fold | NewPage

NAME_OF_BLOCK = {
    Heading: "heading",
    Words: "words",
    Points: "points",
    Facts: "facts",
    Picture: "picture",
    Table: "table",
    Box: "box",
    Beside: "beside",
    Fold: "fold",
    NewPage: "new page",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """A whole guide: who hands it out, to whom, and its blocks in reading order."""

    kind: Kind
    title: str
    subtitle: str
    date: str  #: in words; empty when undated
    blocks: tuple[Block, ...]
    paper: Paper = Paper.A4
    language: str = "en"
    summary: str = ""  #: one sentence for the document's properties
    tight: bool = False  #: small head and narrow margins, for sheets that fill one page

    def __post_init__(self) -> None:
        _need_words(self.title, "the title of a guide")
        if not self.blocks:
            raise ParameterError(f"The guide {self.title!r} has nothing in it.")


def texts(thing: Any) -> Iterator[str]:
    """Every word that a guide or block will show, in reading order; SVG text is left out."""
    if isinstance(thing, str):
        if thing:
            yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from texts(one)
    elif is_dataclass(thing):
        for one in fields(thing):
            if one.name not in ("svg", "kind", "paper", "language", "tone"):
                yield from texts(getattr(thing, one.name))


def blocks_of(blocks: tuple[Block, ...], kind: type) -> Iterator[Any]:
    """Every block of one kind, however deep it stands."""
    for block in blocks:
        if isinstance(block, kind):
            yield block
        if isinstance(block, Box):
            yield from blocks_of(block.blocks, kind)
        elif isinstance(block, Beside):
            yield from blocks_of(block.left + block.right, kind)
        elif isinstance(block, Fold):
            for panel in block.panels:
                yield from blocks_of(panel, kind)


def guide_data(guide: Guide) -> dict[str, Any]:
    """The guide as plain data; boxes stand one level below the last heading before them."""
    data: dict[str, Any] = to_data(guide)
    _set_levels(data["blocks"], 1)
    return data


def _set_levels(blocks: list[dict[str, Any]], last: int) -> int:
    for block in blocks:
        if block["block"] == "heading":
            last = block["level"] + 1
        elif block["block"] == "box":
            block["level"] = min(last, 2) + 1
            _set_levels(block["blocks"], last)
        elif block["block"] == "beside":
            last = _set_levels(block["left"] + block["right"], last)
        elif block["block"] == "fold":
            for panel in block["panels"]:
                last = _set_levels(panel, last)
    return last


def to_data(thing: Any) -> Any:
    """Plain lists and dictionaries for JSON; each block names itself under "block"."""
    if isinstance(thing, tuple):
        return [to_data(one) for one in thing]
    if is_dataclass(thing) and not isinstance(thing, type):
        name = NAME_OF_BLOCK.get(type(thing))
        data = {one.name: to_data(getattr(thing, one.name)) for one in fields(thing)}
        return {"block": name, **data} if name else data
    return str(thing) if isinstance(thing, StrEnum) else thing


def _need_words(words: str, what: str) -> None:
    if not re.search(r"\S", words):
        raise ParameterError(f"A guide cannot hold {what} without words.")
