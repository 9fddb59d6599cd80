"""Who is asking: the coach, a player with a link, or nobody; told by signed cookies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Literal

from itsdangerous import BadSignature, TimestampSigner, URLSafeSerializer
from starlette.responses import Response

from firstbounce.web.settings import Settings

Role = Literal["coach", "player", "nobody"]
COACH_S = 30 * 24 * 3600  #: a coach signs in again after 30 days
PLAYER_S = 7 * 24 * 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who is asking. `link` is the id of the player link that a player came with."""

    role: Role
    link: str | None = None


NOBODY = Visitor(role="nobody")
COACH = Visitor(role="coach")


class Cookies:
    """Makes and reads the session cookie. HttpOnly, SameSite=Strict; Secure and host-bound under TLS."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._signer = _Timed(settings)
        self._serializer = URLSafeSerializer(settings.secret, salt="visitor")
        self.name = "__Host-firstbounce" if settings.tls else "firstbounce"

    def visitor(self, headers: Mapping[str, str]) -> Visitor:
        """The visitor of a request."""
        told = self._told(headers.get("cookie", ""))
        if told is None:
            return COACH if not self._settings.on_network else NOBODY
        return told

    def set(self, response: Response, visitor: Visitor) -> None:
        """Let this visitor in from now on."""
        raw = self._serializer.dumps({"role": visitor.role, "link": visitor.link})
        text = raw if isinstance(raw, str) else raw.decode()
        response.set_cookie(
            self.name,
            self._signer.sign(text).decode(),
            max_age=COACH_S if visitor.role == "coach" else PLAYER_S,
            path="/",
            secure=self._settings.tls,
            httponly=True,
            samesite="strict",
        )

    def clear(self, response: Response) -> None:
        """Sign out."""
        response.delete_cookie(
            self.name, path="/", secure=self._settings.tls, httponly=True, samesite="strict"
        )

    def _told(self, header: str) -> Visitor | None:
        try:
            morsel = SimpleCookie(header).get(self.name)
            if morsel is None:
                return None
            text = self._signer.unsign(morsel.value, max_age=COACH_S).decode()
            told = self._serializer.loads(text)
            if told["role"] == "player":
                self._signer.unsign(morsel.value, max_age=PLAYER_S)
            return Visitor(role=told["role"], link=told["link"])
        except (BadSignature, CookieError, KeyError, TypeError):
            return None


class _Timed(TimestampSigner):
    """A signer whose clock is the server's, so that tests can move it."""

    def __init__(self, settings: Settings) -> None:
        super().__init__(settings.secret, salt="session")
        self._clock = settings.clock

    def get_timestamp(self) -> int:
        return int(self._clock())
