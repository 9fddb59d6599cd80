"""What commands print: columns in line, and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import click


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
