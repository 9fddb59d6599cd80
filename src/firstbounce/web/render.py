"""Pages from templates: a template sees its own frozen context, and the shell that every page has."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING, Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from firstbounce.web.assets import TEMPLATES, preloads, static

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Option = tuple[str, str]  #: value and words of a choice in a form
PLACES = (
    ("/", "Players"),
    ("/today", "Green"),
    ("/course", "Course"),
    ("/drills", "Drills"),
    ("/settings", "Settings"),
)


@dataclass(frozen=True, slots=True)
class Place:
    """One entry of the main menu."""

    path: str
    words: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """What the frame of every page needs."""

    role: str
    places: tuple[Place, ...]


def options(words: Iterable[StrEnum]) -> tuple[Option, ...]:
    """Values of a form with the words on screen: the same, with a capital."""
    return tuple((str(word), str(word)[:1].upper() + str(word)[1:]) for word in words)


@cache
def environment() -> Environment:
    """Jinja with escaping on, and an error for every name that a context does not give."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["static"] = static
    return made


def page(request: Request, template: str, context: DataclassInstance, *, status: int = 200) -> HTMLResponse:
    """The page of a template and its context."""
    told: dict[str, Any] = {field.name: getattr(context, field.name) for field in fields(context)}
    text = environment().get_template(template).render(told, shell=_shell(request))
    return HTMLResponse(text, status_code=status, headers={"link": preloads(template)})


def _shell(request: Request) -> Shell:
    visitor = getattr(request.state, "visitor", None)
    path = request.url.path
    return Shell(
        role=visitor.role if visitor else "nobody",
        places=tuple(Place(place, words, _within(path, place)) for place, words in PLACES),
    )


def _within(path: str, place: str) -> bool:
    if place == "/":
        return path == "/" or path.startswith(
            ("/players", "/sessions", "/plans", "/clinics", "/guides", "/technique")
        )
    if place == "/today":
        return path == place or path.startswith(("/days", "/greens"))
    return path == place or path.startswith(f"{place}/")
