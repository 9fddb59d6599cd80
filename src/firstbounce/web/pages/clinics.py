"""Clinics: a group on one green. Names on one screen, in or out in one tap, one tap from log to log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotThere
from firstbounce.ground.slopes import SlopeWord
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.sessions import SessionRow
from firstbounce.services import desk, greens, kept, players, sessions
from firstbounce.services.store import Store
from firstbounce.units import balls
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.pages.drills import drill_names
from firstbounce.web.places import outline_told, station_told
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text
from firstbounce.words import LieKind

router = APIRouter(include_in_schema=False)
USUAL_DRILL = "Landing circle"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClinicLine:
    """One clinic of the list."""

    id: str
    name: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClinicsPage:
    """Everything clinics.html may use."""

    lines: tuple[ClinicLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewClinicPage:
    """Everything new_clinic.html may use: nobody's record, so that it can be kept on the phone."""

    lies: tuple[Option, ...]
    slopes: tuple[Option, ...]
    drills: tuple[str, ...]
    usual_drill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClinicPage:
    """Everything clinic.html may use; `data` is None in the shell."""

    data: dict[str, Any] | None


@router.get("/clinics")
def clinics_page(request: Request, store: Records) -> Response:
    """Clinics held before, and a new one."""
    lines = tuple(
        ClinicLine(id=one.id, name=one.name, when=day_text(one.started.date()))
        for one in sessions.clinics(store, limit=30)
    )
    return page(request, "clinics.html", ClinicsPage(lines=lines))


@router.get("/clinics/new")
def new_clinic_page(request: Request) -> Response:
    """Who takes part, and where. Works without a connection."""
    context = NewClinicPage(
        lies=options(LieKind), slopes=options(SlopeWord), drills=drill_names(), usual_drill=USUAL_DRILL
    )
    return page(request, "new_clinic.html", context)


@router.get("/clinics/any")
def clinic_shell(request: Request) -> Response:
    """A clinic that the phone fills from what it kept."""
    return page(request, "clinic.html", ClinicPage(data=None))


@router.get("/clinics/{clinic_id}")
def clinic_page(request: Request, clinic_id: Id, store: Records) -> Response:
    """The group on one screen; one that still waits on the phone is filled in by the phone."""
    try:
        data = clinic_data(store, clinic_id)
    except NotThere:
        data = None
    return page(request, "clinic.html", ClinicPage(data=data))


def clinic_data(store: Store, clinic_id: str) -> dict[str, Any]:
    """What the screen needs of a clinic. NotThere when there is no such clinic, or nobody in it yet."""
    clinic, members = sessions.clinic(store, clinic_id)
    station_id = next((one.station_id for one in members if one.station_id), None)
    if station_id is None:
        raise NotThere("Nobody is in this clinic yet.")
    station = greens.station(store, station_id)
    return {
        "id": clinic.id,
        "name": clinic.name,
        "rotation_min": clinic.rotation_min,
        "drill": clinic.setup.get("drill", USUAL_DRILL),
        "place": {
            "green_id": station.green_id,
            "day_id": clinic.day_id or next((one.day_id for one in members if one.day_id), None),
            "station": station_told(station),
            "outline": outline_told(store, station.green_id),
        },
        "units": str(desk.units_of(store)),
        "pace_m": pace_m(store),
        "members": [_member(store, one) for one in members],
    }


def _member(store: Store, session: SessionRow) -> dict[str, Any]:
    player = players.player(store, session.player_id)
    logged = [plain(one.ball) for one in sessions.session_balls(store, session.id)]
    review = next(iter(kept.reviews(store, player.id, session_id=session.id, limit=1)), None)
    sheets = sessions.scores(store, player.id, session_id=session.id)
    return {
        "session_id": session.id,
        "player": {"id": player.id, "name": player.name},
        "clubs": [club.name for club in player.clubs],
        "balls": [{name: value for name, value in ball.items() if value is not None} for ball in logged],
        "sheets": [
            {"root": one.root_id, "successes": one.score.successes, "out_of": one.score.out_of}
            for one in sheets
            if one.score.out_of is not None
        ],
        "verdict": "" if review is None else f"{review.sentence} ({_sure(review.result)})",
    }


def _sure(result: dict[str, Any]) -> str:
    verdict = result["verdict"]
    return f"{verdict['certainty']}, from {balls(verdict['balls'])}"
