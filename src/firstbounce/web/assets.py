"""Static files under a name that changes with every build, and the service worker that keeps them."""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from importlib import resources
from pathlib import Path

FOLDER = Path(str(resources.files("firstbounce.web") / "static"))
TEMPLATES = Path(str(resources.files("firstbounce.web") / "templates"))
#: Pages that hold nobody's record and open without a network.
SHELLS = ("/course", "/course/log", "/clinics/new", "/clinics/any")
KINDS = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}


@cache
def build() -> str:
    """A name of what the pages are made of: changes when any static file or template does."""
    digest = hashlib.sha256()
    for path in sorted([*FOLDER.iterdir(), *TEMPLATES.iterdir()]):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:12]


def static(name: str) -> str:
    """The address of a static file."""
    return f"/static/{build()}/{name}"


@cache
def files() -> dict[str, bytes]:
    """Every static file by name; the service worker has its own address."""
    kept = [path for path in sorted(FOLDER.iterdir()) if path.suffix in KINDS and path.name != "sw.js"]
    return {path.name: path.read_bytes() for path in kept}


@cache
def modules_of(template: str) -> tuple[str, ...]:
    """Every module that a page of this template loads, those that modules import included."""
    sources = [(TEMPLATES / name).read_text(encoding="utf-8") for name in ("base.html", template)]
    waiting = [name for source in sources for name in re.findall(r"static\('([\w.]+\.js)'\)", source)]
    found: dict[str, None] = {}
    while waiting:
        name = waiting.pop(0)
        if name not in found:
            found[name] = None
            waiting += re.findall(r'from "\./([\w.]+)"', files()[name].decode())
    return tuple(found)


@cache
def preloads(template: str) -> str:
    """The Link header that has a browser fetch all of them at once, not one after the other."""
    return ", ".join(f"<{static(name)}>; rel=modulepreload" for name in modules_of(template))


@cache
def service_worker() -> str:
    """The worker with its build and the files it keeps from the start."""
    kept = [*(static(name) for name in files()), *SHELLS, "/manifest.webmanifest"]
    head = f"const BUILD = {json.dumps(build())};\nconst FILES = {json.dumps(kept)};\n"
    return head + (FOLDER / "sw.js").read_text(encoding="utf-8")


def manifest() -> dict[str, object]:
    """What a phone needs to put the notebook on its home screen."""
    icon = {"src": static("icon.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}
    return {
        "name": "Firstbounce",
        "short_name": "Firstbounce",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#fbf8f0",
        "theme_color": "#fbf8f0",
        "icons": [icon],
    }
