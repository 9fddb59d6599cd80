"""How one server is set up. Built by `serve`; tests build their own."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from firstbounce.errors import ParameterError

MEGABYTE = 1_000_000


@dataclass(frozen=True, kw_only=True)
class Settings:
    """Who may come in, by which name, and how much they may send."""

    secret: bytes = field(repr=False)  #: signs sessions and links; 32 bytes or more, kept beside the records
    passphrase_hash: str | None = field(default=None, repr=False)  #: Argon2; needed on a network
    on_network: bool = False  #: False: loopback only, everything else is refused
    tls: bool = False
    hosts: frozenset[str] = frozenset()  #: names and addresses, beside loopback, that the phone may use
    authority: bytes | None = None  #: the local certificate authority (PEM) that a phone can trust
    secure_url: str = ""  #: where the pages answer over TLS, when they do
    phone_url: str = ""  #: where any phone on the network finds the pages, without trust; no slash at its end
    most_bytes: int = MEGABYTE  #: of one request
    most_upload_bytes: int = 300 * MEGABYTE  #: of one clip
    clock: Callable[[], float] = time.time

    def __post_init__(self) -> None:
        if len(self.secret) < 32:
            raise ParameterError("The secret that signs sessions needs 32 bytes or more.")
        if self.on_network and not self.passphrase_hash:
            raise ParameterError(
                "On a network the server needs a passphrase: give one with --passphrase or when asked."
            )
