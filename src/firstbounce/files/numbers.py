"""Numbers typed by people: what may be wrong with one, in plain words."""

from __future__ import annotations

import math
import re

DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d+\s*")
UNIT_AFTER = re.compile(r"\s*[+-]?\d+(?:\.\d+)?\s*([a-zA-Z'\"%°]+)\s*")


def number_fault(cell: str) -> str | None:
    """None for a plain finite number; else what is wrong and what is allowed."""
    try:
        value = float(cell)
    except ValueError:
        return f"must be a number, got {cell[:40]!r}{_hint(cell)}"
    if not math.isfinite(value) or "_" in cell:
        return f"must be a plain number, got {cell[:40]!r}"
    return None


def _hint(cell: str) -> str:
    if DECIMAL_COMMA.fullmatch(cell):
        return f"; write a decimal point: {cell.strip().replace(',', '.')}"
    unit = UNIT_AFTER.fullmatch(cell)
    if unit:
        return f"; leave out {unit[1]!r}, the unit is in the column's name"
    return ""
