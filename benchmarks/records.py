"""Speed of the records: a player with 20,000 balls against one with 200, and the lane of writes under load.

Gates: the big player's page takes at most 1.5 times the small one's; 50 phones that log a ball each 5 s wait
less than 150 ms at the 95th percentile on SQLite; nothing is lost. Other figures are printed only.
"""

from __future__ import annotations

import argparse
import datetime
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from benchmarks.database_server import DatabaseServer, server_programs
from benchmarks.records_writer import a_ball, a_session
from firstbounce.services import lessons, players, sessions
from firstbounce.services.backup import backup
from firstbounce.services.store import Store, new_id, open_store

SMALL, BIG = 200, 20_000  #: balls
MOST_RATIO = 1.5
MOST_WAIT_MS = 150.0
PHONES = 50
PACE_S = 5.0  #: between the balls of one phone
ROUNDS = 60  #: of each page, alternating


def fill(store: Store, balls: int, per_session: int = 40) -> str:
    """A player with so many balls in sessions of a usual size, sent ten at once; gives the player's id."""
    session = a_session(store)
    player_id = sessions.session(store, session).player_id
    device = new_id()
    for first in range(0, balls, 10 * per_session):
        sent = []
        for seq in range(first, min(balls, first + 10 * per_session)):
            if seq and seq % per_session == 0:
                session = _next_session(store, player_id)
            sent.append(a_ball(session, device, seq))
        sessions.log_balls(store, sent)
    return player_id


def _next_session(store: Store, player_id: str) -> str:
    last = sessions.last_session(store, player_id)
    assert last is not None
    later = replace(last, id=new_id(), started=last.started + datetime.timedelta(days=1))
    sessions.start_session(store, later)
    return later.id


def pages(store: Store, player_id: str) -> dict[str, Callable[[], object]]:
    """What opening a player asks of the records."""
    oldest = sessions.player_balls(store, player_id, limit=1)[0].arrival - 60
    last = sessions.last_session(store, player_id)
    assert last is not None
    return {
        "card of the player": lambda: lessons.player_card(store, player_id),
        "first page of balls": lambda: sessions.player_balls(store, player_id, limit=50),
        "a later page of balls": lambda: sessions.player_balls(store, player_id, before=oldest, limit=50),
        "balls of the last session": lambda: sessions.session_balls(store, last.id),
        "sessions": lambda: sessions.sessions(store, player_id, limit=SMALL // 40),
        "number of balls": lambda: players.ball_count(store, player_id),
    }


def compare(store: Store, small: str, big: str) -> dict[str, tuple[float, float]]:
    """Median time [ms] of each page, small and big player asked in turn."""
    found = {}
    for (name, ask_small), (_, ask_big) in zip(
        pages(store, small).items(), pages(store, big).items(), strict=True
    ):
        taken: tuple[list[float], list[float]] = ([], [])
        for _ in range(ROUNDS):
            for ask, times in zip((ask_small, ask_big), taken, strict=True):
                times.append(_ms(ask))
        found[name] = (statistics.median(taken[0]), statistics.median(taken[1]))
    return found


def load(store: Store, balls_each: int, pace_s: float) -> tuple[list[float], float, int]:
    """Phones that log one ball at a time: waits [ms], seconds taken, and balls that are there afterwards."""
    session = a_session(store)
    waits: list[float] = []

    def phone(place: int) -> None:
        device = new_id()
        time.sleep(pace_s * place / PHONES)
        for seq in range(balls_each):
            start = time.perf_counter()
            kept = sessions.log_balls(store, [a_ball(session, device, seq)]).kept
            waits.append(1000 * (time.perf_counter() - start) if kept else float("inf"))
            time.sleep(max(0.0, pace_s - (time.perf_counter() - start)))

    threads = [threading.Thread(target=phone, args=(i,)) for i in range(PHONES)]
    start = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return waits, time.perf_counter() - start, len(sessions.session_balls(store, session))


def judge(store: Store, name: str, balls_each: int = 4, flat_out: int = 20) -> bool:
    """Print the figures of one database; True when a gate is missed."""
    start = time.perf_counter()
    small, big = fill(store, SMALL), fill(store, BIG)
    print(f"{name}: {SMALL + BIG} balls in {time.perf_counter() - start:.1f} s, 400 at a time")
    missed = False
    for page, (of_small, of_big) in compare(store, small, big).items():
        ratio = of_big / of_small
        missed |= ratio > MOST_RATIO
        print(f"  {page:28} {of_small:7.2f} ms with {SMALL}, {of_big:7.2f} ms with {BIG}: {ratio:.2f} times")
    for words, each, pace in (
        ("a ball each 5 s", balls_each, PACE_S),
        ("as fast as they can", flat_out, 0.0),
    ):
        waits, seconds, there = load(store, each, pace)
        ninety_five = statistics.quantiles(waits, n=20)[-1]
        missed |= there != PHONES * each or (pace > 0 and store.is_file and ninety_five > MOST_WAIT_MS)
        print(
            f"  {PHONES} phones, {words}: median {statistics.median(waits):.1f} ms, "
            f"95 % within {ninety_five:.1f} ms; {there} of {PHONES * each} balls there, "
            f"{there / seconds:.0f} a second"
        )
    print(f"  backup while open: {_ms(lambda: backup(store)) / 1000:.2f} s")
    return missed


def _ms(ask: Callable[[], object]) -> float:
    start = time.perf_counter()
    ask()
    return 1000 * (time.perf_counter() - start)


def main(argv: list[str] | None = None) -> int:
    """Measure on SQLite, and on PostgreSQL where it is installed."""
    argparse.ArgumentParser(description=__doc__).parse_args(argv)
    with tempfile.TemporaryDirectory(prefix="fb-records-") as folder:
        start = time.perf_counter()
        with open_store(Path(folder) / "sqlite") as store:
            print(f"a new database: {time.perf_counter() - start:.2f} s")
            missed = judge(store, "SQLite")
        print(f"opened again: {_ms(lambda: open_store(Path(folder) / 'sqlite').close()):.0f} ms")
        if server_programs() is None:
            print("PostgreSQL is not installed: not measured")
            return missed
        server = DatabaseServer(durable=True)
        try:
            with open_store(Path(folder) / "server", server.url("speed")) as store:
                missed |= judge(store, "PostgreSQL")
        finally:
            server.close()
    return missed


if __name__ == "__main__":
    sys.exit(main())
