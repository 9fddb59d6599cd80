"""The door: loopback only without --phone, known host names, same site, signed in, not too large.

Plain ASGI, in front of everything, so that no route can forget a rule. Each rule has a test in
tests/web/test_security.py that tries to break it.
"""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from firstbounce.web.failures import failed
from firstbounce.web.settings import Settings
from firstbounce.web.visitors import Cookies, Visitor

SAFE = ("GET", "HEAD", "OPTIONS")
LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})
#: What anybody who reaches the server may see: how to come in, and what the pages are made of.
OPEN = (
    "/static/",
    "/sign-in",
    "/api/sign-in",
    "/trust",
    "/manifest.webmanifest",
    "/sw.js",
    "/link/",
    "/shared/",
    "/icon",
)
#: What a player with a link may reach.
OF_PLAYERS = ("/mine", "/api/mine", "/sign-out", "/api/sign-out")
UPLOADS = ("/api/clips", "/api/restore")
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; font-src 'self'; media-src 'self' blob:; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=()",
}


class Door:
    """ASGI middleware: refuses what breaks a rule, and notes the visitor for the routes."""

    def __init__(self, app: ASGIApp, settings: Settings, cookies: Cookies) -> None:
        self._app, self._settings, self._cookies = app, settings, cookies

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        visitor = self._cookies.visitor(request.headers)
        scope.setdefault("state", {})["visitor"] = visitor
        refused = self._refusal(request, visitor)
        if refused is not None:
            await refused(scope, receive, _with_headers(send))
            return
        limited = _counted(receive, self._limit(request.url.path))
        await self._app(scope, limited, _with_headers(send))

    def _refusal(self, request: Request, visitor: Visitor) -> Response | None:
        """The answer to a request that breaks a rule, None for one that does not."""
        peer = request.client.host if request.client else ""
        if not self._settings.on_network and not is_loopback(peer):
            return failed(403, "This server answers on its own machine only; start it with --phone.")
        if not self._known_host(request.headers):
            return failed(421, "This server does not go by that name.")
        if not same_site(request):
            return failed(403, "A request from another site is refused.")
        length = request.headers.get("content-length", "")
        if length.isdigit() and int(length) > self._limit(request.url.path):
            return _too_large(self._limit(request.url.path))
        return _not_allowed(request, visitor)

    def _known_host(self, headers: Headers) -> bool:
        name = host_name(headers.get("host", ""))
        return name in LOOPBACK_NAMES or (self._settings.on_network and name in self._settings.hosts)

    def _limit(self, path: str) -> int:
        return self._settings.most_upload_bytes if path.startswith(UPLOADS) else self._settings.most_bytes


def is_loopback(address: str) -> bool:
    """Whether an address is this machine's own."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = found.ipv4_mapped if isinstance(found, ipaddress.IPv6Address) else None
    return (mapped or found).is_loopback


def host_name(host: str) -> str:
    """The name in a Host header, without port, in small letters."""
    try:
        return (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return ""


def same_site(request: Request) -> bool:
    """Whether a request comes from our own pages (or from no page at all).

    Browsers that are told nothing else send Origin with every write, and Sec-Fetch-Site in secure contexts.
    Reading may only be started from elsewhere by following a link.
    """
    headers = request.headers
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if request.method in SAFE:
        followed = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
        return site in (None, "same-origin", "none") or followed
    if origin is not None and _origin_host(origin) != headers.get("host", "").lower():
        return False
    return site in (None, "same-origin", "none")


def _origin_host(origin: str) -> str:
    try:
        return urlsplit(origin).netloc.lower()
    except ValueError:
        return ""


def _not_allowed(request: Request, visitor: Visitor) -> Response | None:
    path = request.url.path
    if visitor.role == "coach" or path.startswith(OPEN):
        return None
    if visitor.role == "player":
        return None if _within(path, OF_PLAYERS) else failed(403, "This link shows your own record only.")
    if request.method in SAFE and not path.startswith("/api/"):
        return RedirectResponse("/sign-in", status_code=303)
    return failed(401)


def _within(path: str, places: tuple[str, ...]) -> bool:
    return any(path == place or path.startswith(f"{place}/") for place in places)


def _too_large(limit: int) -> Response:
    return failed(413, _said_too_large(limit), {"connection": "close"})


def _said_too_large(limit: int) -> str:
    said = f"{limit / 1e6:g} MB" if limit >= 1e6 else f"{limit / 1e3:g} kB"
    return f"This is too large to take: at most {said}."


def _counted(receive: Receive, limit: int) -> Receive:
    """`receive` that stops at the limit, for bodies that did not say how long they are."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > limit:
            raise HTTPException(413, _said_too_large(limit))
        return message

    return counted


def _with_headers(send: Send) -> Send:
    """Every answer carries the policies; pages with a person's record are kept by no shared cache."""

    async def send_with(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return send_with
