"""Plans on a green that was read: ask, choose, what if."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, HTTPException

from firstbounce.errors import NotThere
from firstbounce.ground.conditions import SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.records.rows.places import StationRow
from firstbounce.records.rows.sessions import SessionKind, SessionRow
from firstbounce.services import desk, greens, kept, players, sessions
from firstbounce.services.kept_plans import choice_with
from firstbounce.services.store import Store, new_id
from firstbounce.web.api.shapes import Id, LieGiven, Metres, Name, Shape, point
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job, Jobs
from firstbounce.web.reach import Queue, Records, now

router = APIRouter(prefix="/api/plans", tags=["plans"])


class StationGiven(Shape):
    """Where the ball and the hole are, in the green's frame."""

    name: Name = "Station"
    start_m: tuple[Metres, Metres]
    hole_m: tuple[Metres, Metres]
    lie: LieGiven = LieGiven()


class PlanAsked(Shape):
    """A plan for a player on a day: a station that is there already, or a new one."""

    player_id: Id
    day_id: Id
    station_id: Id | None = None
    station: StationGiven | None = None


class WhatIfGiven(Shape):
    """The same station with another speed or firmness; the plan says so and learns from no ball."""

    speed: SpeedWord | None = None
    firmness: FirmnessWord | None = None


class ChoiceGiven(Shape):
    """Which club of the plan."""

    club: Name


class Chosen(Shape):
    """The station and the session that the choice made."""

    ok: bool = True
    station: str
    session: str


@router.post("", status_code=202)
def ask(body: PlanAsked, store: Records, jobs: Queue) -> Queued:
    """Rank clubs and landing spots. The answer of the job names the plan."""
    day = greens.day_row(store, body.day_id)
    players.player(store, body.player_id)
    station = _station(store, body, day.green_id)
    return _queue(store, jobs, body.player_id, day.id, station, None)


@router.post("/{plan_id}/what-if", status_code=202)
def what_if(plan_id: Id, body: WhatIfGiven, store: Records, jobs: Queue) -> Queued:
    """The same plan as if the green were faster or slower, softer or firmer."""
    row = kept.plan_row(store, plan_id)
    if row.station_id is None or row.day_id is None:
        raise HTTPException(409, "This plan was made without a green; plan on a green first.")
    asked = desk.WhatIf(speed=body.speed, firmness=body.firmness)
    station = greens.station(store, row.station_id)
    return _queue(store, jobs, row.player_id, row.day_id, station, asked)


@router.post("/{plan_id}/choose", status_code=201)
def choose(plan_id: Id, body: ChoiceGiven, store: Records) -> Chosen:
    """The choice becomes the station, and a session begins there."""
    row = kept.plan_row(store, plan_id)
    choice = choice_with(row.result, body.club)
    if row.station_id is None:
        raise NotThere(f"This plan has no choice with the club {body.club!r}.")
    base = greens.station(store, row.station_id)
    station = desk.chosen_station(plan_id, base, body.club, choice)
    greens.add_station(store, station)
    kept.choose(store, plan_id, body.club, choice.spot)
    session = SessionRow(
        id=new_id(),
        player_id=row.player_id,
        kind=SessionKind.LESSON,
        started=now(),
        green_id=base.green_id,
        day_id=row.day_id,
        station_id=station.id,
    )
    sessions.start_session(store, session)
    return Chosen(station=station.id, session=session.id)


def _station(store: Store, body: PlanAsked, green_id: str) -> StationRow:
    if body.station_id is not None:
        return greens.station(store, body.station_id)
    if body.station is None:
        raise HTTPException(422, "Name a station, or say where ball and hole are.")
    station = StationRow(
        id=new_id(),
        name=body.station.name,
        made=now(),
        green_id=green_id,
        start_m=point(body.station.start_m),
        hole_m=point(body.station.hole_m),
        lie=body.station.lie.spoken(),
    )
    greens.add_station(store, station)
    return station


def _queue(
    store: Store, jobs: Jobs, player_id: str, day_id: str, station: StationRow, asked: desk.WhatIf | None
) -> Queued:
    def work(job: Job) -> dict[str, Any]:
        row = desk.plan_for(
            store,
            player_id,
            day_id,
            station,
            what_if=asked,
            progress=job.progress,
            cancelled=job.cancelled,
        )
        return {"plan": row.id}

    return Queued(job=jobs.add("plan", work).id)
