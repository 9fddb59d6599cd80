"""Where each key of a TOML text stands, so that a fault can name its line.

The text has already been read by `tomllib`, so it is valid; this walks it again and keeps line numbers only.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_right

Path = tuple[str | int, ...]  #: keys and list positions (from 0) from the top of the file

SPACE = " \t"
BLANK = " \t\r\n"
QUOTES = "\"'"


def key_lines(text: str) -> dict[Path, int]:
    """Line (from 1) of every key, table, list item and inline-table key of a valid TOML text."""
    return _Walk(text).lines()


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """Line of the path, or of the nearest part above it that stands in the file."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None


class _Walk:
    """One pass over the text, statement by statement."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.starts = [0] + [i + 1 for i, letter in enumerate(text) if letter == "\n"]
        self.table: Path = ()
        self.counts: dict[Path, int] = {}
        self.found: dict[Path, int] = {}

    def lines(self) -> dict[Path, int]:
        while self._skip_blank():
            if self._peek() == "[":
                self._header()
            else:
                self._pair(self.table)
            self._to_line_end()
        return self.found

    def _peek(self, ahead: int = 1) -> str:
        return self.text[self.at : self.at + ahead]

    def _keep(self, path: Path) -> None:
        self.found.setdefault(path, bisect_right(self.starts, self.at))

    def _skip(self, letters: str) -> None:
        while self.at < len(self.text) and self.text[self.at] in letters:
            self.at += 1

    def _to_line_end(self) -> None:
        end = self.text.find("\n", self.at)
        self.at = len(self.text) if end < 0 else end

    def _skip_blank(self) -> bool:
        """Over white space and comments; False at the end of the text."""
        self._skip(BLANK)
        while self._peek() == "#":
            self._to_line_end()
            self._skip(BLANK)
        return self.at < len(self.text)

    def _header(self) -> None:
        is_list = self._peek(2) == "[["
        self.at += 2 if is_list else 1
        self._skip(SPACE)
        begins = self.at
        keys = self._key()
        path: Path = ()
        ends, self.at = self.at, begins
        for key in keys[:-1]:
            self._keep((*path, key))
            path = self._latest((*path, key))
        path = (*path, keys[-1])
        if is_list:
            self.counts[path] = self.counts.get(path, -1) + 1
        self.table = self._latest(path)
        self._keep(path)
        self._keep(self.table)
        self.at = ends

    def _latest(self, path: Path) -> Path:
        """The path itself, or its newest item when it is a list of tables."""
        return (*path, self.counts[path]) if path in self.counts else path

    def _pair(self, above: Path) -> None:
        begins = self.at
        keys = self._key()
        ends, self.at = self.at, begins
        path = above
        for key in keys:
            path = (*path, key)
            self._keep(path)
        self.at = ends
        self._skip(SPACE)
        self.at += 1  # the equals sign
        self._skip(SPACE)
        self._value(path)

    def _key(self) -> tuple[str, ...]:
        """A dotted key; stops after its last part."""
        parts = [self._key_part()]
        self._skip(SPACE)
        while self._peek() == ".":
            self.at += 1
            self._skip(SPACE)
            parts.append(self._key_part())
            self._skip(SPACE)
        return tuple(parts)

    def _key_part(self) -> str:
        begins = self.at
        if self._peek() and self._peek() in QUOTES:
            self._string()
            return str(tomllib.loads(f"key = {self.text[begins : self.at]}")["key"])
        while self.at < len(self.text) and (self.text[self.at].isalnum() or self.text[self.at] in "_-"):
            self.at += 1
        return self.text[begins : self.at]

    def _value(self, path: Path) -> None:
        first = self._peek()
        if first == "[":
            self._list(path)
        elif first == "{":
            self._inline_table(path)
        elif first and first in QUOTES:
            self._string()
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}\n#":
                self.at += 1

    def _list(self, path: Path) -> None:
        self.at += 1
        item = 0
        while self._skip_blank() and self._peek() != "]":
            self._keep((*path, item))
            self._value((*path, item))
            item += 1
            self._skip_blank()
            if self._peek() == ",":
                self.at += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self._skip_blank() and self._peek() != "}":
            self._pair(path)
            self._skip_blank()
            if self._peek() == ",":
                self.at += 1
        self.at += 1

    def _string(self) -> None:
        quote = self._peek()
        if self._peek(3) == 3 * quote:
            self._long_string(quote)
            return
        self.at += 1
        while self.at < len(self.text) and self.text[self.at] != quote:
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += 1

    def _long_string(self, quote: str) -> None:
        self.at += 3
        while self.at < len(self.text) and self._peek(3) != 3 * quote:
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += 3
        self._skip(quote)  # up to two quotes may stand right before the closing three
