"""What a phone keeps so that it can work alone: players, and tables of carry and run."""

from __future__ import annotations

import threading
from functools import cache, lru_cache
from typing import Any, Literal

from fastapi import APIRouter
from pydantic import BaseModel

from firstbounce.players.clubs import usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.records.rows.people import PlayerRow
from firstbounce.services import desk, greens, players
from firstbounce.services.store import Store
from firstbounce.web.coach import pace_m
from firstbounce.web.places import outline_told, station_told
from firstbounce.web.reach import Records, now
from firstbounce.words import Level

router = APIRouter(prefix="/api", tags=["course"])
MOST_PLAYERS = 200  #: that a phone keeps
MOST_TABLES = 40  #: of players whose clubs or numbers are not the usual ones
MOST_PLACES = 60
_lock = threading.Lock()


class Course(BaseModel):
    """Players with their clubs; tables of usual players by level, of known ones by id; places of today."""

    ok: Literal[True] = True
    players: list[dict[str, Any]]
    usual: dict[str, Any]
    tables: dict[str, Any]
    places: list[dict[str, Any]]
    pace_m: float
    units: Literal["metres", "yards"]


@cache
def _usual(level: Level) -> dict[str, Any]:
    from firstbounce.services.tables import course_table

    return course_table(player_of_level(level)).to_dict()


@router.get("/course")
def course(store: Records) -> Course:
    """Everything the course page needs to work without a connection."""
    with _lock:
        usual = {str(level): _usual(level) for level in Level}
    known = [players.player(store, line.id) for line in players.player_list(store, limit=MOST_PLAYERS)]
    own = [row for row in known if not _as_usual(row)][:MOST_TABLES]
    with _lock:
        tables = {row.id: _own(row) for row in own}
    return Course(
        players=[_told(row) for row in known],
        usual=usual,
        tables=tables,
        places=_places(store),
        pace_m=pace_m(store),
        units=desk.units_of(store).value,
    )


def _places(store: Store) -> list[dict[str, Any]]:
    """Stations on the green that is open today, with its outline."""
    day = greens.current_day(store, now().date())
    if day is None:
        return []
    found = greens.stations(store, day.green_id, limit=MOST_PLACES)
    where = {"green_id": day.green_id, "day_id": day.id, "outline": outline_told(store, day.green_id)}
    return [{**where, "station": station_told(one)} for one in found if not one.archived]


def _told(row: PlayerRow) -> dict[str, Any]:
    """A player as the phone keeps one."""
    clubs = [club.name for club in row.clubs]
    return {"id": row.id, "name": row.name, "level": str(row.level), "hand": str(row.hand), "clubs": clubs}


def _as_usual(row: PlayerRow) -> bool:
    """Whether the usual table of the level says all there is to say."""
    own = (row.extra_lean_deg, row.attack_deg, row.spread_floor_m, row.spread_share, row.spread_direction_deg)
    return row.bag == usual_bag() and all(value is None for value in (*own, row.mishit_share))


@lru_cache(maxsize=4 * MOST_TABLES)
def _own(row: PlayerRow) -> dict[str, Any]:
    from firstbounce.services.tables import course_table

    return course_table(players.model_player(row)).to_dict()
