"""Guides: make one in under a minute, look at it, hand it out as PDF, page, link and code."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from firstbounce.guides.blocks import Kind, Paper
from firstbounce.guides.code import code_picture
from firstbounce.guides.page import policy_of, with_link
from firstbounce.records.rows.kept import GuideRow
from firstbounce.records.rows.sessions import LessonRow
from firstbounce.services import coach_look, desk_guides, kept, lessons, players
from firstbounce.services.desk_guides import PAGE, PAPER, PDF
from firstbounce.services.guide import Ask, chosen_drills
from firstbounce.services.store import Store
from firstbounce.units import balls
from firstbounce.web.api.guides import pdf_answer
from firstbounce.web.api.shapes import Id
from firstbounce.web.links import guide_link_of_token, guide_path
from firstbounce.web.pages.drills import drill_names
from firstbounce.web.pages.players import UNITS
from firstbounce.web.reach import Queue, Records, SettingsOf, address_of
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text
from firstbounce.words import Level

router = APIRouter(include_in_schema=False)
KINDS: tuple[Option, ...] = (
    (Kind.PLAYER, "Player guide"),
    (Kind.CARD, "Pocket card"),
    (Kind.LOG_SHEET, "Log sheet"),
    (Kind.GENERAL, "General guide"),
)
PAPERS: tuple[Option, ...] = ((Paper.A4, "A4"), (Paper.LETTER, "US Letter"))
MOST_SEEN, LONGEST_SEEN = 5, 300  #: things that a guide tells of what was seen, and their letters


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideLine:
    """A guide that was made before."""

    id: str
    words: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeGuidePage:
    """Everything make_guide.html may use."""

    player_id: str
    player: str
    lesson_id: str  #: empty without one
    lesson_words: str
    kinds: tuple[Option, ...]
    papers: tuple[Option, ...]
    paper: str
    units: tuple[Option, ...]
    unit: str
    levels: tuple[Option, ...]
    level: str
    stations: tuple[Option, ...]
    chosen: tuple[str, ...]  #: drills that are set
    others: tuple[str, ...]  #: drills that can be added
    saw: str
    aim: str
    rests_on: str
    look_name: str
    look_contact: str
    accent: str
    has_logo: bool
    on_network: bool
    job: str  #: that is going on; empty when none is
    made: tuple[GuideLine, ...]
    for_anyone: tuple[GuideLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLink:
    """A link to the guide that is open."""

    id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GuidePage:
    """Everything guide.html may use."""

    id: str
    title: str
    about: str
    back: str
    back_words: str
    rests_on: str
    links: tuple[OpenLink, ...]
    on_network: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareGuidePage:
    """Everything share_guide.html may use: one code that a phone's camera opens."""

    title: str
    url: str
    qr: str  #: SVG
    until: str
    back: str
    on_network: bool


@router.get("/players/{player_id}/guide")
def make_guide_page(
    request: Request,
    player_id: Id,
    store: Records,
    settings: SettingsOf,
    jobs: Queue,
    lesson: Id | None = None,
) -> Response:
    """What the guide is to be; everything is set from the lesson, so that one tap makes it."""
    player = players.player(store, player_id)
    held = _lesson(store, player_id, lesson)
    day = desk_guides.held_of(store, player_id)
    look = coach_look.look_of(store)
    chosen = _chosen(held)
    going = jobs.going_on("guide", player_id)
    context = MakeGuidePage(
        player_id=player_id,
        player=player.name,
        lesson_id=held.id if held else "",
        lesson_words=f"lesson of {day_text(held.date)}" if held else "",
        kinds=KINDS,
        papers=PAPERS,
        paper=kept.setting(store, PAPER, str(Paper.A4)),
        units=UNITS,
        unit=str(player.units),
        levels=options(Level),
        level=str(player.level),
        stations=tuple((one.id, one.name) for one in day.stations) if day else (),
        chosen=chosen,
        others=tuple(name for name in drill_names() if name not in chosen),
        saw="\n".join(_seen(held)),
        aim=held.aim[:LONGEST_SEEN] if held else "",
        rests_on=_rests_on(day),
        look_name=look.name,
        look_contact=look.contact,
        accent=look.accent,
        has_logo=coach_look.has_logo(store),
        on_network=settings.on_network,
        job=going[0].id if going else "",
        made=tuple(_line(one) for one in kept.guides(store, player_id)),
        for_anyone=tuple(_line(one) for one in kept.guides(store, None, limit=5)),
    )
    return page(request, "make_guide.html", context)


@router.get("/guides/{guide_id}")
def guide_page(request: Request, guide_id: Id, store: Records, settings: SettingsOf) -> Response:
    """A guide that was made: to print, for a phone, to share."""
    row = kept.guide_row(store, guide_id)
    player = players.player(store, row.player_id) if row.player_id else None
    now = store.clock()
    context = GuidePage(
        id=row.id,
        title=row.title,
        about=f"{row.kind}, {day_text(row.made.date())}",
        back=f"/players/{player.id}/guide" if player else "/",
        back_words=player.name if player else "For anyone",
        rests_on=_made_from(row) if player else "",
        links=tuple(
            OpenLink(id=one.id, words=f"open until {day_text(one.expires.date())}")
            for one in desk_guides.guide_links(store, guide_id)
            if one.open_at(now)
        ),
        on_network=settings.on_network,
    )
    return page(request, "guide.html", context)


@router.get("/guides/{guide_id}/page")
def guide_as_page(guide_id: Id, store: Records) -> Response:
    """The guide as the player's phone shows it."""
    return _shown(store, guide_id, f"/guides/{guide_id}/pdf")


@router.get("/guides/{guide_id}/pdf")
def guide_as_pdf(guide_id: Id, store: Records) -> Response:
    """The guide to print."""
    return pdf_answer(desk_guides.guide_file(store, guide_id, PDF))


@router.get("/guides/{guide_id}/share/{link_id}")
def share_guide_page(
    request: Request, guide_id: Id, link_id: Id, store: Records, settings: SettingsOf
) -> Response:
    """The code that the player's phone reads from this screen."""
    row, link = kept.guide_row(store, guide_id), desk_guides.open_link(store, link_id)
    if link.guide_id != guide_id:
        return RedirectResponse(f"/guides/{guide_id}", status_code=303)
    url = address_of(request) + guide_path(settings, link_id)
    context = ShareGuidePage(
        title=row.title,
        url=url,
        qr=code_picture(url).svg,
        until=day_text(link.expires.date()),
        back=f"/guides/{guide_id}",
        on_network=settings.on_network,
    )
    return page(request, "share_guide.html", context)


@router.get("/shared/{token}")
def shared_guide(token: str, store: Records, settings: SettingsOf) -> Response:
    """What a link shows: one guide, and nothing else."""
    link = guide_link_of_token(store, settings, token)
    return _shown(store, link.guide_id, f"{guide_path(settings, link.id)}/pdf")


@router.get("/shared/{token}/pdf")
def shared_pdf(token: str, store: Records, settings: SettingsOf) -> Response:
    """The same guide to print."""
    link = guide_link_of_token(store, settings, token)
    return pdf_answer(desk_guides.guide_file(store, link.guide_id, PDF))


def _shown(store: Store, guide_id: str, pdf: str) -> Response:
    """The page of a guide under a policy of its own: its one style by its hash, no script at all."""
    text = with_link(
        desk_guides.guide_file(store, guide_id, PAGE).decode(), pdf, "The same guide to print (PDF)"
    )
    return HTMLResponse(text, headers={"content-security-policy": policy_of(text)})


def _lesson(store: Store, player_id: str, lesson_id: str | None) -> LessonRow | None:
    """The lesson that was named, if it is this player's; the last one otherwise."""
    held = lessons.lessons(store, player_id)
    named = next((one for one in held if one.id == lesson_id), None)
    return named or next(iter(held), None)


def _chosen(held: LessonRow | None) -> tuple[str, ...]:
    """The lesson's drills; without any the usual ones."""
    known = set(drill_names())
    of_lesson = tuple(one.drill for one in held.drills if one.drill in known) if held else ()
    return of_lesson or tuple(drill.name for drill in chosen_drills(Ask()))


def _seen(held: LessonRow | None) -> list[str]:
    lines = (held.seen if held else "").splitlines()
    return [line.strip()[:LONGEST_SEEN] for line in lines if line.strip()][:MOST_SEEN]


def _rests_on(held: desk_guides.Held | None) -> str:
    if held is None:
        return "No green with balls yet: the numbers will be typical for the level, and the guide says so."
    if not held.enough:
        return f"On {held.green}: not enough balls yet, so the numbers will be typical for the level."
    return f"On {held.green}, from {balls(len(held.balls))} of that day."


def _made_from(row: GuideRow) -> str:
    n = len(row.inputs.get("balls", ()))
    return f"Made when {balls(n)} of that day {'was' if n == 1 else 'were'} logged." if n else ""


def _line(row: GuideRow) -> GuideLine:
    kind = row.kind[:1].upper() + row.kind[1:]
    return GuideLine(id=row.id, words=f"{kind}: {row.title}", when=day_text(row.made.date()))
