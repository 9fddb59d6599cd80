"""Every router of the application, in the order in which they are tried."""

from __future__ import annotations

from fastapi import APIRouter

from firstbounce.web.api import charts as charts_api
from firstbounce.web.api import course as course_api
from firstbounce.web.api import guides as guides_api
from firstbounce.web.api import mine as mine_api
from firstbounce.web.api import outbox, reviews, signing, work
from firstbounce.web.api import plans as plans_api
from firstbounce.web.api import players as players_api
from firstbounce.web.api import settings as settings_api
from firstbounce.web.api import technique as technique_api
from firstbounce.web.api import weeks as weeks_api
from firstbounce.web.pages import (
    charts,
    clinics,
    course,
    drills,
    files,
    greens,
    guides,
    lesson,
    log,
    mine,
    plans,
    players,
    sign_in,
    technique,
    today,
    trust,
    weeks,
)
from firstbounce.web.pages import reviews as review_pages
from firstbounce.web.pages import settings as settings_pages


def all_routers() -> list[APIRouter]:
    """Pages and interface."""
    pages = [files, sign_in, course, players, charts, weeks, today, plans, log, clinics, review_pages, drills]
    pages += [lesson, greens, settings_pages, trust, mine, guides, technique]
    interface = [signing, outbox, players_api, mine_api, work, plans_api, reviews, settings_api, course_api]
    interface += [charts_api, weeks_api]
    interface += [guides_api, technique_api]
    return [part.router for part in (*pages, *interface)]
