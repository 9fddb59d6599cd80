"""Plan: where ball and hole are; then the ranking, its picture, the choice, and what if."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotThere
from firstbounce.ground.conditions import SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.planning.sentences import club_text
from firstbounce.records.rows.kept import PlanRow
from firstbounce.services import greens, kept, players
from firstbounce.services.kept_plans import kept_picture, kept_side
from firstbounce.services.store import Store
from firstbounce.units import Lengths, balls, out_of_ten
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.pages.today import current_day
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text, paces
from firstbounce.words import LieKind

router = APIRouter(include_in_schema=False)
SURE = {"sure": "This is sure", "likely": "This is likely", "hunch": "This is a hunch"}


@dataclass(frozen=True, slots=True, kw_only=True)
class StationLine:
    """A station that can be planned again."""

    id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AskPage:
    """Everything ask.html may use."""

    player_id: str
    name: str
    day_id: str  #: empty when no green is open today
    green_name: str
    green: dict[str, Any] | None  #: outline and pace for the map
    lies: tuple[Option, ...]
    stations: tuple[StationLine, ...]
    recent: tuple[StationLine, ...]  #: plans made before


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One club of the ranking."""

    club: str  #: as the records name it
    words: str
    carry: str
    run: str
    strokes: str
    up_and_down: str
    mark: str
    shown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """Everything plan.html may use."""

    id: str
    player_id: str
    player: str
    station: str
    made: str
    reason: str
    warning: str
    certainty: str
    rests_on: str
    rows: tuple[Row, ...]
    club: str  #: the one that is shown
    club_words: str
    land: str
    circle: str
    leaves: str
    advice: str
    left_out: tuple[str, ...]
    picture: str
    side: str  #: the usual ball from the side
    chosen: str
    speeds: tuple[Option, ...]
    firmnesses: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowPage:
    """Everything show.html may use: one picture, one sentence, at most three numbers."""

    back: str
    sentence: str
    numbers: tuple[tuple[str, str], ...]
    picture: str


@router.get("/players/{player_id}/plan")
def ask_page(request: Request, player_id: Id, store: Records) -> Response:
    """Where the ball and the hole are."""
    player, day = players.player(store, player_id), current_day(store)
    made = kept.plans(store, player_id, limit=5)
    there = greens.stations(store, day.green_id, limit=30) if day else ()
    context = AskPage(
        player_id=player_id,
        name=player.name,
        day_id=day.id if day else "",
        green_name=greens.green(store, day.green_id).name if day else "",
        green=_green(store, day.green_id) if day else None,
        lies=options(LieKind),
        stations=tuple(
            StationLine(id=one.id, words=f"{one.name}, {one.lie.kind}")
            for one in there
            if one.landing_spot_m is None and not one.archived
        ),
        recent=tuple(
            StationLine(id=one.id, words=f"{one.result['station']['name']}, {day_text(one.made.date())}")
            for one in made
            if "station" in one.result
        ),
    )
    return page(request, "ask.html", context)


@router.get("/plans/{plan_id}")
def plan_page(request: Request, plan_id: Id, store: Records, club: str = "") -> Response:
    """The ranking, and the picture of one choice."""
    row = kept.plan_row(store, plan_id)
    return page(request, "plan.html", plan_context(store, row, club or row.chosen_club or ""))


@router.get("/plans/{plan_id}/show")
def show_page(request: Request, plan_id: Id, store: Records, club: str = "") -> Response:
    """One full screen for the player."""
    row = kept.plan_row(store, plan_id)
    told = _shown(row.result, club or row.chosen_club or "")
    player = players.player(store, row.player_id)
    pace = pace_m(store)
    far, circle = told["carry"]["value_m"], told["circle"]
    numbers = [] if told["is_putt"] else [(paces(far, pace), "land it from the ball")]
    if circle is not None:
        numbers.append((Lengths(player.units).small(circle["radius_m"]), "circle around the spot"))
    numbers.append((out_of_ten(told["up_and_down_chance"]), "down in two"))
    context = ShowPage(
        back=f"/plans/{plan_id}",
        sentence=f"{_capital(club_text(told['club']))}. {told['advice'] or row.result['reason']}",
        numbers=tuple(numbers[:3]),
        picture=kept_picture(store, plan_id, told["club"], player.units),
    )
    return page(request, "show.html", context)


def plan_context(store: Store, row: PlanRow, club: str) -> PlanPage:
    """What the page of a plan says."""
    result = row.result
    told = _shown(result, club)
    player = players.player(store, row.player_id)
    lengths, pace = Lengths(player.units), pace_m(store)
    learned = result["learned_from_balls"]
    circle = told["circle"]
    return PlanPage(
        id=row.id,
        player_id=row.player_id,
        player=player.name,
        station=result["station"]["name"],
        made=day_text(row.made.date()),
        reason=result["reason"],
        warning=result["warning"],
        certainty=SURE[result["certainty"]],
        rests_on=f"learned from {balls(learned)}" if learned else "typical for the level, no balls yet",
        rows=tuple(_row(one, k, lengths, told["club"]) for k, one in enumerate(result["choices"])),
        club=told["club"],
        club_words=_capital(club_text(told["club"])),
        land=""
        if told["is_putt"]
        else f"{paces(told['carry']['value_m'], pace)} out ({lengths.long(told['carry']['value_m'])})",
        circle="" if circle is None else lengths.small(circle["radius_m"]),
        leaves=lengths.small(told["leave_m"]),
        advice=told["advice"],
        left_out=tuple(result["left_out"]),
        picture=kept_picture(store, row.id, told["club"], player.units),
        side=kept_side(store, row.id, told["club"], player.units),
        chosen=row.chosen_club or "",
        speeds=options(SpeedWord),
        firmnesses=options(FirmnessWord),
    )


def _shown(result: Mapping[str, Any], club: str) -> Mapping[str, Any]:
    choices: list[dict[str, Any]] = result.get("choices", [])
    if not choices:
        raise NotThere("This plan has no choices.")
    return next((one for one in choices if one["club"] == club), choices[0])


def _row(one: Mapping[str, Any], place: int, lengths: Lengths, shown: str) -> Row:
    run = one["run"]
    strokes = one["strokes"]
    give = (strokes["high"] - strokes["low"]) / 2
    mark = "best" if place == 0 else "equal" if one["equal_to_first"] else f"+{one['behind_strokes']:.2f}"
    return Row(
        club=one["club"],
        words=club_text(one["club"]),
        carry="putt" if one["is_putt"] else lengths.long(one["carry"]["value_m"]),
        run=lengths.span(run["low_m"], run["high_m"]),
        strokes=f"{strokes['value']:.2f} ± {give:.2f}",
        up_and_down=out_of_ten(one["up_and_down_chance"]),
        mark=mark,
        shown=one["club"] == shown,
    )


def _green(store: Store, green_id: str) -> dict[str, Any] | None:
    try:
        shape = greens.shape(store, green_id)
    except NotThere:
        return None
    return {"outline": [list(corner) for corner in shape.outline]}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
