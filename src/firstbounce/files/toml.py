"""A TOML text opened, and its faults at the line of a key."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any

from firstbounce.errors import FileFault, FileFaults
from firstbounce.files.reading import whole_file
from firstbounce.files.toml_lines import Path, key_lines, line_of

AT_LINE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)")


def open_toml(
    path: object, text: str, shaped: Callable[[Any], Any] = lambda table: table
) -> tuple[dict[str, Any], dict[Path, int]]:
    """The table of the text, shaped, and the line of every key; `path` only names the file.

    `shaped` may go down the whole table: one too deep for it is refused like one too deep to be read.
    FileFaults when the text is no TOML.
    """
    try:
        return shaped(tomllib.loads(text)), key_lines(text)
    except tomllib.TOMLDecodeError as error:
        where = AT_LINE.search(str(error))
        line = int(where[1]) if where and where[1] else text.count("\n") + 1
        said = AT_LINE.sub("", str(error))
        problem = f"this is not TOML ({said}); text needs quotes, numbers a point, lists square brackets"
        raise FileFaults(path, [FileFault(line=line, column=None, problem=problem)]) from None
    except (RecursionError, ValueError):
        raise whole_file(path, "this is not TOML that we can read: too deep, or a number too long") from None


def key_fault(lines: Mapping[Path, int], place: Path, problem: str) -> FileFault:
    """A fault at a key; () is the file as a whole."""
    return FileFault(line=line_of(dict(lines), place), column=dotted(place) or None, problem=problem)


def dotted(place: Path) -> str:
    """A key as people write it; list items count from 1: ("station", 0, "hole") is "station[1].hole"."""
    said = ""
    for part in place:
        said += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if said else part
    return said
