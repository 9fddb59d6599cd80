"""The log: each ball once, corrections as new rows, the count in step, links only for the player's own."""

import datetime
import threading
from dataclasses import replace

import pytest
from invented import NOON, World, a_ball, a_plan, a_player, a_score, a_session, a_tally, withdrawn
from sqlalchemy import text

from firstbounce.errors import NotThere, ParameterError, StoreError
from firstbounce.records.balls import NOT_YET, count_anew
from firstbounce.records.rows.balls import BallRow
from firstbounce.records.rows.base import plain, row_from
from firstbounce.records.rows.people import By
from firstbounce.records.rows.sessions import SessionKind
from firstbounce.services import erase as eraser
from firstbounce.services import kept, lessons, players, sessions
from firstbounce.services.store import new_id
from firstbounce.words import Ball, Lie, LieKind, Point, Strike, Tally


@pytest.fixture
def player(store):
    made = a_player()
    players.add_player(store, made)
    return made


@pytest.fixture
def session(store, player):
    made = a_session(player)
    sessions.start_session(store, made)
    return made


def count(store, player):
    with store.read() as connection:
        assert players.ball_count(store, player.id) == count_anew(connection, player.id)
    return players.ball_count(store, player.id)


def test_a_ball_comes_back_unchanged_in_every_field(store, session):
    ball = a_ball(
        session,
        lie=Lie(kind=LieKind.BARE, wet=True, uphill_deg=3, above_feet_deg=-2),
        strike=Strike.HEAVY,
        hang_time_s=1.25,
        landed_sd_m=0.1,
        note="windy: “gust”",
    )
    tally = a_tally(session, 1)
    holed = a_ball(session, 2, finished_m=None, holed=True)
    sessions.log_balls(store, [ball, tally, holed])
    logged = sessions.session_balls(store, session.id)
    assert [one.ball for one in logged] == [ball, tally, holed]
    assert {one.logged_by for one in logged} == {By.COACH}
    assert [row_from(BallRow, plain(one.ball)) for one in logged] == [ball, tally, holed]


def test_the_models_get_balls_and_tallies_in_their_own_words(store, session):
    sessions.log_balls(store, [a_ball(session), a_tally(session, 1)])
    logged = sessions.spoken_balls(sessions.session_balls(store, session.id))
    (ball,), (tally,) = logged.balls, logged.tallies
    assert isinstance(ball, Ball) and ball.landed == Point(0.1, 2.8) and ball.club == "PW"
    assert isinstance(tally, Tally) and tally.circle.centre == Point(0.2, 3)


def test_the_same_balls_sent_again_are_named_again_and_kept_once(store, player, session):
    balls = [a_ball(session, i) for i in range(30)]
    first = sessions.log_balls(store, balls[:20])
    second = sessions.log_balls(store, balls)
    third = sessions.log_balls(store, [*reversed(balls), balls[3]])
    assert first.kept == tuple(one.id for one in balls[:20])
    assert second.kept == tuple(one.id for one in balls)
    assert set(third.kept) == set(second.kept) and len(third.kept) == 30
    assert [one.ball for one in sessions.session_balls(store, session.id)] == balls
    assert count(store, player) == 30


def test_one_bad_ball_does_not_hold_up_the_others(store, session):
    lost = replace(a_ball(session, 1), session_id=new_id())
    dangling = a_ball(session, 2, station_id=new_id())
    unplanned = a_ball(session, 3, plan_id=new_id())
    orphan = a_ball(session, 4, corrects_id=new_id())
    good = [a_ball(session, 0), a_ball(session, 5)]
    told = sessions.log_balls(store, [good[0], lost, dangling, unplanned, orphan, good[1]])
    assert told.kept == (good[0].id, good[1].id)
    assert {one.id: one.again for one in told.refused} == dict.fromkeys(
        [lost.id, dangling.id, unplanned.id, orphan.id], True
    )
    assert all(one.why.endswith(NOT_YET) for one in told.refused)


def test_an_id_that_another_ball_has_is_refused_and_nothing_is_overwritten(store, session):
    ball = a_ball(session, 0)
    sessions.log_balls(store, [ball])
    thief = replace(a_ball(session, 7), id=ball.id)
    told = sessions.log_balls(store, [thief])
    assert told.kept == () and not told.refused[0].again and "another ball" in told.refused[0].why
    twins = [a_ball(session, 8), a_ball(session, 9)]
    told = sessions.log_balls(store, [twins[0], replace(twins[1], id=twins[0].id)])
    assert told.kept == (twins[0].id,) and len(told.refused) == 1
    assert [one.ball for one in sessions.session_balls(store, session.id)] == [ball, twins[0]]


def test_corrections_are_new_rows_and_the_old_ones_stay(store, player, session):
    balls = [a_ball(session, i) for i in range(4)]
    sessions.log_balls(store, balls)
    once = a_ball(session, 10, corrects_id=balls[1].id, club="SW")
    twice = a_ball(session, 11, corrects_id=once.id, club="LW")
    fork = a_ball(session, 12, corrects_id=balls[1].id, club="9i")
    sessions.log_balls(store, [once, twice, fork, withdrawn(balls[2], 13)])
    standing = [one.ball for one in sessions.session_balls(store, session.id)]
    assert standing == [balls[0], fork, balls[3]], "in the order logged, the correction in its place"
    assert [one.ball for one in sessions.ball_history(store, twice.id)] == [balls[1], once, twice, fork]
    assert count(store, player) == 3
    back = a_ball(session, 14, corrects_id=balls[2].id)
    sessions.log_balls(store, [back])
    assert count(store, player) == 4
    with store.read() as connection:
        assert connection.execute(text("select count(*) from ball")).scalar() == 9
    with pytest.raises(NotThere):
        sessions.ball_history(store, new_id())


def test_a_ball_corrected_and_withdrawn_in_the_batch_that_brings_it(store, player, session):
    ball = a_ball(session, 0)
    better = a_ball(session, 1, corrects_id=ball.id)
    told = sessions.log_balls(store, [ball, better, withdrawn(better, 2), a_ball(session, 3)])
    assert len(told.kept) == 4 and count(store, player) == 1


def test_a_correction_that_comes_before_its_ball_is_kept_when_sent_again(store, session):
    ball = a_ball(session, 0)
    better = a_ball(session, 1, corrects_id=ball.id)
    told = sessions.log_balls(store, [better, ball])
    assert told.kept == (ball.id,) and told.refused[0].again
    assert sessions.log_balls(store, [better]).kept == (better.id,)


def test_a_ball_corrects_only_one_of_its_own_session(store, player, session):
    ball = a_ball(session, 0)
    elsewhere = a_session(player)
    sessions.start_session(store, elsewhere)
    told = sessions.log_balls(store, [ball, a_ball(elsewhere, 1, corrects_id=ball.id)])
    assert told.kept == (ball.id,) and not told.refused[0].again


def test_a_plan_of_another_player_is_refused(store, player, session):
    theirs = a_plan(World(store, name="Someone else").player)
    kept.keep(store, theirs)
    told = sessions.log_balls(store, [a_ball(session, plan_id=theirs.id)])
    assert not told.kept and not told.refused[0].again and "another player" in told.refused[0].why


def test_pages_of_a_players_balls_hold_each_that_stands_once_newest_first(store, player, session):
    balls = [a_ball(session, i) for i in range(25)]
    sessions.log_balls(store, balls)
    sessions.log_balls(store, [withdrawn(balls[3], 30), a_ball(session, 31, corrects_id=balls[24].id)])
    seen, before = [], None
    while page := sessions.player_balls(store, player.id, before=before, limit=7):
        seen += [one.ball.seq for one in page]
        before = page[-1].arrival
    assert seen == [31, *range(23, 3, -1), 2, 1, 0]


@pytest.mark.parametrize(
    "wrong",
    [{"club": None}, {"start_m": None}, {"landed_m": None, "finished_m": None}, {"hang_time_s": 90},
     {"landed_m": (900, 0)}, {"device": "phone"}, {"seq": -1}, {"format": 2}, {"landed_sd_m": 0},
     {"kind": "tally"}, {"kind": "withdrawn"}, {"strike": "shanked"}, {"colour": "white"},
     {"finished_m": (float("inf"), 1)}, {"club": "x" * 81}],
)  # fmt: skip
def test_a_ball_that_makes_no_sense_is_refused_in_one_sentence(wrong):
    session = a_session(a_player())
    with pytest.raises(ParameterError, match="cannot be kept") as told:
        row_from(BallRow, plain(a_ball(session)) | wrong)
    assert "\n" not in str(told.value)


def test_a_ball_cannot_correct_itself():
    ball = a_ball(a_session(a_player()))
    with pytest.raises(ParameterError, match="its own id"):
        row_from(BallRow, plain(ball) | {"corrects_id": ball.id})


def test_a_players_link_adds_tallies_of_their_own_sessions_and_nothing_else(store, player, session):
    home = a_session(player, kind=SessionKind.HOME, logged_by=By.PLAYER)
    other = a_player()
    players.add_player(store, other)
    theirs = a_session(other, kind=SessionKind.HOME, logged_by=By.PLAYER)
    for one in (home, theirs):
        sessions.start_session(store, one)
    coachs = a_tally(session, 0)
    sessions.log_balls(store, [coachs])
    tries = [a_tally(home, 1), a_ball(home, 2), a_tally(session, 3), a_tally(theirs, 4), withdrawn(coachs, 5)]
    told = sessions.log_balls(store, tries, only_player=player.id)
    assert told.kept == (tries[0].id,)
    assert all("nothing else" in one.why and not one.again for one in told.refused)
    assert [one.logged_by for one in sessions.session_balls(store, home.id)] == [By.PLAYER]
    undo = sessions.log_balls(store, [withdrawn(tries[0], 6)], only_player=player.id)
    assert len(undo.kept) == 1 and sessions.session_balls(store, home.id) == ()


def test_a_score_is_kept_once_corrected_by_a_new_row_and_marked(store, player):
    score = a_score(player)
    assert sessions.log_scores(store, [score, score]).kept == (score.id,)
    better = a_score(player, corrects_id=score.id, successes=9)
    by_player = a_score(player, drill="Towel")
    sessions.log_scores(store, [better])
    sessions.log_scores(store, [by_player], only_player=player.id)
    assert {one.score.id for one in sessions.scores(store, player.id)} == {better.id, by_player.id}
    assert [one.score for one in sessions.scores(store, player.id, drill="Clock")] == [better]
    assert [one.logged_by for one in sessions.scores(store, player.id, drill="Towel")] == [By.PLAYER]
    gone = a_score(player, corrects_id=better.id, withdrawn=True)
    sessions.log_scores(store, [gone])
    assert sessions.scores(store, player.id, drill="Clock") == ()


def test_a_players_link_scores_only_their_own_record(store, player):
    other = a_player()
    players.add_player(store, other)
    coachs = a_score(player)
    sessions.log_scores(store, [coachs])
    tries = [a_score(other), a_score(player, corrects_id=coachs.id), a_score(a_player())]
    told = sessions.log_scores(store, tries, only_player=player.id)
    assert told.kept == () and len(told.refused) == 3
    waits = sessions.log_scores(store, [a_score(a_player()), a_score(player, session_id=new_id())])
    assert [one.again for one in waits.refused] == [True, True]


def test_what_a_phone_sends_for_an_erased_player_is_refused_for_good(store, player, session):
    sessions.log_balls(store, [a_ball(session)])
    eraser.erase(store, player.id)
    told = sessions.log_balls(store, [a_ball(session, 1)])
    assert not told.refused[0].again and "erased" in told.refused[0].why
    assert not sessions.log_scores(store, [a_score(player)]).refused[0].again
    for attempt in (
        lambda: players.add_player(store, player),
        lambda: sessions.start_session(store, a_session(player)),
    ):
        with pytest.raises(ParameterError, match="erased"):
            attempt()


def test_a_session_of_an_unknown_player_is_refused(store):
    with pytest.raises(StoreError, match="does not fit"):
        sessions.start_session(store, a_session(a_player()))


def test_eight_phones_on_one_session_each_ball_once(store, player, session):
    devices = [new_id() for _ in range(8)]
    balls = {device: [a_ball(session, i, device=device) for i in range(12)] for device in devices}

    def phone(device):
        for i in range(12):
            sessions.log_balls(store, balls[device][max(0, i - 2) : i + 1])  # each is sent three times

    threads = [threading.Thread(target=phone, args=(device,)) for device in devices]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    logged = [one.ball for one in sessions.session_balls(store, session.id)]
    assert count(store, player) == len(logged) == 96
    for device in devices:
        assert [one for one in logged if one.device == device] == balls[device], "in the order logged"


def test_the_card_of_a_returning_player(store):
    world = World(store)
    card = lessons.player_card(store, world.player.id)
    assert (card.player, card.balls, card.last_session) == (world.player, 5, world.session)
    assert card.last_lesson == world.lesson and card.last_review.sentence == "Practise it"
    assert card.homework == () and card.last_scores[0].score.successes == 7
    sessions.log_scores(store, [a_score(world.player)], only_player=world.player.id)
    assert len(lessons.player_card(store, world.player.id).homework) == 1
    with pytest.raises(NotThere):
        lessons.player_card(store, new_id())


def test_a_lesson_is_changed_until_it_is_closed(store):
    world = World(store)
    changed = replace(world.lesson, aim="Land it shorter", drills=world.lesson.drills[1:])
    lessons.save_lesson(store, changed)
    assert lessons.lesson(store, changed.id) == changed
    closed = lessons.close_lesson(store, changed)
    assert closed.closed is not None and lessons.lessons(store, world.player.id) == (closed,)


def test_a_clinic_has_the_sessions_that_name_it(store):
    world = World(store)
    clinic, members = sessions.clinic(store, world.clinic.id)
    assert clinic == world.clinic and members == (world.session,)
    sessions.save_clinic(store, replace(clinic, rotation_min=6))
    assert sessions.clinics(store)[0].rotation_min == 6
    sessions.end_session(store, world.session.id, NOON + datetime.timedelta(hours=1))
    assert sessions.last_session(store, world.player.id).ended == NOON + datetime.timedelta(hours=1)
