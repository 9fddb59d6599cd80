"""Log, correct, withdraw, send again and erase in any order, against lists in plain Python."""

from dataclasses import replace

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)
from invented import a_ball, a_player, a_session, a_tally, withdrawn
from sqlalchemy import select, text

from firstbounce.records.rows.balls import BallKind, BallRow
from firstbounce.records.tables import BALL
from firstbounce.services import erase as eraser
from firstbounce.services import players, sessions
from firstbounce.services.store import open_store


class LogOfBalls(RuleBasedStateMachine):
    """Log, correct, withdraw, send again and erase, in any order, against lists in plain Python."""

    balls = Bundle("balls")

    @initialize()
    def start(self):
        self.store = type(self).fresh()
        self.seq = 0
        self.families: dict[str, list[BallRow]] = {}  # by id of the first ball, in the order logged
        self.root: dict[str, str] = {}
        self.sessions = []
        self.erased = set()
        for _ in range(2):
            player = a_player()
            players.add_player(self.store, player)
            for _ in range(2):
                session = a_session(player)
                sessions.start_session(self.store, session)
                self.sessions.append(session)

    def send(self, balls):
        told = sessions.log_balls(self.store, balls)
        for ball in balls:
            gone = self.player_of(ball) in self.erased
            assert (ball.id in told.kept) != gone
            if not gone and ball.id not in self.root:
                root = self.root[ball.corrects_id] if ball.corrects_id else ball.id
                self.root[ball.id] = root
                self.families.setdefault(root, []).append(ball)

    def player_of(self, ball):
        return next(one.player_id for one in self.sessions if one.id == ball.session_id)

    def next_seq(self):
        self.seq += 1
        return self.seq

    @rule(target=balls, session=st.integers(0, 3), tally=st.booleans())
    def log(self, session, tally):
        ball = (a_tally if tally else a_ball)(self.sessions[session], self.next_seq())
        self.send([ball])
        return ball

    @rule(target=balls, ball=balls, club=st.sampled_from(["SW", "LW"]))
    def correct(self, ball, club):
        if ball.id not in self.root:
            return ball
        better = replace(a_ball(self.session_of(ball), self.next_seq(), club=club), corrects_id=ball.id)
        self.send([better])
        return better

    @rule(target=balls, ball=balls)
    def withdraw(self, ball):
        if ball.id not in self.root:
            return ball
        undo = withdrawn(ball, self.next_seq())
        self.send([undo])
        return undo

    @rule(some=st.lists(balls, min_size=1, max_size=5))
    def send_again(self, some):
        self.send([ball for ball in some if ball.id in self.root or self.player_of(ball) in self.erased])

    @rule(session=st.sampled_from([0, 2]))
    def erase(self, session):
        player_id = self.sessions[session].player_id
        if player_id in self.erased:
            return
        told = eraser.erase(self.store, player_id)
        mine = [root for root, family in self.families.items() if self.player_of(family[0]) == player_id]
        assert told.rows.get("ball", 0) == sum(len(self.families.pop(root)) for root in mine)
        self.erased.add(player_id)

    @invariant()
    def the_store_holds_what_the_lists_hold(self):
        for session in self.sessions:
            wanted = [
                family[-1]
                for family in self.families.values()
                if family[0].session_id == session.id and family[-1].kind is not BallKind.WITHDRAWN
            ]
            assert [one.ball for one in sessions.session_balls(self.store, session.id)] == wanted

    @invariant()
    def counts_are_in_step(self):
        for player_id in {one.player_id for one in self.sessions} - self.erased:
            standing = sum(
                family[-1].kind is not BallKind.WITHDRAWN
                for family in self.families.values()
                if self.player_of(family[0]) == player_id
            )
            assert players.ball_count(self.store, player_id) == standing

    @invariant()
    def nothing_is_kept_that_was_not_sent_or_was_erased(self):
        with self.store.read() as connection:
            ids = set(connection.execute(select(BALL.c.id)).scalars())
        assert ids == {ball.id for family in self.families.values() for ball in family}

    def session_of(self, ball):
        return next(one for one in self.sessions if one.id == ball.session_id)

    def teardown(self):
        self.store.close()


@pytest.mark.parametrize("runs", [5, pytest.param(100, marks=pytest.mark.slow)])
def test_log_correct_withdraw_and_erase_against_plain_lists(database, tmp_path, runs):
    def fresh():
        opened = open_store(tmp_path, database)
        with opened.write() as connection:
            for name in ("ball", "session", "club", "level_since", "player", "erased"):
                connection.execute(text(f"delete from {name}"))
        return opened

    LogOfBalls.fresh = staticmethod(fresh)
    steps = settings(max_examples=runs, stateful_step_count=20, deadline=None)
    run_state_machine_as_test(LogOfBalls, settings=steps)
