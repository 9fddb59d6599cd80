"""Long work: the queue, and the plan with nothing measured."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, HTTPException
from pydantic import BaseModel, Field

from firstbounce.ground.slopes import SlopeWord
from firstbounce.web.api.shapes import LieGiven, Shape
from firstbounce.web.jobs import Job
from firstbounce.web.reach import Queue
from firstbounce.words import Level

router = APIRouter(prefix="/api", tags=["long work"])


class Paced(Shape):
    """All that a player can say within a minute."""

    level: Level
    lie: LieGiven = LieGiven()
    slope: SlopeWord | None = SlopeWord.LEVEL
    to_edge_paces: Annotated[float, Field(ge=0, le=60)]
    edge_to_hole_paces: Annotated[float, Field(ge=0.5, le=60)]
    pace_m: Annotated[float, Field(ge=0.4, le=1.5)] = 0.9


class Queued(BaseModel):
    """Where to ask how far it is: /api/jobs/{job}."""

    ok: Literal[True] = True
    job: str


class JobTold(BaseModel):
    """How far a piece of work is, and what came of it."""

    ok: Literal[True] = True
    id: str
    what: str
    state: Literal["waiting", "working", "done", "failed", "stopped"]
    share: float
    answer: dict[str, Any]
    error: str


@router.post("/plans/paced", status_code=202)
def plan_paced(body: Paced, jobs: Queue) -> Queued:
    """The choice that holds up over all likely greens, from a level, a lie and two paced distances."""

    def work(job: Job) -> dict[str, Any]:
        from firstbounce.services.plan import plan_paced

        made = plan_paced(
            level=body.level,
            lie=body.lie.spoken(),
            to_edge_paces=body.to_edge_paces,
            edge_to_hole_paces=body.edge_to_hole_paces,
            slope=body.slope,
            pace_m=body.pace_m,
            progress=job.progress,
        )
        return made.to_dict()

    return Queued(job=jobs.add("plan", work).id)


@router.get("/jobs/{job_id}")
def job_told(job_id: str, jobs: Queue) -> JobTold:
    """How far a piece of work is."""
    return JobTold.model_validate(_found(jobs, job_id).told())


@router.delete("/jobs/{job_id}")
def stop_job(job_id: str, jobs: Queue) -> JobTold:
    """Stop a piece of work; what it had done so far is dropped."""
    job = _found(jobs, job_id)
    job.stop.set()
    return JobTold.model_validate(job.told())


def _found(jobs: Queue, job_id: str) -> Job:
    job = jobs.find(job_id)
    if job is None:
        raise HTTPException(404, "There is no such piece of work; the laptop may have been started again.")
    return job
