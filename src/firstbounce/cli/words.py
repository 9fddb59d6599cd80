"""Numbers and sentences for people: lengths in the unit asked for, chances as counts, columns in line."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import click

from firstbounce.units import LengthUnit, metres_to_feet, metres_to_yards


class Lengths:
    """Writes lengths in metres, or in yards with feet for short ones."""

    def __init__(self, unit: LengthUnit | str) -> None:
        self.unit = LengthUnit(unit)

    def number(self, length_m: float) -> str:
        """The number alone, in the long unit."""
        value = metres_to_yards(length_m) if self.unit is LengthUnit.YARDS else length_m
        return _trimmed(value)

    def long(self, length_m: float) -> str:
        """A length with its unit."""
        return f"{self.number(length_m)} {self.short}"

    def small(self, length_m: float) -> str:
        """A short length: metres, or feet."""
        if self.unit is LengthUnit.YARDS:
            return f"{_trimmed(metres_to_feet(length_m))} ft"
        return f"{_trimmed(length_m)} m"

    def span(self, low_m: float, high_m: float) -> str:
        """A range with its unit."""
        return f"{self.number(low_m)} to {self.number(high_m)} {self.short}"

    @property
    def short(self) -> str:
        """The unit beside a number."""
        return "yd" if self.unit is LengthUnit.YARDS else "m"


def _trimmed(value: float) -> str:
    text = f"{value:.1f}"
    return "0.0" if text == "-0.0" else text


def balls(n: int) -> str:
    """A count of balls."""
    return "1 ball" if n == 1 else f"{n} balls"


def out_of_ten(share: float) -> str:
    """A chance as people say it: "7 in 10", "9 in 100" when small."""
    if 0.05 <= share <= 0.95:
        return (
            f"{round(10 * share)} in 10"
            if round(10 * share) not in (0, 10)
            else f"{round(100 * share)} in 100"
        )
    return f"{round(100 * share)} in 100"


def table(head: Sequence[str], rows: Sequence[Sequence[str]], left: int = 1) -> str:
    """Columns in line; the first `left` columns to the left, the rest to the right."""
    cells = [list(head), *[list(row) for row in rows]]
    widths = [max(len(row[i]) for row in cells) for i in range(len(head))]
    lines = []
    for row in cells:
        parts = [
            cell.ljust(width) if i < left else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(parts).rstrip())
    return "\n".join(lines)


def echo_json(shape: dict[str, Any]) -> None:
    """Print JSON for a script."""
    click.echo(json.dumps(shape, ensure_ascii=False, indent=2, allow_nan=False))
