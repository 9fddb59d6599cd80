"""The outbox protocol against a server in plain Python: any order, loss, repetition, delay and crash."""

import itertools
import shutil
from contextlib import contextmanager

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from sqlalchemy import select
from web_lesson import put_lesson
from web_server import SECRET

from firstbounce.records.store import open_store
from firstbounce.records.tables import BALL, DRILL_SCORE, NOTE, PLAYER
from firstbounce.services import sessions
from firstbounce.services.store import new_id
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

MADE = "2026-05-14T08:30:00Z"
HEAD = {"v": 1, "made_at": MADE, "offset_min": 60}


class Died(BaseException):
    """The server process ends here."""


def died(error):
    """Whether this is the end of the server, alone or among what its threads raised."""
    group = isinstance(error, BaseExceptionGroup)
    return isinstance(error, Died) or (group and error.subgroup(Died) is not None)


def transactions(rows):
    """What the server writes at once: balls that follow each other, everything else by itself."""
    parts = []
    for row in rows:
        if parts and row["kind"] == parts[-1][-1]["kind"] == "ball":
            parts[-1].append(row)
        else:
            parts.append([row])
    return parts


class Model:
    """What the server must hold and answer, by the words of docs/web.md."""

    def __init__(self, sessions_known):
        self.sessions = dict.fromkeys(sessions_known)
        self.rows = {}  # by id, in the order of arrival

    def take(self, rows, most_writes=None):
        """The answer to a request, or None when the server dies after so many writes of it."""
        stored, refused = [], []
        for turn, together in enumerate(transactions(rows)):
            if turn == most_writes:
                return None
            for row in together:
                self._take_one(row, stored, refused)
        return list(dict.fromkeys(stored)), refused

    def _take_one(self, row, stored, refused):
        if row["id"] not in self.rows and not self._can_be_kept(row):
            if row["id"] not in refused:
                refused.append(row["id"])
            return
        stored.append(row["id"])
        if row["kind"] == "session":
            self.sessions[row["id"]] = None
        self.rows.setdefault(row["id"], row)

    def _can_be_kept(self, row):
        if row["kind"] != "ball":
            return True
        body = row["body"]
        corrected = self.rows.get(body.get("corrects_id"))
        return body["session_id"] in self.sessions and ("corrects_id" not in body or corrected is not None)

    def standing(self, session):
        """Ids of the balls of a session that stand, in the turn of the first of each family."""
        root, last = {}, {}
        for row in self.rows.values():
            if row["kind"] == "ball" and row["body"]["session_id"] == session:
                root[row["id"]] = root.get(row["body"].get("corrects_id"), row["id"])
                last[root[row["id"]]] = row
        return [row["id"] for row in last.values() if row["body"]["kind"] != "withdrawn"]


class Outboxes(RuleBasedStateMachine):
    """Two phones, one server that may die at any write, and a network that loses, repeats and delays."""

    phones = st.integers(0, 1)

    @initialize()
    def start(self):
        self.folder = type(self).fresh()
        self.store = None
        self._open()
        self.ids = put_lesson(self.store)
        self.model = Model([self.ids.session])
        self.outbox = [[], []]
        self.device = [new_id(), new_id()]
        self.seq = [0, 0]
        self.session = [self.ids.session, self.ids.session]
        self.balls = [[], []]
        self.named = set()
        self.made = {}
        self.late = []  # requests that the network still holds

    def _open(self):
        """The server starts, the first time or after it died."""
        if self.store is not None:
            self.store.close()
        self.store = open_store(self.folder)
        app = create_app(self.store, Settings(secret=SECRET))
        self.client = type(self).visit(app, raise_server_exceptions=False)

    def _make(self, phone, kind, body):
        self.seq[phone] += 1
        row = {"id": new_id(), "kind": kind, "device": self.device[phone], "seq": self.seq[phone], **HEAD}
        row["body"] = body
        self.made[row["id"]] = row
        self.outbox[phone].append(row)
        return row["id"]

    @rule(phone=phones, landed=st.tuples(st.integers(-200, 200), st.integers(0, 2000)))
    def ball(self, phone, landed):
        place = [landed[0] / 100, landed[1] / 100]
        body = {"session_id": self.session[phone], "kind": "placed", "club": "SW", "start_m": [0, 0]}
        self.balls[phone].append(self._make(phone, "ball", {**body, "hole_m": [0, 14], "landed_m": place}))

    @precondition(lambda self: any(self.balls))
    @rule(phone=phones, which=st.integers(0, 50), withdrawn=st.booleans())
    def change(self, phone, which, withdrawn):
        """Undo or change a ball, of this phone or of the other one."""
        mine = [ball for balls in self.balls for ball in balls]
        old = self.made[mine[which % len(mine)]]
        body = {"session_id": old["body"]["session_id"], "corrects_id": old["id"], "kind": "withdrawn"}
        if not withdrawn:
            body = {**old["body"], "corrects_id": old["id"], "club": "LW"}
        self._make(phone, "ball", body)

    @rule(phone=phones, kind=st.sampled_from(["note", "score"]))
    def remark(self, phone, kind):
        body = {"text": "seen"} if kind == "note" else {"drill": "Clock", "successes": 1, "out_of": 3}
        self._make(phone, kind, {"player_id": self.ids.player, **body})

    @rule(phone=phones)
    def new_session(self, phone):
        body = {"player_id": self.ids.player, "kind": "practice"}
        self.session[phone] = self._make(phone, "session", body)

    @rule(
        phone=phones,
        n=st.integers(1, 8),
        network=st.sampled_from(["well", "request lost", "answer lost", "twice", "late"]),
    )
    def send(self, phone, n, network):
        """A pass of the phone: the first rows in order, and what the network makes of it."""
        rows = self.outbox[phone][:n]
        if not rows or network == "request lost":
            return
        if network == "late":
            self.late.append(rows)
            return
        told = self._arrive(rows)
        if network == "twice":
            told = self._arrive(rows)
        if network != "answer lost":
            self._settle(phone, told)

    @rule(phone=phones, data=st.data())
    def send_in_any_order(self, phone, data):
        """As a file that someone edited would have it."""
        if self.outbox[phone]:
            rows = data.draw(st.permutations(self.outbox[phone]))[: data.draw(st.integers(1, 8))]
            self._settle(phone, self._arrive([*rows, *rows[:1]]))

    @precondition(lambda self: self.late)
    @rule(which=st.integers(0, 9))
    def what_was_held_arrives(self, which):
        """Long after the phone gave up on it; nobody waits for the answer."""
        self._arrive(self.late.pop(which % len(self.late)))

    @rule(phone=phones, writes=st.integers(0, 5), after=st.booleans())
    def die(self, phone, writes, after):
        """The server dies at a write of a request, before or after that is on disk; then it starts again."""
        rows = self.outbox[phone][:8]
        done = writes + after
        answer = self._post_and_die(rows, writes, after) if rows else None
        told = self.model.take(rows, done) if rows else None
        if answer is not None and answer.status_code == 200:
            told = self.model.take(rows)
            self._agree(answer.json(), told)
            self._settle(phone, told)
        self._open()

    def _post_and_die(self, rows, writes, after):
        original, left = self.store.write, itertools.count()

        @contextmanager
        def write():
            turn = next(left)
            if turn > writes:
                raise Died
            with original() as connection:
                yield connection
                if turn == writes and not after:
                    raise Died
            if turn == writes:
                raise Died

        self.store.write = write
        try:
            return self.client.post("/api/outbox", json={"v": 1, "rows": rows})
        except BaseException as error:
            if not died(error):
                raise
            return None

    def _arrive(self, rows):
        answer = self.client.post("/api/outbox", json={"v": 1, "rows": rows})
        assert answer.status_code == 200, answer.text
        told = self.model.take(rows)
        self._agree(answer.json(), told)
        return told

    def _agree(self, answer, told):
        stored, refused = told
        assert list(dict.fromkeys(answer["stored"])) == stored
        assert sorted({one["id"] for one in answer["refused"]}) == sorted(refused)
        assert all(one["again"] and one["error"] for one in answer["refused"])

    def _settle(self, phone, told):
        stored = set(told[0])
        self.named |= stored
        self.outbox[phone] = [row for row in self.outbox[phone] if row["id"] not in stored]

    @invariant()
    def the_records_hold_what_the_model_holds(self):
        with self.store.read() as connection:
            balls = list(connection.execute(select(BALL.c.id).order_by(BALL.c.arrival)).scalars())
            others = [
                row_id
                for table in (NOTE, DRILL_SCORE)
                for row_id in connection.execute(select(table.c.id)).scalars()
            ]
            counted = connection.execute(select(PLAYER.c.balls)).scalar_one()
        wanted = [row["id"] for row in self.model.rows.values() if row["kind"] == "ball"]
        assert balls == wanted
        kinds = ("note", "score")
        assert sorted(others) == sorted(r["id"] for r in self.model.rows.values() if r["kind"] in kinds)
        assert counted == sum(len(self.model.standing(session)) for session in self.model.sessions)
        assert self.named <= set(self.model.rows)

    def teardown(self):
        if getattr(self, "store", None) is None:
            return
        for _ in range(2):  # a change of the other phone's ball may have to wait for that phone
            for phone in (0, 1):
                while self.outbox[phone]:
                    before = len(self.outbox[phone])
                    self._settle(phone, self._arrive(self.outbox[phone][:500]))
                    if len(self.outbox[phone]) == before:
                        break
        assert self.outbox == [[], []]
        assert set(self.model.rows) == set(self.made)
        for session in self.model.sessions:
            kept = [one.ball for one in sessions.session_balls(self.store, session)]
            assert [ball.id for ball in kept] == self.model.standing(session)
            for ball in kept:
                body = self.made[ball.id]["body"]
                assert (list(ball.landed_m), ball.club) == (body["landed_m"], body["club"])
        self.the_records_hold_what_the_model_holds()
        self.store.close()


@pytest.mark.parametrize("runs", [8, pytest.param(150, marks=pytest.mark.slow)])
def test_outboxes_against_a_server_in_plain_python(empty_records, tmp_path, visit, runs):
    turns = itertools.count()

    def fresh():
        return shutil.copytree(empty_records, tmp_path / str(next(turns)))

    Outboxes.fresh, Outboxes.visit = staticmethod(fresh), staticmethod(visit)
    steps = settings(max_examples=runs, stateful_step_count=30, deadline=None, print_blob=False)
    run_state_machine_as_test(Outboxes, settings=steps)
