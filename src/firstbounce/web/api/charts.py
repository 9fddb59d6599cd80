"""Draw a player's chart: learning from the balls of the day takes a moment, so it is a job."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from firstbounce.services import player_chart
from firstbounce.services.remembered import Remembered
from firstbounce.web.api.shapes import Id
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job
from firstbounce.web.reach import Queue, Records, now

router = APIRouter(prefix="/api/players", tags=["charts"])
pictures: Remembered[str] = Remembered(200)  #: SVG by all that a chart rests on, some 30 kB each


@router.post("/{player_id}/chart", status_code=202)
def draw(player_id: Id, store: Records, jobs: Queue) -> Queued:
    """Carry and run of each club on today's green. The answer of the job says how many balls it could use."""
    wanted = player_chart.asked(store, player_id, now().date())

    def work(job: Job) -> dict[str, Any]:
        pictures.get(wanted.key, lambda: player_chart.drawn(store, wanted))
        return {"balls": wanted.balls}

    return Queued(job=jobs.add("chart", work).id)
