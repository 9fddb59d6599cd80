"""Start the server: on loopback, or with --phone on the network over plain http and TLS side by side."""

from __future__ import annotations

import asyncio
import secrets
import socket
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import uvicorn

from firstbounce.errors import ParameterError
from firstbounce.services import kept
from firstbounce.services.store import Store
from firstbounce.web.app import create_app
from firstbounce.web.passphrase import hash_of
from firstbounce.web.settings import Settings
from firstbounce.web.trust import Identity, identity

LOOPBACK = "127.0.0.1"
SECRET, PASSPHRASE, AUTHORITY = "web_secret", "web_passphrase", "web_authority"


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """One address at which the pages can be opened."""

    url: str
    words: str


def secret_of(store: Store) -> bytes:
    """What signs sessions and links; made once, kept with the records as a secret."""
    made = kept.setting(store, SECRET)
    if not made:
        made = secrets.token_hex(32)
        kept.set_setting(store, SECRET, made, secret=True)
    return str(made).encode()


def set_passphrase(store: Store, passphrase: str) -> None:
    """A new passphrase; whoever is signed in stays so."""
    kept.set_setting(store, PASSPHRASE, hash_of(passphrase), secret=True)


def passphrase_hash(store: Store) -> str | None:
    """The hash of the passphrase, None when there is none yet."""
    made = kept.setting(store, PASSPHRASE)
    return str(made) if made else None


def own_names() -> tuple[str, ...]:
    """Names and addresses by which others on the network find this machine. Sends nothing."""
    name = socket.gethostname().split(".")[0].lower()
    return tuple(dict.fromkeys([f"{name}.local", *_addresses()]))


def _addresses() -> list[str]:
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(
                ("192.0.2.1", 9)
            )  # an address for documentation; a datagram socket sends nothing yet
            found.append(str(probe.getsockname()[0]))
        except OSError:
            pass
    return [address for address in found if not address.startswith("127.") and address != "0.0.0.0"]


def serve_here(store: Store, port: int, ready: Callable[[list[Address]], None]) -> None:
    """Answer on this machine only, until stopped."""
    app = create_app(store, Settings(secret=secret_of(store)))
    here = Address(url=f"http://{LOOPBACK}:{port}/", words="on this machine")
    _run([_config(app, LOOPBACK, port)], lambda: ready([here]))


def serve_phone(
    store: Store,
    port: int,
    ready: Callable[[list[Address]], None],
    *,
    names: tuple[str, ...] | None = None,
    host: str = "0.0.0.0",
) -> None:
    """Answer on the network: plain http on `port`, TLS on the next one. Needs a passphrase."""
    hashed = passphrase_hash(store)
    if hashed is None:
        raise ParameterError("On a network the server needs a passphrase: start it again with --passphrase.")
    known = names if names is not None else own_names()
    who = identity(kept.setting(store, AUTHORITY), known)
    kept.set_setting(store, AUTHORITY, who.kept, secret=True)
    first = known[-1] if known else LOOPBACK
    secure = f"https://{first}:{port + 1}/"
    common = {"secret": secret_of(store), "passphrase_hash": hashed, "on_network": True}
    anyone = f"http://{first}:{port}"
    more = {"hosts": frozenset(known), "authority": who.authority, "secure_url": secure, "phone_url": anyone}
    plain_app = create_app(store, Settings(**common, **more))  # type: ignore[arg-type]
    secure_app = create_app(store, Settings(**common, **more, tls=True))  # type: ignore[arg-type]
    told = [
        Address(url=secure, words="on a phone that trusts this laptop"),
        Address(url=f"{anyone}/", words="on any phone, while the page stays open"),
        Address(url=f"http://{LOOPBACK}:{port}/", words="on this machine"),
    ]
    with TemporaryDirectory(prefix="firstbounce-") as folder:
        files = _written(who, Path(folder))
        configs = [_config(plain_app, host, port), _config(secure_app, host, port + 1, files)]
        _run(configs, lambda: ready(told))


def _written(who: Identity, folder: Path) -> tuple[Path, Path]:
    key, chain = folder / "key.pem", folder / "chain.pem"
    key.touch(mode=0o600)
    key.write_bytes(who.key)
    chain.write_bytes(who.chain)
    return key, chain


def _config(app: object, host: str, port: int, files: tuple[Path, Path] | None = None) -> uvicorn.Config:
    key, chain = (str(path) for path in files) if files else (None, None)
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        host=host,
        port=port,
        log_level="warning",
        access_log=False,  # who opened which record is nobody's business
        server_header=False,
        timeout_graceful_shutdown=3,
        ssl_keyfile=key,
        ssl_certfile=chain,
    )


def _run(configs: list[uvicorn.Config], ready: Callable[[], None]) -> None:
    for config in configs:
        _free(config.host, config.port)
    asyncio.run(_serve([uvicorn.Server(config) for config in configs], ready))


def _free(host: str, port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            raise ParameterError(
                f"Port {port} is taken by another program: choose another with --port."
            ) from None


async def _serve(servers: list[uvicorn.Server], ready: Callable[[], None]) -> None:
    async def announce() -> None:
        while not all(server.started for server in servers):
            await asyncio.sleep(0.02)
        ready()

    async def together(server: uvicorn.Server) -> None:
        try:
            await server.serve()
        finally:
            for other in servers:
                other.should_exit = True

    telling = asyncio.create_task(announce())
    await asyncio.gather(*(together(server) for server in servers))
    telling.cancel()
