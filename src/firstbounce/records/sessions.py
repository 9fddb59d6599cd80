"""Sessions, clinics, lessons and drill scores: what is asked and what is written."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, delete, select, update

from firstbounce.errors import ParameterError
from firstbounce.records.codec import moment_columns, row_of, values_of
from firstbounce.records.queries import erased, found, one, put, put_row, replace, rows, those_there
from firstbounce.records.rows.balls import Kept, Refused
from firstbounce.records.rows.people import By
from firstbounce.records.rows.sessions import (
    ClinicRow,
    DrillScoreRow,
    KeptScore,
    LessonDrill,
    LessonRow,
    SessionRow,
)
from firstbounce.records.tables import CLINIC, DRILL_SCORE, LESSON, LESSON_DRILL, PLAYER, SESSION

NOT_YET = "is not in the records yet; send it first"
GONE = "its player was erased from the records"


def add_session(connection: Connection, session: SessionRow) -> None:
    """A session; one that is there already stays as it is. ParameterError when its player was erased."""
    if erased(connection, [session.player_id, session.id]):
        raise ParameterError(f"This session cannot be kept: {GONE}.")
    put_row(connection, SESSION, session)


def end_session(connection: Connection, session_id: str, when: datetime.datetime) -> None:
    """The session is over; balls that still wait on a phone are kept all the same."""
    found(connection, SESSION, session_id)
    connection.execute(
        update(SESSION).where(SESSION.c.id == session_id).values(moment_columns("ended", when))
    )


def session_of(connection: Connection, session_id: str) -> SessionRow:
    """One session. NotThere when there is none."""
    return one(connection, SESSION, SessionRow, session_id)


def sessions(
    connection: Connection, player_id: str, *, limit: int, skip: int = 0, by: By | None = None
) -> tuple[SessionRow, ...]:
    """Sessions of a player, newest first; `by`: only those that the coach, or the player, began."""
    newest = (SESSION.c.started_utc.desc(), SESSION.c.id)
    asked = select(SESSION).where(SESSION.c.player_id == player_id)
    if by is not None:
        asked = asked.where(SESSION.c.logged_by == by)
    return rows(connection, asked.order_by(*newest).limit(limit).offset(skip), SessionRow)


def add_clinic(connection: Connection, clinic: ClinicRow) -> None:
    """A clinic; one that is there already stays as it is."""
    put_row(connection, CLINIC, clinic)


def save_clinic(connection: Connection, clinic: ClinicRow) -> None:
    """A clinic, new or changed."""
    replace(connection, CLINIC, values_of(clinic))


def clinic_of(connection: Connection, clinic_id: str) -> ClinicRow:
    """One clinic. NotThere when there is none."""
    return one(connection, CLINIC, ClinicRow, clinic_id)


def clinics(connection: Connection, limit: int) -> tuple[ClinicRow, ...]:
    """Clinics, newest first."""
    return rows(
        connection, select(CLINIC).order_by(CLINIC.c.started_utc.desc(), CLINIC.c.id).limit(limit), ClinicRow
    )


def clinic_sessions(connection: Connection, clinic_id: str) -> tuple[SessionRow, ...]:
    """The sessions of a clinic's members, in the order they joined."""
    asked = (
        select(SESSION).where(SESSION.c.clinic_id == clinic_id).order_by(SESSION.c.started_utc, SESSION.c.id)
    )
    return rows(connection, asked, SessionRow)


def save_lesson(connection: Connection, lesson: LessonRow) -> None:
    """A lesson, new or changed, with its drills."""
    replace(connection, LESSON, values_of(lesson, "drills"))
    connection.execute(delete(LESSON_DRILL).where(LESSON_DRILL.c.lesson_id == lesson.id))
    drills = [
        values_of(drill) | {"lesson_id": lesson.id, "place": i} for i, drill in enumerate(lesson.drills)
    ]
    put(connection, LESSON_DRILL, drills)


def lesson_of(connection: Connection, lesson_id: str) -> LessonRow:
    """One lesson. NotThere when there is none."""
    return _lesson(connection, found(connection, LESSON, lesson_id))


def lessons(connection: Connection, player_id: str, limit: int) -> tuple[LessonRow, ...]:
    """Lessons of a player, newest first."""
    newest = (LESSON.c.date.desc(), LESSON.c.made_utc.desc(), LESSON.c.id)
    asked = select(LESSON).where(LESSON.c.player_id == player_id).order_by(*newest).limit(limit)
    return tuple(_lesson(connection, row) for row in connection.execute(asked).mappings().all())


def keep_scores(
    connection: Connection,
    scores: Sequence[DrillScoreRow],
    *,
    now: datetime.datetime,
    only_player: str | None = None,
) -> Kept:
    """Keep every score that is new; as for balls, a correction is a new row that points at the old one."""
    kept: list[str] = []
    refused: list[Refused] = []
    for score in scores:
        problem = (
            None
            if those_there(connection, DRILL_SCORE, [score.id])
            else _problem(connection, score, only_player)
        )
        if problem:
            refused.append(Refused(id=score.id, why=problem, again=problem.endswith(NOT_YET)))
            continue
        put(connection, DRILL_SCORE, _score_columns(connection, score, now, only_player))
        kept.append(score.id)
    return Kept(kept=tuple(dict.fromkeys(kept)), refused=tuple(refused))


def scores(
    connection: Connection,
    player_id: str,
    *,
    drill: str | None = None,
    session_id: str | None = None,
    limit: int,
) -> tuple[KeptScore, ...]:
    """Scores of a player that stand, newest first."""
    later = DRILL_SCORE.alias("later")
    superseded = select(later.c.id).where(later.c.corrects_id == DRILL_SCORE.c.id).exists()
    asked = select(DRILL_SCORE).where(
        DRILL_SCORE.c.player_id == player_id, ~superseded, DRILL_SCORE.c.withdrawn == 0
    )
    if drill is not None:
        asked = asked.where(DRILL_SCORE.c.drill == drill)
    if session_id is not None:
        asked = asked.where(DRILL_SCORE.c.session_id == session_id)
    asked = asked.order_by(DRILL_SCORE.c.made_utc.desc(), DRILL_SCORE.c.id).limit(limit)
    found_rows = connection.execute(asked).mappings()
    return tuple(row_of(KeptScore, row, score=row_of(DrillScoreRow, row)) for row in found_rows)


def _lesson(connection: Connection, row: Mapping[Any, Any]) -> LessonRow:
    asked = select(LESSON_DRILL).where(LESSON_DRILL.c.lesson_id == row["id"]).order_by(LESSON_DRILL.c.place)
    return row_of(LessonRow, row, drills=rows(connection, asked, LessonDrill))


def _problem(connection: Connection, score: DrillScoreRow, only_player: str | None) -> str | None:
    if only_player and score.player_id != only_player:
        return "a player's link adds scores to their own record, nothing else"
    if not those_there(connection, PLAYER, [score.player_id]):
        return GONE if erased(connection, [score.player_id]) else f"its player {NOT_YET}"
    for what, table, row_id in (("session", SESSION, score.session_id), ("lesson", LESSON, score.lesson_id)):
        if row_id and not those_there(connection, table, [row_id]):
            return f"its {what} {NOT_YET}"
        if row_id and found(connection, table, row_id)["player_id"] != score.player_id:
            return f"its {what} is another player's"
    return _bad_correction(connection, score, only_player)


def _bad_correction(connection: Connection, score: DrillScoreRow, only_player: str | None) -> str | None:
    if score.corrects_id is None:
        return None
    if not those_there(connection, DRILL_SCORE, [score.corrects_id]):
        return f"the score it corrects {NOT_YET}"
    corrected = found(connection, DRILL_SCORE, score.corrects_id)
    if corrected["player_id"] != score.player_id:
        return "it corrects a score of another player"
    if only_player and corrected["logged_by"] != By.PLAYER:
        return "a player's link corrects only what the player logged"
    return None


def _score_columns(
    connection: Connection, score: DrillScoreRow, now: datetime.datetime, only_player: str | None
) -> dict[str, Any]:
    root = found(connection, DRILL_SCORE, score.corrects_id)["root_id"] if score.corrects_id else score.id
    logged_by = By.PLAYER if only_player else By.COACH
    return values_of(score) | {"root_id": root, "logged_by": logged_by, **moment_columns("received", now)}
