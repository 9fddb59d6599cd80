"""What phones send: rows made on the device, each kept once, whatever is sent twice or out of order.

The answer names the ids that are on the server's disk; a phone forgets exactly these. A row that cannot be
kept is refused by itself with its reason; `again` says that it may be kept when it is sent later.
"""

from __future__ import annotations

import datetime
import logging
from collections.abc import Callable, Mapping
from itertools import groupby
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, ValidationError

from firstbounce.errors import FirstbounceError, StoreBusy, StoreError
from firstbounce.records.rows.balls import BallRow, Kept
from firstbounce.records.rows.base import Id, row_from, said
from firstbounce.records.rows.people import Note
from firstbounce.records.rows.places import DayRow, GreenRow, Reading, StationRow
from firstbounce.records.rows.places import Shape as GreenShape
from firstbounce.records.rows.sessions import ClinicRow, DrillScoreRow, LessonRow, SessionRow
from firstbounce.services import greens, lessons, players, sessions, technique
from firstbounce.services.given import Shape
from firstbounce.services.new_player import NewPlayer, rows_of
from firstbounce.services.store import Store
from firstbounce.services.ticks import TicksGiven

MOST_ROWS = 500  #: sent at once
OWN_FAULT = (
    "The program met a fault of its own with this entry; it stays on the phone and is sent again. "
    "Nothing else waits for it."
)
log = logging.getLogger("firstbounce.services")


class OutboxRow(Shape):
    """One entry as its device made it. `made_at` is by the device's clock, which may be wrong."""

    id: Id
    v: Literal[1]
    kind: Literal[
        "player",
        "green",
        "shape",
        "day",
        "reading",
        "station",
        "clinic",
        "session",
        "ball",
        "score",
        "lesson",
        "note",
        "ticks",
    ]
    device: Id
    seq: Annotated[int, Field(ge=0, lt=2**53)]
    made_at: datetime.datetime
    offset_min: Annotated[int, Field(ge=-1080, le=1080)] = 0
    body: dict[str, Any]

    @property
    def made(self) -> datetime.datetime:
        """When it was made, with the offset of the place."""
        place = datetime.timezone(datetime.timedelta(minutes=self.offset_min))
        moment = self.made_at
        if moment.tzinfo is None:
            moment = moment.replace(tzinfo=datetime.UTC)
        if not 1971 <= moment.year <= 8990:
            moment = datetime.datetime(1971, 1, 1, tzinfo=datetime.UTC)
        return moment.astimezone(place)


class Outbox(Shape):
    """Rows in the order in which they were made."""

    v: Literal[1]
    rows: Annotated[list[dict[str, Any]], Field(max_length=MOST_ROWS)]


class RefusedRow(BaseModel):
    """A row that was not kept, and why."""

    id: str
    error: str
    again: bool


class Settled(BaseModel):
    """What the phone may forget, and what it must keep."""

    ok: Literal[True] = True
    stored: list[str]
    refused: list[RefusedRow]


def take(store: Store, body: Outbox) -> Settled:
    """Keep every row that is new; name those that are on disk."""
    settled = Settled(stored=[], refused=[])
    rows = _sound(body.rows, settled)
    for kind, group in groupby(rows, key=lambda row: row.kind):
        if kind == "ball":
            _take_balls(store, list(group), settled)
        else:
            for row in group:
                _take_one(store, row, settled)
    return settled


def _sound(raw: list[dict[str, Any]], settled: Settled) -> list[OutboxRow]:
    rows = []
    for one in raw:
        try:
            rows.append(OutboxRow.model_validate(one))
        except ValidationError as error:
            first = error.errors(include_url=False, include_input=False, include_context=False)[0]
            where = ".".join(map(str, first["loc"]))
            _refuse(settled, str(one.get("id", ""))[:64], f"{where}: {first['msg']}", again=False)
    return rows


def _take_balls(store: Store, rows: list[OutboxRow], settled: Settled) -> None:
    balls = []
    for row in rows:
        try:
            balls.append(row_from(BallRow, _device(row)))
        except FirstbounceError as error:
            _refuse(settled, row.id, str(error), again=False)
    if balls:
        _log_balls(store, balls, settled)


def _log_balls(store: Store, balls: list[BallRow], settled: Settled) -> None:
    """All in one write; when that meets a fault of ours, one by one."""
    try:
        _settle(settled, sessions.log_balls(store, balls))
    except FirstbounceError:
        raise
    except Exception as error:
        if len(balls) == 1:
            _own_fault(settled, balls[0].id, "ball", error)
        else:
            for ball in balls:
                _log_balls(store, [ball], settled)


def _take_one(store: Store, row: OutboxRow, settled: Settled) -> None:
    try:
        if row.kind == "score":
            _settle(settled, sessions.log_scores(store, [row_from(DrillScoreRow, _device(row))]))
            return
        _KEEP[row.kind](store, row)
    except StoreBusy:
        raise
    except FirstbounceError as error:
        _refuse(settled, row.id, str(error), again=isinstance(error, StoreError))
    except ValidationError as error:  # of a row of the records that checks itself: two clubs of one name
        _refuse(settled, row.id, said(error), again=False)
    except Exception as error:
        _own_fault(settled, row.id, row.kind, error)
    else:
        settled.stored.append(row.id)


def _own_fault(settled: Settled, row_id: str, kind: str, error: Exception) -> None:
    """A fault of ours holds up nothing else; what people wrote stays out of the log."""
    log.error("An entry of kind %s met %s", kind, type(error).__name__)
    _refuse(settled, row_id, OWN_FAULT, again=True)


def _settle(settled: Settled, kept: Kept) -> None:
    settled.stored += kept.kept
    for one in kept.refused:
        _refuse(settled, one.id, one.why, again=one.again)


def _refuse(settled: Settled, row_id: str, error: str, *, again: bool) -> None:
    settled.refused.append(RefusedRow(id=row_id, error=error, again=again))


def _device(row: OutboxRow) -> Mapping[str, Any]:
    return {**row.body, "id": row.id, "device": row.device, "seq": row.seq, "made": row.made}


def _made(row: OutboxRow, **more: Any) -> Mapping[str, Any]:
    return {**row.body, "id": row.id, "made": row.made, **more}


def _keep_player(store: Store, row: OutboxRow) -> None:
    try:
        given = NewPlayer.model_validate(row.body)
    except ValidationError as error:
        raise _NotSound(said(error)) from None
    player, consents = rows_of(given, row.id, row.made)
    players.add_player(store, player, consents)


class _NotSound(FirstbounceError):
    """A row whose body makes no sense."""


def _keep_clinic(store: Store, row: OutboxRow) -> None:
    sessions.start_clinic(store, row_from(ClinicRow, {**row.body, "id": row.id, "started": row.made}))


def _keep_session(store: Store, row: OutboxRow) -> None:
    sessions.start_session(store, row_from(SessionRow, {**row.body, "id": row.id, "started": row.made}))


def _keep_day(store: Store, row: OutboxRow) -> None:
    greens.add_day(store, row_from(DayRow, {"date": row.made.date(), **_made(row)}))


def _keep_ticks(store: Store, row: OutboxRow) -> None:
    player_id = str(row.body.get("player_id", ""))
    players.player(store, player_id)
    try:
        given = TicksGiven.model_validate({key: row.body[key] for key in row.body if key != "player_id"})
    except ValidationError as error:
        raise _NotSound(said(error)) from None
    technique.keep_ticks(store, given.spoken(), player_id, row_id=row.id, made=row.made)


def _keep_lesson(store: Store, row: OutboxRow) -> None:
    lesson = row_from(LessonRow, {"date": row.made.date(), **_made(row)})
    lessons.close_lesson(store, lesson)


_KEEP: dict[str, Callable[[Store, OutboxRow], None]] = {
    "player": _keep_player,
    "green": lambda store, row: greens.add_green(store, row_from(GreenRow, _made(row))),
    "shape": lambda store, row: greens.add_shape(store, row_from(GreenShape, _made(row))),
    "day": _keep_day,
    "reading": lambda store, row: greens.add_reading(store, row_from(Reading, _made(row))),
    "station": lambda store, row: greens.add_station(store, row_from(StationRow, _made(row))),
    "clinic": _keep_clinic,
    "session": _keep_session,
    "lesson": _keep_lesson,
    "ticks": _keep_ticks,
    "note": lambda store, row: players.add_note(store, row_from(Note, _made(row))),
}
