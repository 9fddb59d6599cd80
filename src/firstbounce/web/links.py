"""A player's link: signed, so that an id alone opens nothing; it expires and can be taken back."""

from __future__ import annotations

from itsdangerous import BadSignature, URLSafeSerializer

from firstbounce.errors import StoreError
from firstbounce.records.rows.people import LinkRow
from firstbounce.services import players
from firstbounce.services.store import Store
from firstbounce.web.settings import Settings


class NoLink(StoreError):
    """A link that opens nothing: unknown, changed, expired or taken back."""


def token_of(settings: Settings, link: LinkRow) -> str:
    """What stands in the address of a link."""
    told = URLSafeSerializer(settings.secret, salt="player link").dumps(link.id)
    return told if isinstance(told, str) else told.decode()


def link_of_token(store: Store, settings: Settings, token: str) -> LinkRow:
    """The link, when it may be used now."""
    try:
        link_id = URLSafeSerializer(settings.secret, salt="player link").loads(token)
    except BadSignature:
        raise NoLink("This link is not complete; open it again from the message it came in.") from None
    return open_link(store, str(link_id))


def open_link(store: Store, link_id: str) -> LinkRow:
    """The link of that id, when it may be used now. NoLink says why not."""
    try:
        return players.open_link(store, link_id)
    except StoreError as error:
        raise NoLink(str(error)) from None
