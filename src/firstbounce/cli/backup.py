"""`firstbounce backup`: everything in one file, while others go on writing."""

from __future__ import annotations

from pathlib import Path

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.records_options import FILE, open_records, records_options
from firstbounce.cli.words import echo_json


@click.command("backup", short_help="Copy all records into one file, in use or not.")
@click.argument("to", type=FILE, required=False)
@records_options
@json_option
def command(to: Path | None, data: Path | None, database: str | None, as_json: bool) -> None:
    """Copy all records as of one moment into the file TO, or into the folder of backups beside them.

    The copy holds everything, the keys of the program too: keep it where the records could lie.

    Example:  firstbounce backup
    """
    from firstbounce.services.backup import backup

    with open_records(data, database) as store:
        path = backup(store, to)
    if as_json:
        echo_json({"path": str(path), "bytes": path.stat().st_size})
    else:
        click.echo(f"wrote {path} ({path.stat().st_size / 1e6:.1f} MB)")
