"""docs/files.md: prose, and tables of keys and columns taken from the code that reads the files."""

from __future__ import annotations

import re
from enum import StrEnum
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from firstbounce.files.ball_columns import COLUMNS
from firstbounce.files.balls import FIRST_LINE
from firstbounce.files.green_shape import GreenFile
from firstbounce.files.rules import Place
from firstbounce.words import LieKind, Strike, TallyFinish, TallyLanding, TurfKind

DEMO = Path(__file__).parents[1] / "src/firstbounce/files/demo"
HEAD = """\
# Files

Written by `make docs`; the tables come from the code that reads the files, and a test holds the page to it.

A coach keeps two files: `green.toml` says what the green, the day, the stations and the player are,
`balls.csv` what was seen of each ball. `firstbounce demo` writes a pair to start from. Both are text in
UTF-8; Windows line ends and a byte-order mark do not matter. A file with faults is not read at all: every
fault is listed with its line, its key or column, what is wrong and what is allowed.

**Frame.** Positions are metres in the green's own level frame: origin at a mark that you choose, x right,
y away from you. Directions are degrees clockwise seen from above: 0 away, 90 right, 180 back, 270 left.

## green.toml

The least that works:

"""
LEAST = """\
format = 1

[green]
name = "Practice green"
outline = [[-8, 0], [8, 0], [8, 18], [-8, 18]]

[today]
date = 2026-05-14

[[station]]
name = "Path"
start = [0, -4]
hole = [1, 11]
"""
FULL = """
A full one, that of the demo:

"""
BETWEEN = """
What is not given has a usual value with a wide range, and every answer says which it was. `surface` says
the shape of the green in exactly one way:

- `word`: uphill, level or downhill from start to hole;
- `slope_percent` with `downhill_deg`: one slope for the whole green;
- `[[surface.reading]]`: slopes at places, by percent or by a level that was turned round (`level_deg`);
- `[surface.heights]`: a grid of heights, in the file or in a CSV beside it (rows of numbers, nearest row
  first).

Grass around the green (fringe, fairway, rough) lies under the green whatever the order of the areas;
everything else (bunker, water, mat, bare ground) lies on it, later areas over earlier ones.

### Keys

"""
BALLS = f"""
## balls.csv

The first line is `{FIRST_LINE}`. Lines that begin with `#` may follow; then the names of the columns,
then one ball a line, separated by commas, numbers with a decimal point. Columns may come in any order and
those that you do not use may be left out; `id` and `club` may not. A ball is logged in one of three ways:

- **placed**: `landed_x_m`, `landed_y_m` and `finished_x_m`, `finished_y_m` (or `holed`);
- **paced**: `carry_m` and `run_m` along the line from the start to the landing spot, or to the hole when
  there is none, with `carry_side_m` and `finish_side_m` to the right of it. One person's pace is taken to
  be right to 5 %;
- **tallied**: `tally_landed` against a circle of `circle_radius_m` around the landing spot, and
  `tally_finished` against the hole. A tally is a range, never a point, and teaches less.

With `station`, start, hole, landing spot and lie come from `green.toml` where the row leaves them empty.
A ball that is hard to believe (landed three times as far as the hole: feet typed as metres; landed far
beyond where it finished: two numbers swapped) is a fault, unless `checked` says yes.

"""


def files_page() -> str:
    """The page as it should be."""
    parts = [
        HEAD,
        "```toml\n",
        example(),
        "```\n",
        BETWEEN,
        table(("key", "value", "meaning"), rows(GreenFile)),
    ]
    parts += [BALLS, "```text\n", "".join(head_of_balls()), "```\n\n### Columns\n\n"]
    parts.append(table(("column", "meaning"), [(f"`{column.name}`", column.meaning) for column in COLUMNS]))
    parts += ["\n### Words\n\n", *(word_line(name, kind) for name, kind in WORDS.items())]
    return "".join(parts)


WORDS: dict[str, type[StrEnum]] = {
    "kinds of turf": TurfKind,
    "kinds of lie": LieKind,
    "`strike`": Strike,
    "`tally_landed`": TallyLanding,
    "`tally_finished`": TallyFinish,
}


def word_line(name: str, kind: type[StrEnum]) -> str:
    """A list item with all words of a kind."""
    return f"- {name}: {'; '.join(kind)}\n"


def example() -> str:
    """The demo's file without its long outline."""
    text = (DEMO / "green.toml").read_text(encoding="utf-8")
    return re.sub(r"(\[\n(?:    \[[^\]]*\],\n){3})(?:    \[[^\]]*\],\n)+\]", r"\1    # and so on\n]", text)


def head_of_balls() -> list[str]:
    """The first lines of the demo's balls."""
    lines = (DEMO / "balls.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    return [*lines[:5], lines[-1]]


def rows(model: type[BaseModel], above: str = "") -> list[tuple[str, str, str]]:
    """Every key of the file with the kind of its value and its meaning."""
    found = []
    for name, field in model.model_fields.items():
        inner = _model_in(field.annotation)
        key = f"{above}.{name}" if above else name
        if inner is None:
            found.append((f"`{key}`", _kind(field.annotation), field.description or ""))
        elif _is_list(field.annotation):
            found += rows(inner, f"{key}[]")
        else:
            found += rows(inner, key)
    return found


def _parts(annotation: Any) -> list[Any]:
    inner = [part for part in getattr(annotation, "__args__", ()) if part is not Ellipsis]
    return [annotation] if not inner else [leaf for part in inner for leaf in _parts(part)]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    models = [part for part in _parts(annotation) if isinstance(part, type) and issubclass(part, BaseModel)]
    return models[0] if models else None


def _is_list(annotation: Any) -> bool:
    return getattr(annotation, "__origin__", None) is tuple


def _kind(annotation: Any) -> str:
    """The kind of a value in a word."""
    kinds = {float: "number", int: "whole number", str: "text", bool: "true or false"}
    leaves = [part for part in _parts(annotation) if isinstance(part, type) and part is not type(None)]
    words = [part for part in leaves if issubclass(part, StrEnum)]
    if words:
        return "a word" if len(words[0]) > 6 else ", ".join(words[0])
    named = [kinds.get(part, "day") for part in leaves] or ["1"]
    depth = str(annotation).count("tuple[")
    if depth:
        return "[x, y]" if annotation == Place else f"list of {'lists' if depth > 1 else named[0] + 's'}"
    return "names with numbers" if "dict" in str(annotation) else named[0]


def table(head: tuple[str, ...], body: list[tuple[str, ...]]) -> str:
    """A Markdown table."""
    lines = [head, ("---",) * len(head), *body]
    return "".join("| " + " | ".join(line) + " |\n" for line in lines)
