"""`firstbounce serve`: the pages, on this machine or for a phone on the same network."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from firstbounce.services.store import Store
    from firstbounce.web.run import Address

PORT = 8440


@click.command("serve", short_help="The pages: players, green, plan, log, review, practice.")
@click.option("--data", type=click.Path(path_type=Path, file_okay=False), help="Folder of the records.")
@click.option("--database", help="URL of a PostgreSQL database instead of the file in the folder.")
@click.option("--port", type=click.IntRange(1024, 65000), default=PORT, show_default=True)
@click.option("--phone", is_flag=True, help="Answer on the network, for a phone; asks for a passphrase.")
@click.option("--passphrase", help="Set the passphrase of --phone (eight letters or more).")
@click.option("--demo", is_flag=True, help="Invented players in a folder that is deleted afterwards.")
@click.option("--no-browser", is_flag=True, help="Do not open the pages on this machine.")
def command(
    data: Path | None,
    database: str | None,
    port: int,
    phone: bool,
    passphrase: str | None,
    demo: bool,
    no_browser: bool,
) -> None:
    """Serve the pages until stopped with Ctrl-C.

    Without --phone only this machine is answered. With it, phones on the same network are, over plain http
    and over TLS with a certificate of the laptop's own, and always behind a passphrase.

    Example:  firstbounce serve --demo
    """
    if demo and (data or database):
        raise click.UsageError("--demo has records of its own: leave --data and --database away.")
    with ExitStack() as stack:
        store = _store(stack, data, database, demo)
        if not phone:
            from firstbounce.web.run import serve_here

            serve_here(store, port, lambda told: _ready(told, not no_browser))
            return
        from firstbounce.web.run import passphrase_hash, serve_phone, set_passphrase

        if passphrase is None and passphrase_hash(store) is None:
            passphrase = click.prompt("Choose a passphrase", hide_input=True, confirmation_prompt=True)
        if passphrase is not None:
            set_passphrase(store, passphrase)
        serve_phone(store, port, lambda told: _ready(told, not no_browser))


def _store(stack: ExitStack, data: Path | None, database: str | None, demo: bool) -> Store:
    from firstbounce.services.store import open_store

    if not demo:
        return stack.enter_context(open_store(data, database))
    from tempfile import TemporaryDirectory

    from firstbounce.services.demo_records import put_demo

    folder = Path(stack.enter_context(TemporaryDirectory(prefix="firstbounce-demo-")))
    store = stack.enter_context(open_store(folder))
    put_demo(store)
    return store


def _ready(told: list[Address], browser: bool) -> None:
    for one in told:
        click.echo(f"{one.url}  {one.words}")
    if len(told) > 1:
        import segno

        segno.make(told[0].url, error="m").terminal(compact=True)
        click.echo(f"How a phone trusts this laptop: {told[-1].url}trust")
    click.echo("Stop with Ctrl-C.")
    if browser:
        click.launch(told[-1].url)
