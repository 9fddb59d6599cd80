"""The log: rendered with its session, or as a shell that the phone fills from what it kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotThere
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.places import StationRow
from firstbounce.records.rows.sessions import SessionRow
from firstbounce.services import desk, greens, players, sessions
from firstbounce.services.store import Store
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.reach import Records
from firstbounce.web.render import page

router = APIRouter(include_in_schema=False)
PLACE = ("id", "name", "start_m", "hole_m", "lie", "landing_spot_m", "circle_radius_m", "club")


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
        "station": {
            name: value for name, value in plain(station).items() if name in PLACE and value is not None
        },
        "outline": _outline(store, station),
        "units": str(desk.units_of(store)),
        "pace_m": pace_m(store),
        "plan_id": desk.plan_of_station(store, player.id, station_id),
        "balls": [{name: value for name, value in ball.items() if value is not None} for ball in balls],
    }


def _outline(store: Store, station: StationRow) -> list[list[float]] | None:
    if station.green_id is None:
        return None
    try:
        return [list(corner) for corner in greens.shape(store, station.green_id).outline]
    except NotThere:
        return None
