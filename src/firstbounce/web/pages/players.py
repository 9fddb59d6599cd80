"""The list of players, a new one, and a player's own page."""

from __future__ import annotations

import json
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.players.clubs import USUAL_LOFT_DEG, Club, usual_club
from firstbounce.records.rows.balls import Tallied
from firstbounce.records.rows.people import By
from firstbounce.services import lessons, players
from firstbounce.services.lessons import PlayerCard
from firstbounce.units import balls
from firstbounce.web.api.shapes import Id
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text
from firstbounce.words import Level, Source

router = APIRouter(include_in_schema=False)
SHOWN = 200
HANDS: tuple[Option, ...] = (("right", "Right-handed"), ("left", "Left-handed"))
UNITS: tuple[Option, ...] = (("metres", "Metres"), ("yards", "Yards"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One player of the list."""

    id: str
    name: str
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayersPage:
    """Everything players.html may use."""

    lines: tuple[Line, ...]
    more: bool  #: there are more than are shown


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPlayerPage:
    """Everything new_player.html may use."""

    levels: tuple[Option, ...]
    hands: tuple[Option, ...]
    units: tuple[Option, ...]
    clubs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """The last lesson in a few words."""

    date: str
    aim: str
    drills: tuple[str, ...]
    homework: str
    next_date: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayerPage:
    """Everything player.html may use."""

    id: str
    name: str
    about: str
    last: Summary | None
    number: str  #: of the last drill, with how many times
    homework_done: str
    verdict: str  #: the last review's sentence
    same_station: str  #: what "same station" starts, as JSON; empty when there was none
    same_drill: str  #: its name; empty when there was none
    session_id: str  #: the last one; empty when there was none
    session_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubLine:
    """One club that the player carries or could carry."""

    name: str
    carried: bool
    loft: str  #: degrees
    known: str  #: where the loft is from


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkLine:
    """A link of the player that is open."""

    id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EditPlayerPage:
    """Everything edit_player.html may use."""

    id: str
    name: str
    level: str
    hand: str
    unit: str
    junior: bool
    levels: tuple[Option, ...]
    hands: tuple[Option, ...]
    units: tuple[Option, ...]
    clubs: tuple[ClubLine, ...]
    links: tuple[LinkLine, ...]  #: that are open


@router.get("/")
def players_page(request: Request, store: Records) -> Response:
    """Who is coached here."""
    found = players.player_list(store, limit=SHOWN + 1)
    lines = tuple(
        Line(id=one.id, name=one.name, about=f"{one.level}, {balls(one.balls)}") for one in found[:SHOWN]
    )
    return page(request, "players.html", PlayersPage(lines=lines, more=len(found) > SHOWN))


@router.get("/players/new")
def new_player_page(request: Request) -> Response:
    """A new player: everything but name and level has a usual value."""
    context = NewPlayerPage(levels=options(Level), hands=HANDS, units=UNITS, clubs=tuple(USUAL_LOFT_DEG))
    return page(request, "new_player.html", context)


@router.get("/players/{player_id}")
def player_page(request: Request, player_id: Id, store: Records) -> Response:
    """A returning player: one card, and everything of a lesson in one tap."""
    return page(request, "player.html", player_context(lessons.player_card(store, player_id)))


@router.get("/players/{player_id}/edit")
def edit_player_page(request: Request, player_id: Id, store: Records) -> Response:
    """Name, level, hand, clubs."""
    row = players.player(store, player_id)
    context = EditPlayerPage(
        id=row.id,
        name=row.name,
        level=row.level,
        hand=row.hand,
        unit=row.units,
        junior=row.junior,
        levels=options(Level),
        hands=HANDS,
        units=UNITS,
        clubs=_clubs(row.clubs),
        links=tuple(
            LinkLine(id=one.id, words=f"open until {day_text(one.expires.date())}")
            for one in players.links(store, player_id)
            if one.open_at(store.clock())
        ),
    )
    return page(request, "edit_player.html", context)


def _clubs(mine: tuple[Club, ...]) -> tuple[ClubLine, ...]:
    """The player's clubs, then those that could be added with their usual lofts."""
    names = {club.name for club in mine}
    others = [usual_club(name) for name in USUAL_LOFT_DEG if name not in names]
    return tuple(
        ClubLine(
            name=club.name,
            carried=club.name in names,
            loft=f"{club.loft_deg:g}",
            known="usual" if club.source is Source.PRIOR else "read off the club",
        )
        for club in (*mine, *others)
    )


def player_context(card: PlayerCard) -> PlayerPage:
    """What the card says, in words."""
    row, session, lesson = card.player, card.last_session, card.last_lesson
    score = next(iter(card.last_scores), None)
    drills = tuple(one.drill for one in lesson.drills) if lesson else ()
    return PlayerPage(
        id=row.id,
        name=row.name,
        about=f"{row.level}, {row.hand}-handed, {balls(card.balls)} logged",
        last=None
        if lesson is None
        else Summary(
            date=day_text(lesson.date),
            aim=lesson.aim,
            drills=drills,
            homework=lesson.homework,
            next_date=day_text(lesson.next_date) if lesson.next_date else "",
        ),
        number="" if score is None else _score(score.score.drill, score.score.successes, score.score.out_of),
        homework_done=_homework(len(card.homework), card.home, asked=bool(lesson and lesson.homework)),
        verdict=card.last_review.sentence if card.last_review else "",
        same_station=_again(card),
        same_drill=next(iter(drills), "") or (score.score.drill if score else ""),
        session_id=session.id if session else "",
        session_words="" if session is None else f"{session.kind}, {day_text(session.started.date())}",
    )


def _score(drill: str, successes: int | None, out_of: int | None) -> str:
    return f"{drill}: {successes} of {out_of}" if successes is not None and out_of else drill


def _homework(done: int, home: Tallied, *, asked: bool) -> str:
    parts = [f"{done} {'score' if done == 1 else 'scores'}"] if done else []
    parts += [home_words(home)] if home.balls else []
    if not parts:
        return "nothing sent by the player yet" if asked else ""
    return f"{' and '.join(parts)}, by player"


def home_words(home: Tallied) -> str:
    """What a player tallied, in words."""
    circle = f", {home.in_circle} of {home.seen} seen to land in the circle" if home.seen else ""
    return f"{balls(home.balls)} tallied{circle}"


def _again(card: PlayerCard) -> str:
    """A session at the last station, as the outbox takes it."""
    last = card.last_session
    if last is None or last.station_id is None:
        return ""
    places = {"station_id": last.station_id, "green_id": last.green_id, "day_id": last.day_id}
    kept = {name: value for name, value in places.items() if value}
    return json.dumps({"player_id": card.player.id, "kind": "lesson", **kept})


def by_player(logged_by: By) -> str:
    """The mark of what a player logged."""
    return " (by player)" if logged_by is By.PLAYER else ""
