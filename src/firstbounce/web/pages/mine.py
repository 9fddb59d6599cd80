"""What a player sees through a link: their own record, and room for homework; nothing of anybody else."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from firstbounce.services import lessons
from firstbounce.units import balls
from firstbounce.web.coach import pace_m
from firstbounce.web.links import link_of_token, open_link
from firstbounce.web.pages.drills import drill_names
from firstbounce.web.pages.players import by_player, home_words
from firstbounce.web.reach import Records, SettingsOf, VisitorOf
from firstbounce.web.render import page
from firstbounce.web.visitors import Cookies, Visitor
from firstbounce.web.words import day_text

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MinePage:
    """Everything mine.html may use."""

    name: str
    aim: str
    homework: str
    next_date: str
    last_drill: str
    drills: tuple[str, ...]
    scores: tuple[str, ...]
    logged: str
    home: str  #: what was tallied since the last lesson
    clubs: tuple[str, ...]
    pace_m: float
    key: str  #: under which the device keeps tallies that wait; opens nothing
    may_add: bool
    until: str


@router.get("/link/{token}")
def follow_link(token: str, request: Request, store: Records, settings: SettingsOf) -> Response:
    """Let the player in, and take the token out of the address."""
    link = link_of_token(store, settings, token)
    answer = RedirectResponse("/mine", status_code=303)
    cookies: Cookies = request.app.state.cookies
    cookies.set(answer, Visitor(role="player", link=link.id))
    return answer


@router.get("/mine")
def mine_page(request: Request, store: Records, visitor: VisitorOf) -> Response:
    """The player's own card."""
    if visitor.role != "player" or visitor.link is None:
        return RedirectResponse("/", status_code=303)
    link = open_link(store, visitor.link)
    card = lessons.player_card(store, link.player_id, scores=20)
    lesson = card.last_lesson
    drills = [one.drill for one in lesson.drills] if lesson else []
    context = MinePage(
        name=card.player.name,
        aim=lesson.aim if lesson else "",
        homework=lesson.homework if lesson else "",
        next_date=day_text(lesson.next_date) if lesson and lesson.next_date else "",
        last_drill=drills[0] if drills else "",
        drills=drill_names(),
        scores=tuple(
            f"{day_text(one.score.made.date())}: {one.score.drill},"
            f" {one.score.successes} of {one.score.out_of}{by_player(one.logged_by)}"
            for one in card.last_scores
        ),
        logged=balls(card.balls),
        home=home_words(card.home),
        clubs=tuple(club.name for club in card.player.clubs),
        pace_m=pace_m(store),
        key=hashlib.sha256(f"waiting {link.id}".encode()).hexdigest()[:16],
        may_add=link.may_add,
        until=day_text(link.expires.date()),
    )
    return page(request, "mine.html", context)
