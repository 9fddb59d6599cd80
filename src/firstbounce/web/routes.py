"""Every router of the application, in the order in which they are tried."""

from __future__ import annotations

from fastapi import APIRouter

from firstbounce.web.api import course as course_api
from firstbounce.web.api import outbox, signing, work
from firstbounce.web.api import players as players_api
from firstbounce.web.pages import course, files, log, players, sign_in


def all_routers() -> list[APIRouter]:
    """Pages and interface."""
    pages = [files.router, sign_in.router, course.router, players.router, log.router]
    return [*pages, signing.router, outbox.router, players_api.router, work.router, course_api.router]
