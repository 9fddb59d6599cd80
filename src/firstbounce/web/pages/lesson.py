"""The lesson note: one aim, drills with their dose, homework, next date; closed in under a minute."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.services import kept, lessons, players, sessions, technique
from firstbounce.services.store import Store
from firstbounce.web.api.shapes import Id
from firstbounce.web.pages.drills import drill_names
from firstbounce.web.pages.technique import says
from firstbounce.web.reach import Records, now
from firstbounce.web.render import page
from firstbounce.web.words import day_text

router = APIRouter(include_in_schema=False)
AIMS = (
    "Land it on the spot",
    "Brush the grass past the ball",
    "Arms and chest stay one piece",
    "Same length back and through",
    "Finish still for a count of two",
    "Read the run before choosing the club",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """An earlier lesson in a line."""

    id: str
    date: str
    aim: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonPage:
    """Everything lesson.html may use."""

    player_id: str
    player: str
    session_id: str  #: of today; empty when there was none
    aims: tuple[str, ...]
    drills: tuple[str, ...]
    last_drill: str
    seen: str  #: what the last review said, to begin with
    week: str  #: a week from today
    past: tuple[Past, ...]


@router.get("/players/{player_id}/lesson")
def lesson_page(request: Request, player_id: Id, store: Records) -> Response:
    """The note of today's lesson."""
    player, session = players.player(store, player_id), sessions.last_session(store, player_id)
    today = now().date()
    held = lessons.lessons(store, player_id, limit=5)
    of_today = session is not None and session.started.date() == today
    last = held[0].drills[0].drill if held and held[0].drills else ""
    context = LessonPage(
        player_id=player_id,
        player=player.name,
        session_id=session.id if session and of_today else "",
        aims=tuple(dict.fromkeys([*(one.aim for one in held[:1] if one.aim), *AIMS])),
        drills=drill_names(),
        last_drill=last,
        seen="\n".join(_seen_today(store, player_id, today)),
        week=(today + datetime.timedelta(days=7)).isoformat(),
        past=tuple(Past(id=one.id, date=day_text(one.date), aim=one.aim or "no aim written") for one in held),
    )
    return page(request, "lesson.html", context)


def _seen_today(store: Store, player_id: str, today: datetime.date) -> list[str]:
    """What the last review and the last look at the technique said, if they are of today."""
    review = next(iter(kept.reviews(store, player_id, limit=1)), None)
    looked = next(iter(technique.results(store, player_id, limit=1)), None)
    said = [review.sentence] if review and review.made.date() == today else []
    return [*said, says(looked)] if looked and looked.made.date() == today else said
