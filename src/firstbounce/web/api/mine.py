"""What a player may add through a link: scores and tallies of their own, marked "by player"."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, HTTPException
from pydantic import BaseModel, Field

from firstbounce.records.rows.people import LinkRow
from firstbounce.records.rows.sessions import DrillScoreRow
from firstbounce.services import home, lessons, players, sessions
from firstbounce.services.home import OwnTally
from firstbounce.services.outbox import RefusedRow
from firstbounce.services.store import Store, new_id
from firstbounce.web.api.shapes import Done, Id, Made, Name, Shape
from firstbounce.web.links import open_link, token_of
from firstbounce.web.reach import Records, SettingsOf, VisitorOf, now
from firstbounce.web.visitors import Visitor

router = APIRouter(prefix="/api", tags=["player links"])
MOST_AT_ONCE = 100


class OwnScore(Shape):
    """A score of a drill done at home."""

    id: Id | None = None
    drill: Name
    successes: Annotated[int, Field(ge=0, le=1000)]
    out_of: Annotated[int, Field(ge=1, le=1000)]


class OwnTallies(Shape):
    """Tallies in the order in which they were made."""

    tallies: Annotated[list[OwnTally], Field(min_length=1, max_length=MOST_AT_ONCE)]


class OwnSettled(BaseModel):
    """What the player's device may forget, what was not taken, and the count since the last lesson."""

    ok: Literal[True] = True
    stored: list[str]
    refused: list[RefusedRow]
    balls: int
    seen: int
    in_circle: int


class NewLink(Shape):
    """How long a link lasts, and whether the player may add to the record."""

    days: Annotated[int, Field(ge=1, le=400)] = 30
    may_add: bool = True


class LinkMade(Made):
    """The link's address, shown once: only its signature opens it."""

    path: str


@router.post("/mine/scores", status_code=201)
def add_own_score(body: OwnScore, store: Records, visitor: VisitorOf) -> Made:
    """A score of the player's own; kept once, marked as the player's."""
    link = _adding(store, visitor)
    score = DrillScoreRow(
        id=body.id or new_id(),
        player_id=link.player_id,
        drill=body.drill,
        made=now(),
        device=link.id,
        successes=body.successes,
        out_of=body.out_of,
    )
    kept = sessions.log_scores(store, [score], only_player=link.player_id)
    if kept.refused:
        raise HTTPException(422, f"{kept.refused[0].why}.")
    return Made(id=score.id)


@router.post("/mine/tallies", status_code=201)
def add_own_tallies(body: OwnTallies, store: Records, visitor: VisitorOf) -> OwnSettled:
    """Balls tallied at home, or taken back; each kept once, marked as the player's."""
    link = _adding(store, visitor)
    kept = home.add_tallies(store, link, body.tallies, now())
    counted = lessons.player_card(store, link.player_id, balls=1, scores=1).home
    return OwnSettled(
        stored=list(kept.kept),
        refused=[RefusedRow(id=one.id, error=f"{one.why}.", again=one.again) for one in kept.refused],
        balls=counted.balls,
        seen=counted.seen,
        in_circle=counted.in_circle,
    )


def _adding(store: Store, visitor: Visitor) -> LinkRow:
    """The link of a visitor that may add homework now. HTTPException says why not."""
    if visitor.role != "player" or visitor.link is None:
        raise HTTPException(403, "Only a player's link adds homework here.")
    link = open_link(store, visitor.link)
    if not link.may_add:
        raise HTTPException(403, "This link shows the record and adds nothing.")
    return link


@router.post("/players/{player_id}/links", status_code=201)
def make_link(player_id: Id, body: NewLink, store: Records, settings: SettingsOf) -> LinkMade:
    """A link for one player."""
    link = players.make_link(store, player_id, days=body.days, may_add=body.may_add)
    return LinkMade(id=link.id, path=f"/link/{token_of(settings, link)}")


@router.delete("/links/{link_id}")
def revoke_link(link_id: Id, store: Records) -> Done:
    """The link opens nothing from now on, for whoever came by it, too."""
    players.revoke_link(store, link_id)
    return Done()
