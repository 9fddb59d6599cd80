"""The log: rendered with its session, or as a shell that the phone fills from what it kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotThere
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.sessions import SessionRow
from firstbounce.services import desk, greens, players, sessions
from firstbounce.services.store import Store
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.places import outline_told, station_told
from firstbounce.web.reach import Records
from firstbounce.web.render import page

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogPage:
    """Everything log.html may use; `data` is None in the shell."""

    data: dict[str, Any] | None


@router.get("/course/log")
def log_shell(request: Request) -> Response:
    """The log without a session: what the phone opens when there is no connection."""
    return page(request, "log.html", LogPage(data=None))


@router.get("/sessions/{session_id}/log")
def log_page(request: Request, session_id: Id, store: Records) -> Response:
    """The log of a session; one that still waits on the phone is filled in by the phone."""
    try:
        session = sessions.session(store, session_id)
    except NotThere:
        return page(request, "log.html", LogPage(data=None))
    if session.station_id is None:
        return page(request, "log.html", LogPage(data=None))
    return page(request, "log.html", LogPage(data=log_data(store, session, session.station_id)))


def log_data(store: Store, session: SessionRow, station_id: str) -> dict[str, Any]:
    """What the log needs of a session, its player and its station."""
    player = players.player(store, session.player_id)
    station = greens.station(store, station_id)
    there = [one.ball for one in sessions.session_balls(store, session.id)]
    balls = [plain(ball) for ball in there if ball.station_id in (None, station_id)]
    return {
        "session_id": session.id,
        "player": {"id": player.id, "name": player.name},
        "clubs": [club.name for club in player.clubs],
        "station": station_told(station),
        "outline": outline_told(store, station.green_id),
        "units": str(desk.units_of(store)),
        "pace_m": pace_m(store),
        "plan_id": desk.plan_of_station(store, player.id, station_id),
        "balls": [{name: value for name, value in ball.items() if value is not None} for ball in balls],
        **({"clinic": group(store, session.clinic_id)} if session.clinic_id else {}),
    }


def group(store: Store, clinic_id: str) -> dict[str, Any]:
    """Who else hits in this clinic, for the one tap from log to log."""
    _, members = sessions.clinic(store, clinic_id)
    names = [{"session_id": one.id, "name": players.player(store, one.player_id).name} for one in members]
    return {"id": clinic_id, "members": names}
