"""Practice: the drills, one set up for a player with its drawing, and its score."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import Response

from firstbounce.players.player import player_of_level
from firstbounce.practice.drill import Drill
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.set_up import SetUp, set_up
from firstbounce.services import desk, players, sessions
from firstbounce.services.day import USUAL_LEVEL
from firstbounce.services.practice import shipped_drills
from firstbounce.services.store import Store
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.pages.players import by_player
from firstbounce.web.reach import Records
from firstbounce.web.render import page
from firstbounce.web.words import day_text

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillLine:
    """One drill of the list."""

    number: int
    name: str
    purpose: str
    faults: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillsPage:
    """Everything drills.html may use."""

    base: str  #: where a drill's page lies
    player: str  #: empty without one
    lines: tuple[DrillLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One length of the set-up."""

    what: str
    words: str
    rests_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillPage:
    """Everything drill.html may use."""

    back: str
    player: str
    player_id: str
    name: str
    purpose: str
    text: str
    numbers: tuple[Number, ...]
    drawing: str
    score: str
    out_of: int
    passes: int
    balls: int
    minutes: float
    easier: str
    harder: str
    caution: str
    remarks: tuple[str, ...]
    scores: tuple[str, ...]


@router.get("/drills")
def drills_page(request: Request) -> Response:
    """Every drill."""
    return page(request, "drills.html", DrillsPage(base="/drills", player="", lines=_lines()))


@router.get("/drills/{number}")
def drill_page(request: Request, number: int, store: Records) -> Response:
    """A drill as it is set up for a usual player."""
    made = set_up(_drill(number), player_of_level(USUAL_LEVEL), yardsticks=_yardsticks(store))
    return page(request, "drill.html", _context(made, "/drills"))


@router.get("/players/{player_id}/drills")
def player_drills_page(request: Request, player_id: Id, store: Records) -> Response:
    """Every drill, to be set up for this player."""
    name = players.player(store, player_id).name
    base = f"/players/{player_id}/drills"
    context = DrillsPage(base=base, player=name, lines=_lines())
    return page(request, "drills.html", context)


@router.get("/players/{player_id}/drills/{number}")
def player_drill_page(request: Request, player_id: Id, number: int, store: Records) -> Response:
    """A drill set up for this player, and how it went before."""
    row = players.player(store, player_id)
    drill = _drill(number)
    made = set_up(drill, players.model_player(row), yardsticks=_yardsticks(store))
    before = sessions.scores(store, player_id, drill=drill.name, limit=6)
    told = tuple(
        f"{day_text(one.score.made.date())}: {one.score.successes} of {one.score.out_of}"
        f"{', passed' if one.score.passed else ''}{by_player(one.logged_by)}"
        for one in before
    )
    return page(
        request, "drill.html", _context(made, f"/players/{player_id}/drills", row.name, player_id, told)
    )


def _context(
    made: SetUp, back: str, player: str = "", player_id: str = "", scores: tuple[str, ...] = ()
) -> DrillPage:
    drill = made.drill
    return DrillPage(
        back=back,
        player=player,
        player_id=player_id,
        name=drill.name,
        purpose=drill.purpose,
        text=made.text,
        numbers=tuple(Number(what=n.what, words=n.words, rests_on=n.rests_on) for n in made.numbers),
        drawing=made.drawing,
        score=made.score,
        out_of=drill.out_of,
        passes=drill.passes,
        balls=drill.balls,
        minutes=drill.minutes,
        easier=made.easier,
        harder=made.harder,
        caution=made.caution,
        remarks=made.remarks,
        scores=scores,
    )


@cache
def _drills() -> tuple[Drill, ...]:
    return shipped_drills()


def _lines() -> tuple[DrillLine, ...]:
    return tuple(
        DrillLine(
            number=one.number, name=one.name, purpose=one.purpose, faults=", ".join(map(str, one.faults))
        )
        for one in _drills()
    )


def _drill(number: int) -> Drill:
    found = next((drill for drill in _drills() if drill.number == number), None)
    if found is None:
        raise HTTPException(404, "There is no drill with this number.")
    return found


def _yardsticks(store: Store) -> Yardsticks:
    return Yardsticks(unit=desk.units_of(store), pace_m=pace_m(store))


def drill_names() -> tuple[str, ...]:
    """Names of every drill, in order."""
    return tuple(drill.name for drill in _drills())
