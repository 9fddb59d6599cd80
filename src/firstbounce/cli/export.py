"""`firstbounce export`: everything, or one player, in open forms."""

from __future__ import annotations

from pathlib import Path

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.records_options import FILE, counted, find_player, open_records, records_options
from firstbounce.cli.words import echo_json


@click.command("export", short_help="Write all records, or one player's, as JSON, CSV and pictures.")
@click.argument("to", type=FILE, required=False)
@records_options
@click.option("--player", help="Name or id of one player; everything when left out.")
@click.option("--pictures", is_flag=True, help="Draw the newest plans of each player, too.")
@json_option
def command(
    to: Path | None,
    data: Path | None,
    database: str | None,
    player: str | None,
    pictures: bool,
    as_json: bool,
) -> None:
    """Write a ZIP of JSON, CSV, kept files, and for each player balls.csv and green.toml (docs/records.md).

    Keys and the passphrase are never in it.

    Example:  firstbounce export --player "Ines K"
    """
    from firstbounce.services.transfer import export, export_name

    with open_records(data, database) as store:
        player_id = find_player(store, player).id if player else None
        told = export(store, to or Path(export_name(store, player_id)), player_id, pictures=pictures)
    if as_json:
        echo_json(
            {
                "path": str(told.path),
                "rows": told.rows,
                "files": told.files,
                "missing_files": list(told.missing_files),
            }
        )
        return
    click.echo(f"wrote {told.path}: {counted(told.rows)}; files: {told.files}")
    for file_id in told.missing_files:
        click.echo(f"the bytes of file {file_id} are gone from the data folder")
