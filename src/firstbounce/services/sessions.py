"""Sessions, clinics and the log: balls and drill scores go in once each, whatever a phone sends twice."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence

from firstbounce.files.balls import LoggedBalls
from firstbounce.records import balls as log
from firstbounce.records import sessions as book
from firstbounce.records.rows.balls import BallRow, Kept, KeptBall
from firstbounce.records.rows.people import By
from firstbounce.records.rows.sessions import ClinicRow, DrillScoreRow, KeptScore, SessionRow
from firstbounce.records.store import Store
from firstbounce.words import Ball, Tally

PAGE = 50
MOST_BALLS = 2000  #: that a model is asked to learn from


def start_session(store: Store, session: SessionRow) -> None:
    """A session; once only, by id."""
    with store.write() as connection:
        book.add_session(connection, session)


def end_session(store: Store, session_id: str, when: datetime.datetime | None = None) -> None:
    """The session is over; balls that still wait on a phone are kept all the same."""
    with store.write() as connection:
        book.end_session(connection, session_id, when or store.clock())


def session(store: Store, session_id: str) -> SessionRow:
    """One session. NotThere when there is none."""
    with store.read() as connection:
        return book.session_of(connection, session_id)


def sessions(
    store: Store, player_id: str, *, limit: int = PAGE, skip: int = 0, by: By | None = None
) -> tuple[SessionRow, ...]:
    """Sessions of a player, newest first; `by`: only those that the coach, or the player, began."""
    with store.read() as connection:
        return book.sessions(connection, player_id, limit=limit, skip=skip, by=by)


def last_session(store: Store, player_id: str) -> SessionRow | None:
    """The newest session that the coach began with a player, if any."""
    return next(iter(sessions(store, player_id, limit=1, by=By.COACH)), None)


def log_balls(store: Store, balls: Sequence[BallRow], *, only_player: str | None = None) -> Kept:
    """Keep balls once each and name those that are on disk now; a phone forgets exactly these.

    A ball that cannot be kept is refused by itself, with the reason. `only_player`: the balls come through
    that player's link; they must be tallies of their own sessions and are marked "by player".
    """
    with store.write() as connection:
        return log.keep_balls(connection, balls, now=store.clock(), only_player=only_player)


def session_balls(store: Store, session_id: str) -> tuple[KeptBall, ...]:
    """Balls of a session that stand, in the order logged."""
    with store.read() as connection:
        return log.session_balls(connection, session_id)


def player_balls(
    store: Store, player_id: str, *, before: int | None = None, limit: int = PAGE
) -> tuple[KeptBall, ...]:
    """Balls of a player that stand, newest first, in pages: `before` is the last one's arrival."""
    with store.read() as connection:
        return log.player_balls(connection, player_id, before=before, limit=limit)


def ball_history(store: Store, ball_id: str) -> tuple[KeptBall, ...]:
    """A ball with all its corrections, oldest first."""
    with store.read() as connection:
        return log.ball_history(connection, ball_id)


def spoken_balls(kept: Iterable[KeptBall]) -> LoggedBalls:
    """Balls and tallies as the models speak of them."""
    spoken = [one.ball.spoken() for one in kept]
    return LoggedBalls(
        balls=tuple(one for one in spoken if isinstance(one, Ball)),
        tallies=tuple(one for one in spoken if isinstance(one, Tally)),
    )


def log_scores(store: Store, scores: Sequence[DrillScoreRow], *, only_player: str | None = None) -> Kept:
    """Keep drill scores once each, as `log_balls` keeps balls."""
    with store.write() as connection:
        return book.keep_scores(connection, scores, now=store.clock(), only_player=only_player)


def scores(
    store: Store,
    player_id: str,
    *,
    drill: str | None = None,
    session_id: str | None = None,
    limit: int = PAGE,
) -> tuple[KeptScore, ...]:
    """Scores of a player that stand, newest first."""
    with store.read() as connection:
        return book.scores(connection, player_id, drill=drill, session_id=session_id, limit=limit)


def start_clinic(store: Store, clinic: ClinicRow) -> None:
    """A clinic; once only, by id: one that is there already stays as it is."""
    with store.write() as connection:
        book.add_clinic(connection, clinic)


def save_clinic(store: Store, clinic: ClinicRow) -> None:
    """A clinic, new or changed; its members are the sessions that name it."""
    with store.write() as connection:
        book.save_clinic(connection, clinic)


def clinic(store: Store, clinic_id: str) -> tuple[ClinicRow, tuple[SessionRow, ...]]:
    """A clinic and the sessions of its members, in the order they joined."""
    with store.read() as connection:
        return book.clinic_of(connection, clinic_id), book.clinic_sessions(connection, clinic_id)


def clinics(store: Store, limit: int = PAGE) -> tuple[ClinicRow, ...]:
    """Clinics, newest first."""
    with store.read() as connection:
        return book.clinics(connection, limit)
