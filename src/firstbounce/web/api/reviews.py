"""Reviews of a session, the coach's own verdict, and the session's balls."""

from __future__ import annotations

from typing import Any, Literal

from fastapi import APIRouter
from pydantic import BaseModel

from firstbounce.records.rows.base import plain
from firstbounce.review.verdict import Call
from firstbounce.services import desk, kept, sessions
from firstbounce.web.api.shapes import Done, Id, Shape, Text
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job
from firstbounce.web.reach import Queue, Records

router = APIRouter(prefix="/api", tags=["reviews"])


class Overruled(Shape):
    """What the coach says instead; both are kept."""

    to: Call
    why: Text = ""


class BallsTold(BaseModel):
    """The balls of a session that stand, in the order logged."""

    ok: Literal[True] = True
    balls: list[dict[str, Any]]


class ReviewsTold(BaseModel):
    """Reviews of a session, newest first."""

    ok: Literal[True] = True
    reviews: list[dict[str, Any]]


@router.post("/sessions/{session_id}/review", status_code=202)
def review(session_id: Id, store: Records, jobs: Queue) -> Queued:
    """Wrong plan or wrong strike? The answer of the job names the review."""
    sessions.session(store, session_id)

    def work(job: Job) -> dict[str, Any]:
        row, _ = desk.review_session(store, session_id)
        return {"review": row.id}

    return Queued(job=jobs.add("review", work).id)


@router.put("/reviews/{review_id}/overruled")
def overrule(review_id: Id, body: Overruled, store: Records) -> Done:
    """The coach's own verdict beside the one that was told."""
    kept.overrule(store, review_id, to=str(body.to), why=body.why)
    return Done()


@router.get("/sessions/{session_id}/balls")
def session_balls(session_id: Id, store: Records) -> BallsTold:
    """The balls of a session that stand."""
    sessions.session(store, session_id)
    return BallsTold(balls=[plain(one) for one in sessions.session_balls(store, session_id)])


@router.get("/sessions/{session_id}/reviews")
def session_reviews(session_id: Id, store: Records) -> ReviewsTold:
    """What was said of a session, newest first."""
    session = sessions.session(store, session_id)
    told = kept.reviews(store, session.player_id, session_id=session_id)
    return ReviewsTold(reviews=[plain(one) for one in told])
