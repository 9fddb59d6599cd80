"""Sessions, clinics, lessons and drill scores."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from firstbounce.errors import ParameterError
from firstbounce.records.rows.base import Document, Id, LongText, Moment, Name, Whole, row
from firstbounce.records.rows.people import By


class SessionKind(StrEnum):
    """What balls were hit in."""

    LESSON = "lesson"
    PRACTICE = "practice"
    HOME = "home"
    CLINIC = "clinic"


@row
class SessionRow:
    """One player's balls of one occasion."""

    id: Id
    player_id: Id
    kind: SessionKind
    started: Moment
    green_id: Id | None = None
    day_id: Id | None = None
    station_id: Id | None = None
    clinic_id: Id | None = None
    ended: Moment | None = None
    logged_by: By = By.COACH
    note: LongText = ""


@row
class ClinicRow:
    """A group on one afternoon; its members are the sessions that name it."""

    id: Id
    name: Name
    started: Moment
    day_id: Id | None = None
    rotation_min: Annotated[float, Field(ge=0.5, le=60)] | None = None
    setup: Document = Field(default_factory=dict)


@row
class LessonDrill:
    """A drill set in a lesson, with its dose."""

    drill: Name
    balls: Whole | None = None
    minutes: Annotated[float, Field(ge=0, le=600)] | None = None
    homework: bool = True
    note: LongText = ""


@row
class LessonRow:
    """A lesson: one aim, what was seen, drills, homework, next date."""

    id: Id
    player_id: Id
    date: datetime.date
    made: Moment
    session_id: Id | None = None
    aim: LongText = ""
    seen: LongText = ""
    drills: Annotated[tuple[LessonDrill, ...], Field(max_length=50)] = ()
    homework: LongText = ""
    next_date: datetime.date | None = None
    closed: Moment | None = None


@row
class DrillScoreRow:
    """One score sheet of a drill; `record` is the practice package's own record of it."""

    id: Id
    player_id: Id
    drill: Name
    made: Moment
    device: Id
    seq: Whole = 0
    session_id: Id | None = None
    lesson_id: Id | None = None
    successes: Whole | None = None
    out_of: Whole | None = None
    number: Annotated[float, Field(ge=-1e6, le=1e6)] | None = (
        None  #: of a drill that is measured, not counted
    )
    passed: bool = False
    setup: Document = Field(default_factory=dict)  #: lengths it was set up with: circle_radius_m, stick_m ...
    entries: Annotated[tuple[Document, ...], Field(max_length=1000)] = ()
    record: Document = Field(default_factory=dict)
    corrects_id: Id | None = None
    withdrawn: bool = False
    note: LongText = ""

    def __post_init__(self) -> None:
        if self.withdrawn and self.corrects_id is None:
            raise ParameterError("A score that is withdrawn must say which one in corrects_id.")
        if self.corrects_id == self.id:
            raise ParameterError("A score cannot correct itself; a correction has its own id.")
        if self.successes is not None and self.out_of is not None and self.successes > self.out_of:
            raise ParameterError(f"A score has at most {self.out_of} successes, got {self.successes}.")


@row
class KeptScore:
    """A drill score as it stands in the records."""

    score: DrillScoreRow
    root_id: Id
    logged_by: By
    received: Moment
