"""The laptop's own certificate authority, and the certificate of the day for the names it has today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import trustme


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """What TLS needs, and what must be kept so that a phone trusts this laptop tomorrow, too."""

    authority: bytes  #: the authority's certificate (PEM), for phones
    key: bytes
    chain: bytes
    kept: dict[str, str]  #: the authority with its key: a secret


def identity(known: Mapping[str, Any] | None, names: tuple[str, ...]) -> Identity:
    """The authority that was kept, or a new one, and a certificate for these names and addresses."""
    if known:
        authority = trustme.CA.from_pem(str(known["certificate"]).encode(), str(known["key"]).encode())
    else:
        authority = trustme.CA(organization_name="Firstbounce on this laptop")
    issued = authority.issue_cert(*names, "localhost", "127.0.0.1")
    certificate = authority.cert_pem.bytes()
    return Identity(
        authority=certificate,
        key=issued.private_key_pem.bytes(),
        chain=b"".join(part.bytes() for part in issued.cert_chain_pems),
        kept={"certificate": certificate.decode(), "key": authority.private_key_pem.bytes().decode()},
    )
