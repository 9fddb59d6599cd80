"""A phone by the protocol of the outbox, without a browser: it forgets what is named, and nothing else."""

from __future__ import annotations

import datetime
import http.client
import json
import random
import threading
import time
import uuid
from collections import Counter
from typing import Any

Entry = dict[str, Any]
BATCH = 20  #: entries sent at once
ANSWER_S = 30.0  #: that an answer is waited for
PAUSE_S = 0.05  #: after a refusal or no answer
LOST_ANSWERS = 0.05  #: share of the answers that never reach the phone
UNEXPECTED = 500


def new_id() -> str:
    """32 hexadecimal digits, as a phone makes them."""
    return uuid.uuid4().hex


def entry(device: str, seq: int, kind: str, body: Entry, row_id: str | None = None) -> Entry:
    """An entry as a phone sends it."""
    made = datetime.datetime.now(datetime.UTC).isoformat()
    head = {"id": row_id or new_id(), "v": 1, "kind": kind, "device": device, "seq": seq}
    return {**head, "made_at": made, "offset_min": 60, "body": body}


def placed(session: str, rng: random.Random) -> Entry:
    """The body of a placed ball, told from others by where it landed and finished."""
    return {
        "session_id": session,
        "kind": "placed",
        "club": "SW",
        "start_m": [0, 0],
        "hole_m": [0, 14],
        "landed_m": [round(rng.gauss(0, 0.5), 3), round(rng.gauss(8, 0.8), 3)],
        "finished_m": [round(rng.gauss(0, 1.0), 3), round(rng.gauss(13.5, 1.5), 3)],
    }


class Phone:
    """Logs into a session of a player of its own, in a thread, whatever becomes of the server.

    `outbox` is the phone's disk: entries in the order made, until the server names them. `made` holds every
    entry that was ever made, `acknowledged` the ids that the server named, `refusals` what it said instead.
    """

    def __init__(self, port: int, seed: int) -> None:
        self.port, self.rng = port, random.Random(seed)
        self.device, self.player, self.session = new_id(), new_id(), new_id()
        self.made: dict[str, Entry] = {}
        self.outbox: list[Entry] = []
        self.acknowledged: list[str] = []
        self.refusals: Counter[str] = Counter()
        self.unexpected = 0
        self.cut = 0  #: requests that were sent and never answered
        self.failure: Exception | None = None  #: of this phone itself
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._connection: http.client.HTTPConnection | None = None
        self._under_way = False
        self._begin()

    def start(self) -> None:
        """Log without end."""
        self._stop.clear()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def tell_to_stop(self) -> None:
        """Log no more, soon."""
        self._stop.set()

    def stop(self) -> None:
        """Log no more, from now on; what waits stays in the outbox."""
        self.tell_to_stop()
        if self._thread is not None:
            self._thread.join(2 * ANSWER_S)
            assert not self._thread.is_alive()
        self._hang_up()
        if self.failure is not None:
            raise self.failure

    def drain(self, seconds: float) -> None:
        """Send what waits until nothing does."""
        end = time.monotonic() + seconds
        while self.outbox and time.monotonic() < end:
            self._send()
        self._hang_up()

    def _begin(self) -> None:
        player = {"name": f"Phone {self.device[:4]}", "level": "10 to 18"}
        self._add("player", player, self.player)
        self._add("session", {"player_id": self.player, "kind": "practice"}, self.session)

    def _add(self, kind: str, body: Entry, row_id: str | None = None) -> None:
        row = entry(self.device, len(self.made) + 1, kind, body, row_id)
        self.made[row["id"]] = row
        self.outbox.append(row)

    def _run(self) -> None:
        try:
            while not self._stop.is_set():
                if len(self.outbox) < BATCH:
                    self._log_one()
                self._send()
        except Exception as error:  # told by `stop`, in the thread that asks
            self.failure = error

    def _log_one(self) -> None:
        """Mostly a placed ball; now and then a tally, a change, an undo, a score, a note."""
        balls = [row["id"] for row in self.made.values() if row["kind"] == "ball"]
        chance = self.rng.random()
        session = {"session_id": self.session}
        if chance < 0.05 and balls:
            self._add("ball", {**session, "kind": "withdrawn", "corrects_id": balls[-1]})
        elif chance < 0.1 and balls:
            self._add("ball", {**placed(self.session, self.rng), "corrects_id": self.rng.choice(balls)})
        elif chance < 0.15:
            body = {"player_id": self.player, "drill": "Landing circle", "successes": 6, "out_of": 10}
            self._add("score", body)
        elif chance < 0.2:
            self._add("note", {"player_id": self.player, "text": f"entry {len(self.made)}"})
        elif chance < 0.3:
            tally = {"kind": "tally", "tally_landed": "in", "tally_finished": "given", "aim_m": [0, 8]}
            circle = {"club": "SW", "start_m": [0, 0], "hole_m": [0, 14], "circle_radius_m": 1.2}
            self._add("ball", {**session, **tally, **circle})
        else:
            self._add("ball", placed(self.session, self.rng))

    def _send(self) -> None:
        rows = self.outbox[:BATCH]
        try:
            status, told = self._post({"v": 1, "rows": rows})
        except (OSError, http.client.HTTPException):
            self._broken()
            return
        if status != 200:
            self.unexpected += status == UNEXPECTED
            self.refusals[f"{status}: {told.get('error', '')}"] += 1
            self._stop.wait(PAUSE_S)
            return
        if self.rng.random() < LOST_ANSWERS:
            return
        self._settle(told)

    def _settle(self, told: Entry) -> None:
        named = set(told["stored"])
        self.acknowledged += [row["id"] for row in self.outbox if row["id"] in named]
        self.outbox = [row for row in self.outbox if row["id"] not in named]
        for one in told["refused"]:
            self.refusals[f"by itself: {one['error']}"] += 1
        if told["refused"]:
            self._stop.wait(PAUSE_S)

    def _broken(self) -> None:
        self.cut += self._under_way
        self._hang_up()
        self._stop.wait(PAUSE_S)

    def _post(self, body: Entry) -> tuple[int, Entry]:
        self._under_way = False
        if self._connection is None:
            self._connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWER_S)
        self._connection.request(
            "POST", "/api/outbox", json.dumps(body), {"Content-Type": "application/json"}
        )
        self._under_way = True
        answer = self._connection.getresponse()
        told = json.loads(answer.read() or b"{}")
        self._under_way = False
        if answer.will_close:
            self._hang_up()
        return answer.status, told

    def _hang_up(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None
