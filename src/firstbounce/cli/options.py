"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from firstbounce.units import LengthUnit
from firstbounce.words import Level, LieKind

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]
FILE = click.Path(path_type=Path)

green_argument = click.argument("green", type=FILE)
balls_option = click.option("--balls", type=FILE, help="File of logged balls, balls.csv.")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON (shapes in docs/cli.md).")
pictures_option = click.option("--pictures", type=FILE, help="Folder to write pictures to, SVG and PNG.")
station_option = click.option("--station", help="Name of one station of the file; all when left out.")
units_option = click.option(
    "--units",
    type=click.Choice([str(unit) for unit in LengthUnit]),
    default=str(LengthUnit.METRES),
    show_default=True,
    help="Lengths in the words and pictures; JSON is always metres.",
)
level_option = click.option(
    "--level", type=click.Choice([str(level) for level in Level]), help="Level of play."
)
lie_option = click.option("--lie", type=click.Choice([str(kind) for kind in LieKind]), help="Kind of lie.")
