"""Work out what a player's last weeks say: fits of several days take a moment, so it is a job."""

from __future__ import annotations

import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query

from firstbounce.services import over_weeks
from firstbounce.services.over_weeks import OverWeeks
from firstbounce.services.remembered import Remembered
from firstbounce.web.api.shapes import Id
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job
from firstbounce.web.reach import Queue, Records, now

router = APIRouter(prefix="/api/players", tags=["weeks"])
made: Remembered[OverWeeks] = Remembered(50)
Weeks = Annotated[int, Query(ge=1, le=104)]
USUAL_WEEKS = 8


def since(weeks: int) -> datetime.date:
    """The first date of the last `weeks` weeks."""
    return now().date() - datetime.timedelta(weeks=weeks)


@router.post("/{player_id}/weeks", status_code=202)
def work_out(player_id: Id, store: Records, jobs: Queue, weeks: Weeks = USUAL_WEEKS) -> Queued:
    """Review and progress of the last weeks. The job answers with the shapes of `review` and `progress`."""
    wanted = over_weeks.asked(store, player_id, since(weeks))

    def work(job: Job) -> dict[str, Any]:
        told = made.get(wanted.key, lambda: over_weeks.worked_out(store, wanted, job.progress))
        return {"review": told.review.to_dict(), "progress": told.progress.to_dict()}

    return Queued(job=jobs.add("weeks", work).id)
