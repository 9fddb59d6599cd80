"""Players: add, change, note, links."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field

from firstbounce.players.player import Hand
from firstbounce.records.rows.people import Note
from firstbounce.services import players
from firstbounce.services.new_player import ClubGiven, NewPlayer, PlayerGiven, clubs_of, rows_of
from firstbounce.services.store import new_id
from firstbounce.units import LengthUnit
from firstbounce.web.api.shapes import Done, Id, Made, Shape, Text
from firstbounce.web.reach import Records, now
from firstbounce.words import Level

router = APIRouter(prefix="/api/players", tags=["players"])


class PlayerLine(BaseModel):
    """One line of the list."""

    id: str
    name: str
    level: Level
    junior: bool
    balls: int


class PlayersTold(BaseModel):
    """Players by name; more follow `after` the last id."""

    ok: Literal[True] = True
    players: list[PlayerLine]


class PlayerTold(BaseModel):
    """One player."""

    ok: Literal[True] = True
    id: str
    name: str
    level: Level
    hand: Hand
    units: LengthUnit
    junior: bool
    archived: bool
    clubs: list[ClubGiven]
    balls: int


class NoteGiven(Shape):
    """A remark that the coach alone sees."""

    id: Id | None = None
    text: Annotated[Text, Field(min_length=1)]


@router.get("")
def player_list(store: Records, after: Id | None = None) -> PlayersTold:
    """Players by name, fifty at a time."""
    lines = players.player_list(store, after=after or "")
    return PlayersTold(players=[PlayerLine.model_validate(line, from_attributes=True) for line in lines])


@router.post("", status_code=201)
def add_player(body: NewPlayer, store: Records) -> Made:
    """A new player; sending it twice keeps it once."""
    row, consents = rows_of(body, body.id or new_id(), now())
    players.add_player(store, row, consents)
    return Made(id=row.id)


@router.get("/{player_id}")
def player_told(player_id: Id, store: Records) -> PlayerTold:
    """One player."""
    row = players.player(store, player_id)
    return PlayerTold(
        id=row.id,
        name=row.name,
        level=row.level,
        hand=row.hand,
        units=row.units,
        junior=row.junior,
        archived=row.archived,
        clubs=[ClubGiven(name=club.name, loft_deg=club.loft_deg) for club in row.clubs],
        balls=players.ball_count(store, player_id),
    )


@router.put("/{player_id}")
def change_player(player_id: Id, body: PlayerGiven, store: Records) -> Made:
    """Name, level, hand, units and clubs as given; a club named without a loft keeps the one it has."""
    before = players.player(store, player_id)
    changed = replace(
        before,
        name=body.name,
        level=body.level,
        hand=body.hand,
        units=body.units,
        junior=body.junior,
        clubs=clubs_of(body.clubs, before.clubs),
    )
    players.change_player(store, changed)
    return Made(id=player_id)


@router.post("/{player_id}/notes", status_code=201)
def add_note(player_id: Id, body: NoteGiven, store: Records) -> Made:
    """A remark with today's date."""
    players.player(store, player_id)
    note = Note(id=body.id or new_id(), player_id=player_id, made=now(), text=body.text)
    players.add_note(store, note)
    return Made(id=note.id)


@router.post("/{player_id}/archive")
def archive(player_id: Id, store: Records) -> Done:
    """Out of the list; nothing is deleted."""
    players.archive_player(store, player_id)
    return Done()
