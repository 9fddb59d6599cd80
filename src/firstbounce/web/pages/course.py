"""The phone alone: choose a player, say where the ball lies, get a choice from tables, log. Works offline."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.ground.slopes import SlopeWord
from firstbounce.web.render import Option, options, page
from firstbounce.words import Level, LieKind

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoursePage:
    """Everything course.html may use: nobody's record, so that it can be kept on the phone."""

    levels: tuple[Option, ...]
    lies: tuple[Option, ...]
    slopes: tuple[Option, ...]


@router.get("/course")
def course_page(request: Request) -> Response:
    """The page that needs no connection."""
    context = CoursePage(levels=options(Level), lies=options(LieKind), slopes=options(SlopeWord))
    return page(request, "course.html", context)
