"""Players: add, change, note, links."""

from __future__ import annotations

import datetime
import hashlib
from dataclasses import replace
from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field

from firstbounce.players.clubs import Club, usual_bag, usual_club
from firstbounce.players.player import Hand
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, Note, PlayerRow
from firstbounce.services import players
from firstbounce.services.store import new_id
from firstbounce.units import LengthUnit
from firstbounce.web.api.shapes import Done, Id, Made, Name, Shape, Text
from firstbounce.web.reach import Records, now
from firstbounce.words import Level

router = APIRouter(prefix="/api/players", tags=["players"])
Clubs = Annotated[list[Name], Field(min_length=1, max_length=30)]


class ClubGiven(Shape):
    """A club with the loft that was read off it; without a loft the usual one."""

    name: Name
    loft_deg: Annotated[float, Field(ge=0, le=72)] | None = None

    def spoken(self) -> Club:
        """The club as the models know one."""
        if self.loft_deg is None:
            return usual_club(self.name)
        return Club(name=self.name, loft_deg=self.loft_deg, is_putter=self.name == "putter")


class PlayerGiven(Shape):
    """A player. Everything but name and level has a usual value and can wait."""

    name: Name
    level: Level = Level.TEN_TO_EIGHTEEN
    hand: Hand = Hand.RIGHT
    units: LengthUnit = LengthUnit.METRES
    junior: bool = False
    clubs: Clubs | None = None  #: names of usual clubs; None for the usual bag


class NewPlayer(PlayerGiven):
    """A new player; a junior with the guardian's consent."""

    id: Id | None = None
    guardian: Name | None = None
    delete_by: datetime.date | None = None


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
    row, consents = new_player(body, body.id or new_id(), now())
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
    """Name, level, hand, units and clubs as given; lofts that were measured stay with their clubs."""
    before = players.player(store, player_id)
    known = {club.name: club for club in before.clubs}
    clubs = before.clubs if body.clubs is None else tuple(known.get(n) or usual_club(n) for n in body.clubs)
    changed = replace(
        before,
        name=body.name,
        level=body.level,
        hand=body.hand,
        units=body.units,
        junior=body.junior,
        clubs=clubs,
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


def new_player(
    body: NewPlayer, player_id: str, made: datetime.datetime
) -> tuple[PlayerRow, tuple[Consent, ...]]:
    """The rows of a new player."""
    clubs = usual_bag().clubs if body.clubs is None else tuple(usual_club(name) for name in body.clubs)
    row = PlayerRow(
        id=player_id,
        name=body.name,
        level=body.level,
        made=made,
        hand=body.hand,
        units=body.units,
        junior=body.junior,
        clubs=clubs,
    )
    if body.guardian is None:
        return row, ()
    consent = Consent(
        id=consent_id(player_id),
        player_id=player_id,
        kind=ConsentKind.RECORD,
        given_by=Giver.GUARDIAN,
        guardian=body.guardian,
        given=made,
        delete_by=body.delete_by,
    )
    return row, (consent,)


def consent_id(player_id: str) -> str:
    """The id of the consent that came with a new player: the same when it is sent again."""
    return hashlib.sha256(f"consent {player_id}".encode()).hexdigest()[:32]
