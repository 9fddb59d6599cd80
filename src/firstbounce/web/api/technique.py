"""Technique: a clip watched, its result moved by hand and judged again, ticks by eye, consent to filming."""

from __future__ import annotations

import datetime
from dataclasses import asdict
from typing import Annotated, Any, Literal

from fastapi import APIRouter, HTTPException, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import BaseModel, Field

from firstbounce.errors import VideoError
from firstbounce.records.rows.kept import SeenBy, TechniqueRow
from firstbounce.records.rows.people import Consent, ConsentKind, Giver
from firstbounce.services import kept, players, technique, watched_clips
from firstbounce.services.store import Store, new_id
from firstbounce.services.ticks import TicksGiven
from firstbounce.technique.marks import PassMarks
from firstbounce.web import uploads
from firstbounce.web.api.shapes import Done, Id, Made, Name, Shape
from firstbounce.web.api.work import Queued
from firstbounce.web.jobs import Job
from firstbounce.web.reach import Queue, Records, now

router = APIRouter(prefix="/api", tags=["technique"])
MOST_WAITING = 4  #: clips that wait or are watched at once
MOST_MOVES = 200
Seconds = Annotated[float, Field(ge=0, le=4000)]
Pixel = Annotated[float, Field(ge=-20000, le=20000)]
Place = tuple[Pixel, Pixel]
Mark = Annotated[float, Field(gt=0, le=180)]
CLIP_BODY = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}


class MomentMoved(Shape):
    """When a moment of a swing was, by the coach [s from the first frame]."""

    swing: Annotated[int, Field(ge=1, le=1000)]
    start_s: Seconds | None = None
    top_s: Seconds | None = None
    strike_s: Seconds | None = None
    finish_s: Seconds | None = None
    leaves_s: Seconds | None = None


class PointMoved(Shape):
    """Where a point is in the picture at a time, by the coach [px of the upright picture]."""

    time_s: Seconds
    left_shoulder: Place | None = None
    right_shoulder: Place | None = None
    left_elbow: Place | None = None
    right_elbow: Place | None = None
    left_wrist: Place | None = None
    right_wrist: Place | None = None


class StickGiven(Shape):
    """A stick of known length at the hands, square to the camera, and its ends in the picture [px]."""

    length_m: Annotated[float, Field(gt=0, le=5)]
    ends: tuple[Place, Place]


class MarksGiven(Shape):
    """What passes."""

    ratio_low: Mark
    ratio_high: Mark
    held_s: Mark
    recoil_deg: Mark
    elbow_deg: Mark
    triangle_deg: Mark
    tempo_low: Mark
    tempo_high: Mark


class Corrected(Shape):
    """What was moved by hand, and other pass marks; what is left out stays as it was."""

    moments: Annotated[list[MomentMoved], Field(max_length=MOST_MOVES)] | None = None
    points: Annotated[list[PointMoved], Field(max_length=MOST_MOVES)] | None = None
    stick: StickGiven | None = None
    marks: MarksGiven | None = None


class NewTicks(TicksGiven):
    """Ticks of one player; sent twice with an id they are kept once."""

    id: Id | None = None


class FilmingGiven(Shape):
    """Who agreed that a junior is filmed."""

    guardian: Name
    until: datetime.date | None = None


class TechniqueTold(BaseModel):
    """One result in short; the whole of it under its id."""

    id: str
    made: datetime.datetime
    seen_by: SeenBy
    swings: int
    failed: list[str]


class TechniquesTold(BaseModel):
    """Results that stand, newest first."""

    ok: Literal[True] = True
    results: list[TechniqueTold]


class ResultTold(BaseModel):
    """A whole result: docs/technique.md has its shape."""

    ok: Literal[True] = True
    id: str
    player_id: str
    made: datetime.datetime
    result: dict[str, Any]


@router.post("/clips", status_code=202, openapi_extra=CLIP_BODY)
async def watch_clip(
    request: Request,
    store: Records,
    jobs: Queue,
    player_id: Id,
    session_id: Id | None = None,
    filmed_at: Annotated[float | None, Query(ge=1, le=1000)] = None,
) -> Queued:
    """Watch a clip, sent as the bytes of its file. The answer of the job names the result.

    It goes to disk as it comes and is removed when it was watched, stopped or refused; a name is neither
    needed nor looked at. filmed_at: pictures a second at which slow motion was filmed, when the file does not
    say so.
    """
    await run_in_threadpool(_ready, store, jobs, player_id)
    path = await uploads.received(request, store)

    def work(job: Job) -> dict[str, Any]:
        made = watched_clips.watch_and_keep(
            store,
            path,
            player_id,
            filmed_at=filmed_at,
            session_id=session_id,
            progress=job.progress,
            cancelled=job.cancelled,
        )
        return {"technique": made}

    def gone() -> None:
        path.unlink(missing_ok=True)

    return Queued(job=jobs.add("clip", work, about=player_id, lane="clips", after=gone).id)


def _ready(store: Store, jobs: Queue, player_id: str) -> None:
    """Before a byte is taken: the player may be filmed, all that watches is there, the queue has room."""
    players.player(store, player_id)
    technique.filming_consent(store, player_id)()
    if missing := uploads.missing():
        raise VideoError(missing.sentence)
    if len(jobs.going_on("clip")) >= MOST_WAITING:
        raise HTTPException(409, f"{MOST_WAITING} clips are waiting already; send this one when one is done.")


@router.get("/technique")
def results(player_id: Id, store: Records) -> TechniquesTold:
    """Results of a player; one that was corrected gives way to the one that corrects it."""
    players.player(store, player_id)
    return TechniquesTold(results=[told(row) for row in technique.results(store, player_id)])


@router.get("/technique/{technique_id}")
def result(technique_id: Id, store: Records) -> ResultTold:
    """One result."""
    row = kept.technique_row(store, technique_id)
    return ResultTold(id=row.id, player_id=row.player_id, made=row.made, result=dict(row.result))


@router.get("/technique/{technique_id}/drawing")
def drawing(technique_id: Id, store: Records) -> dict[str, Any]:
    """Key frames, times of the stills and the curve of the hand angle, by swing."""
    return {"ok": True, **watched_clips.drawing_of(store, kept.technique_row(store, technique_id))}


@router.get("/technique/{technique_id}/stills/{number_of_set}/{number}", response_class=Response)
def still(technique_id: Id, number_of_set: int, number: int, store: Records) -> Response:
    """A still of a swing, the face blurred, as JPEG."""
    row = kept.technique_row(store, technique_id)
    return Response(watched_clips.still_of(store, row, number_of_set, number), media_type="image/jpeg")


@router.post("/technique/{technique_id}/corrections", status_code=202)
def correct(technique_id: Id, body: Corrected, store: Records, jobs: Queue) -> Queued:
    """Judge the swings again with frames or points as the coach has them. The answer names the new result."""
    row = kept.technique_row(store, technique_id)
    given = body.model_dump(mode="json", exclude_none=True, exclude={"marks"})
    watched_clips.corrections_of(given)
    marks = None if body.marks is None else PassMarks(**body.marks.model_dump())

    def work(job: Job) -> dict[str, Any]:
        if marks is not None:
            watched_clips.set_pass_marks(store, marks)
        return {"technique": watched_clips.correct(store, technique_id, given, marks=marks)}

    return Queued(job=jobs.add("corrections", work, about=row.player_id, lane="clips").id)


@router.get("/pass-marks")
def pass_marks(store: Records) -> MarksGiven:
    """What passes."""
    return MarksGiven(**asdict(watched_clips.pass_marks(store)))


@router.post("/players/{player_id}/ticks", status_code=201)
def add_ticks(player_id: Id, body: NewTicks, store: Records) -> Made:
    """What a coach saw, without a clip; sending it twice with an id keeps it once."""
    players.player(store, player_id)
    made = technique.keep_ticks(store, body.spoken(), player_id, row_id=body.id or new_id())
    return Made(id=made)


@router.put("/players/{player_id}/filming")
def allow_filming(player_id: Id, body: FilmingGiven, store: Records) -> Made:
    """The guardian's consent that this junior is filmed."""
    players.player(store, player_id)
    consent = Consent(
        id=new_id(),
        player_id=player_id,
        kind=ConsentKind.FILMING,
        given_by=Giver.GUARDIAN,
        guardian=body.guardian,
        given=now(),
        delete_by=body.until,
    )
    players.add_consent(store, consent)
    return Made(id=consent.id)


@router.delete("/players/{player_id}/filming")
def end_filming(player_id: Id, store: Records) -> Done:
    """The consent to filming ends now: nothing more is filmed, and stills are no longer shown."""
    players.player(store, player_id)
    for one in players.consents(store, player_id):
        if one.kind is ConsentKind.FILMING and one.withdrawn is None:
            players.withdraw_consent(store, one.id)
    return Done()


def told(row: TechniqueRow) -> TechniqueTold:
    """A result in short."""
    tree = row.result
    n = tree.get("swings_in_set") or len(tree.get("swings", []))
    return TechniqueTold(id=row.id, made=row.made, seen_by=row.seen_by, swings=n, failed=failed_items(tree))


def failed_items(tree: Any) -> list[str]:
    """What failed in any swing of a result, once each."""
    every = [*tree.get("judged", []), *(one for swing in tree.get("swings", []) for one in swing["judged"])]
    return list(dict.fromkeys(one["item"] for one in every if one["verdict"] == "failed"))
