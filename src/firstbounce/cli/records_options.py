"""Options and words of the commands that work on the records."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from firstbounce.records.rows.people import PlayerRow
    from firstbounce.services.store import Store

FILE = click.Path(path_type=Path)


def records_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """--data and --database, as `serve` has them."""
    data = click.option(
        "--data", type=click.Path(path_type=Path, file_okay=False), help="Folder of the records."
    )
    database = click.option(
        "--database", help="URL of a PostgreSQL database instead of the file in the folder."
    )
    return data(database(command))


def open_records(data: Path | None, database: str | None) -> Store:
    """The records, made when there are none."""
    from firstbounce.services.store import open_store

    return open_store(data, database)


def find_player(store: Store, named: str) -> PlayerRow:
    """The player of this id, of the start of it (eight digits or more), or of this name when only one has it.

    ParameterError says which there are.
    """
    from firstbounce.errors import NotThere, ParameterError
    from firstbounce.services import players

    try:
        return players.player(store, named)
    except NotThere:
        every = [*players.every_player(store)]
    fits = [one for one in every if one.name.lower() == named.strip().lower()]
    if not fits and len(named) >= 8:
        fits = [one for one in every if one.id.startswith(named.lower())]
    if len(fits) == 1:
        return players.player(store, fits[0].id)
    if fits:
        said = ", ".join(f"{one.name} {one.id[:8]} ({one.balls} balls)" for one in fits)
        raise ParameterError(f"More than one player fits {named!r}: {said}; give the id.")
    known = ", ".join(one.name for one in every[:20]) or "none yet"
    raise ParameterError(f"No player is called {named!r}; there: {known}.")


def counted(rows: dict[str, int]) -> str:
    """Rows by table in words, such as "12 ball, 1 player"."""
    return ", ".join(f"{number} {name}" for name, number in sorted(rows.items()) if number) or "nothing"
