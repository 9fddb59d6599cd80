"""Lessons: one aim, drills with their dose, homework, next date; and what a returning player is met with."""

from __future__ import annotations

from dataclasses import dataclass, replace

from firstbounce.records import balls as log
from firstbounce.records import kept as shelf
from firstbounce.records import people
from firstbounce.records import sessions as book
from firstbounce.records.rows.balls import KeptBall, Tallied
from firstbounce.records.rows.kept import ReviewRow
from firstbounce.records.rows.people import By, PlayerRow
from firstbounce.records.rows.sessions import KeptScore, LessonRow, SessionRow
from firstbounce.records.store import Store

PAGE = 20


def save_lesson(store: Store, lesson: LessonRow) -> None:
    """A lesson, new or changed, with its drills."""
    with store.write() as connection:
        book.save_lesson(connection, lesson)


def close_lesson(store: Store, lesson: LessonRow) -> LessonRow:
    """The lesson as given, closed now."""
    closed = replace(lesson, closed=store.clock())
    save_lesson(store, closed)
    return closed


def lesson(store: Store, lesson_id: str) -> LessonRow:
    """One lesson. NotThere when there is none."""
    with store.read() as connection:
        return book.lesson_of(connection, lesson_id)


def lessons(store: Store, player_id: str, limit: int = PAGE) -> tuple[LessonRow, ...]:
    """Lessons of a player, newest first."""
    with store.read() as connection:
        return book.lessons(connection, player_id, limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayerCard:
    """What a player's page opens with; its cost does not grow with the number of balls."""

    player: PlayerRow
    balls: int  #: that stand
    last_session: SessionRow | None  #: that the coach began
    last_lesson: LessonRow | None
    last_scores: tuple[KeptScore, ...]  #: newest first
    homework: tuple[KeptScore, ...]  #: scores that the player logged since the last lesson
    home: Tallied  #: what the player tallied at home since the last lesson
    last_balls: tuple[KeptBall, ...]  #: newest first
    last_review: ReviewRow | None


def player_card(store: Store, player_id: str, *, balls: int = 20, scores: int = 10) -> PlayerCard:
    """The card of a player. NotThere when there is none."""
    with store.read() as connection:
        last_scores = book.scores(connection, player_id, limit=scores)
        lessons_held = book.lessons(connection, player_id, 1)
        since = lessons_held[0].made if lessons_held else None
        by_player = [one for one in last_scores if one.logged_by is By.PLAYER]
        return PlayerCard(
            player=people.player_of(connection, player_id),
            balls=people.ball_count(connection, player_id),
            last_session=next(iter(book.sessions(connection, player_id, limit=1, by=By.COACH)), None),
            last_lesson=next(iter(lessons_held), None),
            last_scores=last_scores,
            homework=tuple(one for one in by_player if since is None or one.received >= since),
            home=log.tallied_at_home(connection, player_id, since),
            last_balls=log.player_balls(connection, player_id, limit=balls),
            last_review=next(iter(shelf.reviews(connection, player_id, limit=1)), None),
        )
