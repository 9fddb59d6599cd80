"""Guides: make one, read it back, share it by a link that shows that guide and nothing else."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import BaseModel, Field, StringConstraints

from firstbounce.guides.blocks import Kind, Paper
from firstbounce.records.rows.kept import GuideRow
from firstbounce.services import coach_look, desk_guides, kept, players
from firstbounce.services.coach_look import Look
from firstbounce.services.desk_guides import PAGE, PDF, GuideAsked
from firstbounce.services.lessons import lesson
from firstbounce.units import LengthUnit
from firstbounce.web.api.shapes import Done, Id, Made, Name, Shape
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job
from firstbounce.web.links import guide_path
from firstbounce.web.reach import Queue, Records, SettingsOf, address_of
from firstbounce.words import Level

router = APIRouter(prefix="/api", tags=["guides"])
Sentence = Annotated[str, StringConstraints(max_length=300, strip_whitespace=True)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=300, strip_whitespace=True)]
Days = Annotated[int, Field(ge=1, le=desk_guides.LONGEST_DAYS)]


class GuideGiven(Shape):
    """What a guide is to be. What is left out comes from the player's balls, lesson and level."""

    kind: Kind = Kind.PLAYER
    player_id: Id | None = None
    lesson_id: Id | None = None
    station_id: Id | None = None
    paper: Paper = Paper.A4
    units: LengthUnit | None = None
    level: Level | None = None
    drills: Annotated[tuple[Name, ...], Field(max_length=12)] = ()
    saw: Annotated[tuple[Words, ...], Field(max_length=5)] = ()
    aim: Sentence = ""
    goal: Sentence = ""
    theme: Annotated[str, StringConstraints(max_length=60, strip_whitespace=True)] = ""
    link_days: Days | None = None  #: also make a link, and print it as a code


class GuideTold(BaseModel):
    """One guide that was made."""

    id: str
    kind: Kind
    title: str
    made: datetime.datetime
    player_id: str | None


class GuidesTold(BaseModel):
    """Guides, newest first."""

    ok: Literal[True] = True
    guides: list[GuideTold]


class GuideWithLinks(GuideTold):
    """One guide, what it was made from, and its links."""

    ok: Literal[True] = True
    asked: dict[str, Any]
    links: list[LinkTold]


class LinkTold(BaseModel):
    """A link to a guide: open until it expires or is taken back."""

    id: str
    path: str
    expires: datetime.datetime
    open: bool


class GuideLinkGiven(Shape):
    """How long the link lasts."""

    days: Days = 30


class GuideLinkMade(Made):
    """The link's address on this server, and the page that shows its code."""

    path: str
    share: str


class LookGiven(Shape):
    """Who hands guides out, and in which colour."""

    name: Annotated[str, StringConstraints(max_length=60, strip_whitespace=True)] = ""
    contact: Annotated[str, StringConstraints(max_length=100, strip_whitespace=True)] = ""
    accent: Annotated[str, StringConstraints(max_length=7)] = Look().accent


class LookTold(LookGiven):
    """The same as kept, and whether there is a logo."""

    ok: Literal[True] = True
    has_logo: bool


@router.post("/guides", status_code=202)
def make(body: GuideGiven, request: Request, store: Records, settings: SettingsOf, jobs: Queue) -> Queued:
    """Make a guide. The answer of the job names it."""
    asked = asked_of(store, body)
    base = address_of(request)

    def work(job: Job) -> dict[str, Any]:
        row = desk_guides.make_for(
            store,
            asked,
            address=lambda link_id: base + guide_path(settings, link_id),
            progress=job.progress,
            cancelled=job.cancelled,
        )
        return {"guide": row.id}

    return Queued(job=jobs.add("guide", work, about=asked.player_id or "").id)


def asked_of(store: Records, body: GuideGiven) -> GuideAsked:
    """What was asked for, in the player's units unless others are named; NotThere for what is not there."""
    units = body.units or LengthUnit.METRES
    if body.player_id is not None:
        units = body.units or players.player(store, body.player_id).units
    if body.lesson_id is not None:
        lesson(store, body.lesson_id)
    return GuideAsked(
        kind=body.kind,
        player_id=body.player_id,
        lesson_id=body.lesson_id,
        station_id=body.station_id,
        paper=body.paper,
        unit=units,
        level=body.level,
        drills=body.drills,
        saw=body.saw,
        aim=body.aim,
        goal=body.goal,
        theme=body.theme,
        link_days=body.link_days,
    )


@router.get("/guides")
def guides(store: Records, player_id: Id | None = None) -> GuidesTold:
    """Guides of a player, or those for anyone; newest first."""
    if player_id is not None:
        players.player(store, player_id)
    return GuidesTold(guides=[GuideTold(**told(row)) for row in kept.guides(store, player_id)])


@router.get("/guides/{guide_id}")
def guide(guide_id: Id, store: Records, settings: SettingsOf) -> GuideWithLinks:
    """One guide and its links."""
    row, now = kept.guide_row(store, guide_id), store.clock()
    links = [
        LinkTold(id=one.id, path=guide_path(settings, one.id), expires=one.expires, open=one.open_at(now))
        for one in desk_guides.guide_links(store, guide_id)
    ]
    return GuideWithLinks(**told(row), asked=row.inputs.get("asked", {}), links=links)


@router.get("/guides/{guide_id}/pdf", response_class=Response)
def guide_pdf(guide_id: Id, store: Records) -> Response:
    """The guide to print."""
    return pdf_answer(desk_guides.guide_file(store, guide_id, PDF))


@router.get("/guides/{guide_id}/page", response_class=Response)
def guide_page_file(guide_id: Id, store: Records) -> Response:
    """The guide as one HTML page that loads nothing, as a file to send on."""
    page = desk_guides.guide_file(store, guide_id, PAGE)
    headers = {"content-disposition": 'attachment; filename="guide.html"'}
    return Response(page, media_type="text/html", headers=headers)


@router.post("/guides/{guide_id}/links", status_code=201)
def make_link(guide_id: Id, body: GuideLinkGiven, store: Records, settings: SettingsOf) -> GuideLinkMade:
    """A link that shows this guide to whoever has it."""
    link = desk_guides.make_link(store, guide_id, days=body.days)
    path = guide_path(settings, link.id)
    return GuideLinkMade(id=link.id, path=path, share=f"/guides/{guide_id}/share/{link.id}")


@router.delete("/guide-links/{link_id}")
def revoke_link(link_id: Id, store: Records) -> Done:
    """The link opens nothing from now on."""
    desk_guides.revoke_link(store, link_id)
    return Done()


@router.get("/look")
def look(store: Records) -> LookTold:
    """Who hands guides out."""
    mine = coach_look.look_of(store)
    logo = coach_look.has_logo(store)
    return LookTold(name=mine.name, contact=mine.contact, accent=mine.accent, has_logo=logo)


@router.put("/look")
def set_look(body: LookGiven, store: Records) -> Done:
    """Name, contact line and colour of every guide that is made from now on."""
    coach_look.set_look(store, Look(name=body.name, contact=body.contact, accent=body.accent))
    return Done()


BYTES = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}


@router.put("/look/logo", openapi_extra=BYTES)
async def set_logo(request: Request, store: Records) -> Done:
    """A logo, SVG or PNG, as the bytes of its file; checked before it is kept."""
    data = await request.body()
    await run_in_threadpool(coach_look.set_logo, store, data)
    return Done()


@router.delete("/look/logo")
def drop_logo(store: Records) -> Done:
    """No logo from now on."""
    coach_look.drop_logo(store)
    return Done()


def pdf_answer(pdf: bytes) -> Response:
    """A PDF that is downloaded, never shown within a page; its name says nothing of the player."""
    headers = {"content-disposition": 'attachment; filename="guide.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


def told(row: GuideRow) -> dict[str, Any]:
    """A guide in a few words."""
    return {"id": row.id, "kind": row.kind, "title": row.title, "made": row.made, "player_id": row.player_id}
