"""Review: wrong plan or wrong strike, in one sentence, with its reasons; the coach may overrule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.records.rows.kept import ReviewRow
from firstbounce.review.verdict import Call
from firstbounce.services import kept, players, sessions
from firstbounce.units import Lengths, LengthUnit, balls
from firstbounce.web.api.shapes import Id
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text

router = APIRouter(include_in_schema=False)
PARTS = {
    "plan": "wrong spot",
    "reading": "we read the green wrong",
    "landing": "missed the spot",
    "run": "ran more or less than we expected",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of where the balls finished."""

    words: str
    along: str
    across: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A review in words."""

    id: str
    sentence: str
    reason: str
    to_try: str
    certainty: str
    counted: str
    parts: tuple[Part, ...]
    perhaps_mishit: int
    overruled: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewPage:
    """Everything review.html may use."""

    session_id: str
    player_id: str
    player: str
    when: str
    logged: str
    fresh: bool  #: the review counts every ball there is now
    nothing: bool  #: no ball was logged yet
    told: Told | None
    calls: tuple[Option, ...]


@router.get("/sessions/{session_id}/review")
def review_page(request: Request, session_id: Id, store: Records) -> Response:
    """The last review of a session; the page asks for a new one when there are more balls."""
    session = sessions.session(store, session_id)
    player = players.player(store, session.player_id)
    there = sessions.session_balls(store, session_id)
    made = next(iter(kept.reviews(store, session.player_id, session_id=session_id, limit=1)), None)
    fresh = made is not None and bool(there) and made.made >= max(one.received for one in there)
    context = ReviewPage(
        session_id=session_id,
        player_id=session.player_id,
        player=player.name,
        when=day_text(session.started.date()),
        logged=balls(len(there)),
        fresh=fresh,
        nothing=not there,
        told=None if made is None else told(made, player.units),
        calls=options(Call),
    )
    return page(request, "review.html", context)


def told(row: ReviewRow, unit: LengthUnit) -> Told:
    """A kept review in words."""
    result, lengths = row.result, Lengths(unit)
    verdict = result["verdict"]
    parts = [one for one in result["parts"] if one["part"] in PARTS]
    return Told(
        id=row.id,
        sentence=verdict["sentence"],
        reason=verdict["reason"],
        to_try=verdict["to_try"],
        certainty=f"{str(verdict['certainty']).capitalize()}, from {balls(verdict['balls'])}",
        counted=_counted(result),
        parts=tuple(_part(one, lengths) for one in parts),
        perhaps_mishit=len(result["probably_mishit"]),
        overruled=row.overruled_to or "",
    )


def _counted(result: Mapping[str, Any]) -> str:
    n = result["balls"]
    return f"{result['in_circle']} of {n} landed in the circle" if n else ""


def _part(one: Mapping[str, Any], lengths: Lengths) -> Part:
    along, across = one["mean_along"], one["mean_across"]
    return Part(
        words=PARTS[one["part"]],
        along=f"{lengths.small(abs(along))} {'long' if along >= 0 else 'short'}",
        across=f"{lengths.small(abs(across))} {'right' if across >= 0 else 'left'}",
    )
