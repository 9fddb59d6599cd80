"""Links for players: to their own record, and to one guide. Signed, so that an id alone opens nothing.

Both expire and can be taken back. The two kinds are signed apart: one never opens the other.
"""

from __future__ import annotations

from itsdangerous import BadSignature, URLSafeSerializer

from firstbounce.errors import StoreError
from firstbounce.records.rows.kept import GuideLinkRow
from firstbounce.records.rows.people import LinkRow
from firstbounce.services import desk_guides, players
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


def guide_path(settings: Settings, link_id: str) -> str:
    """Where a link shows its guide."""
    told = URLSafeSerializer(settings.secret, salt="guide link").dumps(link_id)
    return f"/shared/{told if isinstance(told, str) else told.decode()}"


def guide_link_of_token(store: Store, settings: Settings, token: str) -> GuideLinkRow:
    """The link to a guide, when it may be used now. NoLink says why not."""
    try:
        link_id = URLSafeSerializer(settings.secret, salt="guide link").loads(token)
    except BadSignature:
        raise NoLink("This link is not complete; open it again from the message it came in.") from None
    try:
        return desk_guides.open_link(store, str(link_id))
    except StoreError as error:
        raise NoLink(str(error)) from None
