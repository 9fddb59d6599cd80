"""`firstbounce erase`: a player, completely, on request."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.records_options import counted, find_player, open_records, records_options
from firstbounce.cli.words import echo_json

if TYPE_CHECKING:
    from firstbounce.services.erase import Erasure


@click.command("erase", short_help="Erase a player: rows, files and, if wished, backups.")
@click.argument("player")
@records_options
@click.option("--and-backups", is_flag=True, help="Also from the backups in the data folder.")
@click.option("--look", is_flag=True, help="Only say what would go.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@json_option
def command(
    player: str,
    data: Path | None,
    database: str | None,
    and_backups: bool,
    look: bool,
    yes: bool,
    as_json: bool,
) -> None:
    """Erase PLAYER (name or id): every row and file, and say what cannot be erased from here.

    Example:  firstbounce erase "Ines K" --look
    """
    from firstbounce.services import erase as service

    with open_records(data, database) as store:
        found = find_player(store, player)
        told = service.look(store, found.id)
        if not look:
            if not yes:
                click.echo(_words(told, and_backups, done=False), err=True)
                click.confirm(f"Erase {told.player} for good?", abort=True, err=True)
            told = service.erase(store, found.id, and_backups=and_backups)
    if as_json:
        echo_json(_shape(told, erased=not look, and_backups=and_backups))
    else:
        click.echo(_words(told, and_backups, done=not look))


def _shape(told: Erasure, *, erased: bool, and_backups: bool) -> dict[str, object]:
    return {
        "player": told.player,
        "erased": erased,
        "rows": told.rows,
        "files": list(told.files),
        "backups": [str(path) for path in told.backups],
        "backups_cleaned": erased and and_backups,
        "backups_not_read": [str(path) for path in told.not_read],
        "named_in": list(told.named_in),
        "out_of_reach": list(told.out_of_reach),
    }


def _words(told: Erasure, and_backups: bool, *, done: bool) -> str:
    lines = [f"{'erased' if done else 'to erase'}: {told.player}"]
    lines.append(f"  rows: {counted(told.rows)}")
    lines.append(f"  files: {len(told.files)}")
    in_backups = "erased there, too" if and_backups and done else "kept there; add --and-backups"
    lines += [f"  in the backup {path}: {in_backups}" for path in told.backups]
    lines += [f"  the backup {path} could not be read; delete it yourself" for path in told.not_read]
    lines += [f"  the name also stands in {place}; change it there" for place in told.named_in]
    lines.append("cannot be erased from here:")
    lines += [f"  {what}" for what in told.out_of_reach]
    return "\n".join(lines)
