"""A player's pages cost the same however many balls there are: each question goes through an index."""

import pytest
from invented import World, a_ball
from sqlalchemy import event

from firstbounce.services import kept, lessons, players, sessions
from firstbounce.services.sessions import log_balls


def questions_asked(store, ask):
    """The statements that a piece of work sends, with their values."""
    seen = []

    def note(_connection, _cursor, statement, parameters, _context, _many):
        if statement.startswith("SELECT"):
            seen.append((statement, parameters))

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        ask()
    finally:
        event.remove(store.engine, "before_cursor_execute", note)
    assert seen
    return seen


@pytest.fixture
def asked(other_store):
    world = World(other_store)
    log_balls(other_store, [a_ball(world.session, 200 + i) for i in range(300)])
    player, last = world.player.id, world.session.id
    return other_store, {
        "card": lambda: lessons.player_card(other_store, player),
        "page": lambda: sessions.player_balls(other_store, player, before=100, limit=50),
        "session": lambda: sessions.session_balls(other_store, last),
        "sessions": lambda: sessions.sessions(other_store, player),
        "count": lambda: players.ball_count(other_store, player),
        "plans": lambda: kept.plans(other_store, player),
        "fits": lambda: kept.fits(other_store, player),
        "scores": lambda: sessions.scores(other_store, player, drill="Clock"),
        "history": lambda: sessions.ball_history(other_store, world.balls[0].id),
        "log": lambda: log_balls(other_store, [a_ball(world.session, 600, corrects_id=world.balls[2].id)]),
    }


def test_no_question_reads_a_whole_table(asked):
    store, pages = asked
    for name, ask in pages.items():
        for statement, values in questions_asked(store, ask):
            with store.read() as connection:
                plan = connection.exec_driver_sql(f"explain query plan {statement}", values).all()
            scans = [row[-1] for row in plan if row[-1].startswith("SCAN") and "CONSTANT" not in row[-1]]
            assert not scans, f"{name}: {scans}\n{statement}"


def test_a_page_asks_as_many_questions_with_many_balls_as_with_few(asked):
    store, pages = asked
    few = World(store)
    small = questions_asked(store, lambda: lessons.player_card(store, few.player.id))
    assert len(questions_asked(store, pages["card"])) == len(small) <= 12


@pytest.mark.slow
def test_a_player_with_many_balls_opens_as_fast_as_one_with_few(other_store):
    from benchmarks.records import MOST_RATIO, compare, fill

    small, big = fill(other_store, 200), fill(other_store, 20_000)
    for page, (of_small, of_big) in compare(other_store, small, big).items():
        print(f"{page}: {of_small:.2f} ms, {of_big:.2f} ms")
        assert of_big <= MOST_RATIO * of_small + 1.0, page
