"""What happens to entries of phones when the server of the pages breaks; prints the counts.

The real `firstbounce serve` answers on loopback; phones log through POST /api/outbox without end. It is
killed (kill -9), its disk is full, its database locked by another program, its log torn off and copied away,
PostgreSQL restarted under it. Afterwards every entry that the server named must be there; what the phones
still hold must arrive when they send it; each once, unchanged, and the balls of a phone in their order. Exit
status 1 otherwise.
"""

from __future__ import annotations

import argparse
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from sqlalchemy import select

from benchmarks.database_server import DatabaseServer, server_programs
from benchmarks.pieces import UNFINISHED, add_options, in_pieces
from benchmarks.records_faults import (
    SMALL_FILE,
    Counts,
    copy_torn,
    hold_lock,
    is_sound,
    out_of_step,
    small_disk,
)
from benchmarks.web_phone import Phone
from benchmarks.web_process import ServerProcess
from firstbounce.records.codec import row_of
from firstbounce.records.engine import FILE_NAME
from firstbounce.records.rows.balls import BallRow
from firstbounce.records.tables import BALL, DRILL_SCORE, NOTE
from firstbounce.services.store import Store, open_store

PHONES = 3
LONGEST_S = 90.0  #: that a phone waits for the next answer
LOCKED_S = (2.0, 7.0)  #: shorter and longer than the server waits for another program
COMPARED = ("session_id", "kind", "corrects_id", "club", "start_m", "hole_m", "landed_m", "finished_m")
COMPARED_TALLY = ("tally_landed", "tally_finished", "aim_m", "circle_radius_m")


@dataclass
class WebCounts(Counts):
    """What came of one kind of fault, phones and server together."""

    changed: int = 0  #: entries that are not as they were made
    disordered: int = 0  #: balls that stand before an earlier one of the same phone
    unexpected: int = 0  #: answers 500, and failures that the server had no sentence for
    waiting: int = 0  #: entries that never arrived although the server answered again
    unanswered: int = 0  #: requests whose answer never came
    entries: int = 0  #: that the phones made

    @property
    def bad(self) -> int:
        return super().bad + self.changed + self.disordered + self.unexpected + self.waiting

    def __str__(self) -> str:
        more = (
            f"of {self.entries} entries {self.changed} changed, {self.disordered} out of order, "
            f"{self.waiting} never arrived; {self.unanswered} requests without answer, "
            f"{self.unexpected} unexpected failures"
        )
        first, *rest = super().__str__().split("\n    ")
        return "\n    ".join([first, more, *rest])


def kills(
    times: int, *, database: str | None = None, at_start: bool = False, seed: int = 1, phones: int = PHONES
) -> WebCounts:
    """Kill the server without warning while phones log; `at_start`: while it starts."""
    where = "PostgreSQL" if database else "SQLite"
    counts = WebCounts(f"kill -9 {'while starting' if at_start else 'of serve'}, {where}")
    rng = random.Random(seed)
    with _logging(counts, database=database, phones=phones, running=not at_start) as (server, loggers):
        for _ in range(times):
            if at_start:
                server.launch()
                _wait_until((server.folder / FILE_NAME).exists)
                time.sleep(rng.uniform(0.0, 3.0))
            else:
                _wait_for_more(loggers)
                time.sleep(rng.uniform(0.0, 0.25))
            server.kill()
            counts.faults += 1
            if not at_start:
                server.start()
        if at_start:
            server.start()
            _wait_for_more(loggers)
    return counts


def killed_on_postgresql(times: int, phones: int = PHONES) -> WebCounts:
    """As `kills`, over a PostgreSQL of its own."""
    with _postgresql() as database:
        return kills(times, database=database.url("web"), phones=phones)


def disk_full(rounds: int = 3) -> WebCounts:
    """Log until the disk is full, make room, go on."""
    counts = WebCounts("disk full under serve, SQLite")
    for turn in range(rounds):
        with small_disk() as (folder, largest):
            counts.words = (
                "a tmpfs of 3 MB" if largest is None else "no tmpfs here: a limit on the size of files"
            )
            if largest is None:
                (folder / "filler").write_bytes(b"\0" * 1_000_000)
            limit = None if largest is None else SMALL_FILE
            with _logging(counts, folder=folder, seed=turn, largest_file=limit) as (server, loggers):
                _wait_until(lambda: _refused(loggers, "disk is full") >= 10)
                counts.faults += 1
                (folder / "filler").unlink(missing_ok=True)
                server.give_room()
                _wait_for_more(loggers)
    return counts


def locked(rounds: int = 2) -> WebCounts:
    """Another program holds the write lock: shorter and longer than the server waits for it."""
    counts = WebCounts("database locked under serve, SQLite")
    with _logging(counts) as (server, loggers):
        for held_s in LOCKED_S * rounds:
            _wait_for_more(loggers)
            hold_lock(server.folder, held_s)
            counts.faults += 1
            _wait_for_more(loggers)
    return counts


def torn_log(copies: int = 30, seed: int = 2) -> WebCounts:
    """Copy database and a torn or spoiled log away while phones log; then serve such a copy and log on in it.

    A copy must open, hold whole entries only, each once, and be a beginning of the log.
    """
    counts = WebCounts("torn log copied away from serve")
    rng = random.Random(seed)
    with _folder() as folder:
        data = folder / "data"
        with _logging(counts, folder=data) as (server, loggers):
            _wait_for_more(loggers)
            for turn in range(copies):
                time.sleep(0.05)
                copy = folder / f"copy-{turn}"
                copy.mkdir()
                copy_torn(server.pid, data, copy, rng, spoil=turn % 3 == 2)
                counts.faults += 1
        order = _arrivals(data)
        lengths = []
        for turn in range(copies):
            copy = folder / f"copy-{turn}"
            counts.damaged += not is_sound(copy)
            here = _arrivals(copy)
            counts.lost += here != order[: len(here)]
            counts.twice += len(here) - len(set(here))
            lengths.append(len(here))
        counts.words = (
            f"copies hold the first {min(lengths)} to {max(lengths)} of {len(order)} balls, in order"
        )
        with _logging(counts, folder=folder / f"copy-{copies - 1}", more_balls=True) as (_, loggers):
            _wait_for_more(loggers)  # a copy is served, and logging goes on in it
    return counts


def database_restarted(restarts: int = 6) -> WebCounts:
    """Restart PostgreSQL under the server: told to stop, and as if it had crashed."""
    counts = WebCounts("PostgreSQL restarted under serve")
    with _postgresql() as running, _logging(counts, database=running.url("web")) as (_, loggers):
        for turn in range(restarts):
            _wait_for_more(loggers)
            time.sleep(0.3)
            running.stop(signal.SIGQUIT if turn % 2 else signal.SIGINT)
            time.sleep(0.3)
            running.start()
            counts.faults += 1
            _wait_for_more(loggers)
    return counts


@contextmanager
def _logging(
    counts: WebCounts,
    *,
    folder: Path | None = None,
    database: str | None = None,
    phones: int = PHONES,
    running: bool = True,
    seed: int = 0,
    largest_file: int | None = None,
    more_balls: bool = False,
) -> Iterator[tuple[ServerProcess, list[Phone]]]:
    """A server and phones that log; at the end the phones send what they hold, and what is there is judged.

    `more_balls`: the records held balls of other phones before.
    """
    with tempfile.TemporaryDirectory(prefix="fb-web-") as own:
        server = ServerProcess(folder or Path(own), database, largest_file=largest_file)
        loggers = [Phone(server.port, seed=100 * seed + k) for k in range(phones)]
        try:
            if running:
                server.start()
            for phone in loggers:
                phone.start()
            yield server, loggers
            _stop_all(loggers)
            server.kill()  # what is there now must not hang on an orderly end
            _judge_named(counts, server, loggers, more_balls)
            server.start()
            for phone in loggers:
                phone.drain(LONGEST_S)
            server.stop()
            _judge_all(counts, server, loggers)
        finally:
            for phone in loggers:
                phone.tell_to_stop()
            server.kill()


def _stop_all(loggers: list[Phone]) -> None:
    for phone in loggers:
        phone.tell_to_stop()
    for phone in loggers:
        phone.stop()


def _judge_named(counts: WebCounts, server: ServerProcess, loggers: list[Phone], more_balls: bool) -> None:
    """Right after the last fault: whatever the server named is on its disk, once."""
    if server.database is None:
        counts.damaged += not is_sound(server.folder)
    with open_store(server.folder, server.database) as store:
        here = _kept(store)
        counts.damaged += out_of_step(store)
    named = {row_id for phone in loggers for row_id in phone.acknowledged}
    mine = {row["id"] for phone in loggers for row in phone.made.values() if row["kind"] in here}
    every = [row_id for ids in here.values() for row_id in ids]
    counts.acknowledged += len(named & mine)
    counts.lost += len((named & mine) - set(every))
    counts.twice += len(every) - len(set(every))
    counts.unacknowledged += len((set(every) & mine) - named)
    if not more_balls:
        counts.damaged += len(set(every) - mine)  # what nobody made


def _judge_all(counts: WebCounts, server: ServerProcess, loggers: list[Phone]) -> None:
    """After the phones have sent what they held: everything is there once, unchanged, in order."""
    with open_store(server.folder, server.database) as store:
        here = _kept(store)
        balls = _balls(store)
        counts.damaged += out_of_step(store)
    places = {row_id: place for place, row_id in enumerate(here["ball"])}
    for phone in loggers:
        counts.entries += len(phone.made)
        counts.waiting += len(phone.outbox)
        counts.unexpected += phone.unexpected
        counts.unanswered += phone.cut
        counts.refusals += phone.refusals
        mine = [row for row in phone.made.values() if row["kind"] == "ball" and row["id"] in balls]
        counts.changed += sum(not _as_made(row, balls[row["id"]]) for row in mine)
        order = [places[row["id"]] for row in mine]
        counts.disordered += sum(later < earlier for earlier, later in pairwise(order))
        for kind, ids in here.items():
            made = {row["id"] for row in phone.made.values() if row["kind"] == kind}
            counts.lost += len(made - set(ids) - {row["id"] for row in phone.outbox})
    counts.twice += sum(len(ids) - len(set(ids)) for ids in here.values())
    counts.unexpected += server.tracebacks()


def _as_made(row: dict[str, Any], kept: BallRow) -> bool:
    body = row["body"]
    told = {name: getattr(kept, name) for name in (*COMPARED, *COMPARED_TALLY)}
    plain = {name: list(value) if isinstance(value, tuple) else value for name, value in told.items()}
    same = all(plain[name] == body.get(name) for name in plain)
    return same and (kept.device, kept.seq) == (row["device"], row["seq"])


def _kept(store: Store) -> dict[str, list[str]]:
    """Ids of what is there, as the phones call it; balls in the order of arrival."""
    with store.read() as connection:
        return {
            "ball": list(connection.execute(select(BALL.c.id).order_by(BALL.c.arrival)).scalars()),
            "score": list(connection.execute(select(DRILL_SCORE.c.id)).scalars()),
            "note": list(connection.execute(select(NOTE.c.id)).scalars()),
        }


def _balls(store: Store) -> dict[str, BallRow]:
    with store.read() as connection:
        return {row["id"]: row_of(BallRow, row) for row in connection.execute(select(BALL)).mappings()}


def _arrivals(folder: Path) -> list[str]:
    with open_store(folder) as store:
        return _kept(store)["ball"]


def _wait_for_more(loggers: list[Phone]) -> None:
    """Every phone is told of one more entry at least."""
    before = [len(phone.acknowledged) for phone in loggers]
    _wait_until(
        lambda: all(len(one.acknowledged) > n for one, n in zip(loggers, before, strict=True)),
        lambda: f"no further entry was acknowledged: {[phone.refusals for phone in loggers]}",
    )


def _wait_until(done: Callable[[], bool], why: Callable[[], str] = lambda: "it never came to that") -> None:
    end = time.monotonic() + LONGEST_S
    while not done():
        if time.monotonic() > end:
            raise TimeoutError(why())
        time.sleep(0.01)


def _refused(loggers: list[Phone], words: str) -> int:
    return sum(n for phone in loggers for said, n in phone.refusals.items() if words in said)


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="fb-web-") as name:
        yield Path(name)


@contextmanager
def _postgresql() -> Iterator[DatabaseServer]:
    server = DatabaseServer(durable=True)
    try:
        yield server
    finally:
        server.close()


def main(argv: list[str] | None = None) -> int:
    """Break everything; print the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    add_options(parser)
    options = parser.parse_args(argv)
    every: list[Callable[[], WebCounts]] = [
        lambda: kills(options.kills),
        lambda: kills(max(1, options.kills // 5), at_start=True),
        disk_full,
        locked,
        torn_log,
    ]
    if server_programs() is None:
        print("PostgreSQL is not installed: not broken")
    else:
        every += [lambda: killed_on_postgresql(options.kills), database_restarted]

    def work(turn: int) -> dict[str, Any]:
        start = time.perf_counter()
        counts = every[turn]()
        print(counts, f"[{time.perf_counter() - start:.0f} s]", flush=True)
        return {**vars(counts), "refusals": dict(counts.refusals)}

    label = f"web_faults, {options.kills} kills"
    rows = in_pieces(work, len(every), label, options.file, options.seconds)
    if rows is None:
        return UNFINISHED
    whole = [WebCounts(**{**row, "refusals": Counter(row["refusals"])}) for row in rows]
    print(
        f"all: {sum(one.faults for one in whole)} faults, {sum(one.acknowledged for one in whole)} entries "
        f"acknowledged, {sum(one.lost for one in whole)} lost, {sum(one.twice for one in whole)} twice"
    )
    return int(any(one.bad for one in whole))


if __name__ == "__main__":
    sys.exit(main())
