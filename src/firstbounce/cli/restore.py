"""`firstbounce restore`: put a backup in place of everything."""

from __future__ import annotations

from pathlib import Path

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.records_options import FILE, counted, open_records, records_options
from firstbounce.cli.words import echo_json


@click.command("restore", short_help="Put a backup in place of all records.")
@click.argument("backup", type=FILE)
@records_options
@click.option("--yes", is_flag=True, help="Do not ask.")
@json_option
def command(backup: Path, data: Path | None, database: str | None, yes: bool, as_json: bool) -> None:
    """Put BACKUP in place of all records, all or nothing. What is there now is backed up first.

    A player who was erased since the backup stays erased.

    Example:  firstbounce restore backups/20260514T101500Z-backup.zip
    """
    from firstbounce.services.backup import restore

    with open_records(data, database) as store:
        if not yes:
            click.confirm(f"Put {backup} in place of all records in {store.folder}?", abort=True, err=True)
        told = restore(store, backup)
    if as_json:
        echo_json(
            {
                "made": told.made,
                "rows": told.rows,
                "before": str(told.before),
                "erased_again": list(told.erased_again),
            }
        )
        return
    click.echo(f"restored the backup of {told.made}: {counted(told.rows)}")
    click.echo(f"what was there before is in {told.before}")
    if told.erased_again:
        click.echo(f"players erased since then stay erased: {len(told.erased_again)}")
