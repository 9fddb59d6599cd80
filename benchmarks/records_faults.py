"""What happens to logged balls when something breaks; prints the counts. Exit status 1 when any ball is lost.

kill -9 of a writing process, a full disk, a locked database, a log torn off and copied away, PostgreSQL
restarted. Everything in temporary folders and on Unix sockets; every process is bounded and ended.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import random
import shutil
import signal
import sqlite3
import struct
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing.process import BaseProcess
from pathlib import Path

from benchmarks import records_writer as writer
from benchmarks.database_server import DatabaseServer
from firstbounce.records.balls import count_anew
from firstbounce.records.engine import FILE_NAME
from firstbounce.services.store import Store, open_store

LONGEST_S = 60.0  #: that a writer runs when nobody ends it
SMALL_DISK = "size=3m"
SMALL_FILE = 1_500_000  #: bytes, where no small disk can be mounted
LOG_HEADER, LOG_FRAME = 32, 24 + 4096  #: bytes; sqlite.org/walformat.html, read
SPAWN = multiprocessing.get_context("forkserver")
SPAWN.set_forkserver_preload(["benchmarks.records_writer"])


@dataclass
class Counts:
    """What came of one kind of fault."""

    name: str
    faults: int = 0
    acknowledged: int = 0
    lost: int = 0
    twice: int = 0
    damaged: int = 0  #: databases that failed their own check, or whose counts are out of step
    unacknowledged: int = 0  #: kept, but the process died before it could say so: the phone sends them again
    refusals: Counter[str] = field(default_factory=Counter)
    words: str = ""

    @property
    def bad(self) -> int:
        return self.lost + self.twice + self.damaged

    def __str__(self) -> str:
        said = (
            f"{self.name:36} {self.faults:4} faults {self.acknowledged:7} acknowledged {self.lost:3} lost "
            f"{self.twice:3} twice {self.damaged:3} damaged {self.unacknowledged:5} kept unsaid"
        )
        more = [f"{number} x {told}" for told, number in self.refusals.most_common(3)]
        return "\n    ".join([said, *([self.words] if self.words else []), *more])


def kill_nine(kills: int, url: str | None = None, seed: int = 1) -> Counts:
    """Kill a writing process without warning, again and again, on one database."""
    counts = Counts(f"kill -9, {'PostgreSQL' if url else 'SQLite'}")
    rng = random.Random(seed)
    with _folder() as folder:
        with open_store(folder, url) as store:
            session = writer.a_session(store)
        for turn in range(kills):
            acks = folder / f"acks-{turn}"
            process = _start(folder, url, session, acks)
            _wait_for(acks)
            time.sleep(rng.uniform(0.0, 0.25))
            process.kill()
            process.join(30)
            counts.faults += 1
        _judge(counts, folder, url)
    return counts


def disk_full(rounds: int = 3) -> Counts:
    """Log until the disk is full, make room, go on."""
    counts = Counts("disk full, SQLite")
    for _ in range(rounds):
        with small_disk() as (folder, largest):
            counts.words = (
                "a small tmpfs" if largest is None else "no tmpfs here: a limit on the size of files"
            )
            with open_store(folder) as store:
                session = writer.a_session(store)
            filler = folder / "filler"
            if largest is None:
                filler.write_bytes(b"\0" * 1_000_000)
            with _folder() as aside:
                _until_full(folder, session, aside / "acks-0", largest)
                counts.faults += 1
                filler.unlink(missing_ok=True)
                go_on = _start(folder, None, session, aside / "acks-1", seconds=1.5)
                go_on.join(LONGEST_S)
                _judge(counts, folder, None, aside)
                assert _acknowledged(aside / "acks-1")[0], "after making room the log goes on"
    return counts


def locked(rounds: int = 2) -> Counts:
    """Another program holds the write lock: shorter and longer than a writer waits."""
    counts = Counts("database locked, SQLite")
    with _folder() as folder:
        with open_store(folder) as store:
            session = writer.a_session(store)
        for turn, held_s in enumerate([2.0, 7.0] * rounds):
            acks = folder / f"acks-{turn}"
            process = _start(folder, None, session, acks, seconds=held_s + 3)
            _wait_for(acks)
            hold_lock(folder, held_s)
            process.join(LONGEST_S)
            counts.faults += 1
        _judge(counts, folder, None)
    return counts


def hold_lock(folder: Path, held_s: float) -> None:
    """Another program that holds the write lock of the records for so long [s]."""
    other = sqlite3.connect(folder / FILE_NAME, timeout=20)
    other.execute("begin immediate")
    time.sleep(held_s)
    other.rollback()
    other.close()


def torn_log(copies: int = 30, seed: int = 2) -> Counts:
    """Copy the database and a torn or spoiled write-ahead log away while balls are logged.

    The copy must open, hold whole balls only, each once, and be a beginning of the log.
    """
    counts = Counts("torn log copied away, SQLite")
    rng = random.Random(seed)
    with _folder() as folder:
        with open_store(folder) as store:
            session = writer.a_session(store)
        acks = folder / "acks-0"
        process = _start(folder, None, session, acks)
        assert process.pid is not None
        shortest = []
        try:
            _wait_for(acks)
            for turn in range(copies):
                time.sleep(0.05)
                copy = folder / f"copy-{turn}"
                copy.mkdir()
                copy_torn(process.pid, folder, copy, rng, spoil=turn % 3 == 2)
                counts.faults += 1
        finally:
            process.kill()
            process.join(30)
        order = _arrivals(folder)
        for turn in range(copies):
            copy = folder / f"copy-{turn}"
            counts.damaged += not is_sound(copy)
            here = _arrivals(copy)
            counts.lost += here != order[: len(here)]
            counts.twice += len(here) - len(set(here))
            shortest.append(len(here))
        counts.words = (
            f"copies hold the first {min(shortest)} to {max(shortest)} of {len(order)} balls, in order"
        )
        _judge(counts, folder, None)
    return counts


def server_restarted(restarts: int = 6) -> Counts:
    """Restart PostgreSQL under a writer: told to stop, and as if it had crashed."""
    counts = Counts("PostgreSQL restarted while writing")
    server = DatabaseServer(durable=True)
    try:
        url = server.url("faults")
        with _folder() as folder:
            with open_store(folder, url) as store:
                session = writer.a_session(store)
            acks = folder / "acks-0"
            process = _start(folder, url, session, acks, seconds=LONGEST_S)
            try:
                for turn in range(restarts):
                    before = _wait_for(acks, more_than=len(_acknowledged(acks)[0]))
                    time.sleep(0.3)
                    server.stop(signal.SIGQUIT if turn % 2 else signal.SIGINT)
                    server.start()
                    counts.faults += 1
                    _wait_for(acks, more_than=before)
            finally:
                process.kill()
                process.join(30)
            _judge(counts, folder, url)
    finally:
        server.close()
    return counts


def killed_on_server(kills: int) -> Counts:
    """As `kill_nine`, on a PostgreSQL of its own."""
    server = DatabaseServer(durable=True)
    try:
        return kill_nine(kills, server.url("faults"))
    finally:
        server.close()


def _start(
    folder: Path,
    url: str | None,
    session: str,
    acks: Path,
    *,
    seconds: float = LONGEST_S,
    largest: int | None = None,
) -> BaseProcess:
    process = SPAWN.Process(
        target=writer.write, args=(folder, url, session, acks, seconds, largest), daemon=True
    )
    process.start()
    return process


def _until_full(folder: Path, session: str, acks: Path, largest: int | None) -> None:
    process = _start(folder, None, session, acks, largest=largest)
    try:
        end = time.monotonic() + LONGEST_S
        while time.monotonic() < end and sum(_acknowledged(acks)[1].values()) < 10:
            time.sleep(0.1)
    finally:
        process.kill()
        process.join(30)


def _wait_for(acks: Path, more_than: int = 0) -> int:
    """Wait until more balls than that were acknowledged; gives how many."""
    end = time.monotonic() + LONGEST_S
    while time.monotonic() < end:
        number = len(_acknowledged(acks)[0])
        if number > more_than:
            return number
        time.sleep(0.01)
    raise TimeoutError(f"no further ball was acknowledged in {LONGEST_S:g} s: {_acknowledged(acks)[1]}")


def _acknowledged(acks: Path) -> tuple[list[str], Counter[str]]:
    lines = acks.read_text().splitlines() if acks.exists() else []
    return [one for one in lines if not one.startswith("-")], Counter(
        one[2:] for one in lines if one[0] == "-"
    )


def _judge(counts: Counts, folder: Path, url: str | None, notes: Path | None = None) -> None:
    """Open what is left and compare it with what was acknowledged."""
    said: list[str] = []
    for acks in sorted((notes or folder).glob("acks-*")):
        ids, refusals = _acknowledged(acks)
        said += ids
        counts.refusals += refusals
    if url is None:
        counts.damaged += not is_sound(folder)
    with open_store(folder, url) as store:
        here = _ids(store)
        counts.damaged += out_of_step(store)
    counts.acknowledged += len(said)
    counts.lost += len(set(said) - set(here))
    counts.twice += len(here) - len(set(here))
    counts.unacknowledged += len(set(here) - set(said))


def _ids(store: Store) -> list[str]:
    with store.read() as connection:
        return [row[0] for row in connection.exec_driver_sql("select id from ball order by arrival")]


def out_of_step(store: Store) -> int:
    """Players whose number of balls is not what a count gives."""
    with store.read() as connection:
        players = connection.exec_driver_sql("select id, balls from player").all()
        return sum(count_anew(connection, player_id) != balls for player_id, balls in players)


def is_sound(folder: Path) -> bool:
    """Whether SQLite finds the database whole, and every row its parents."""
    database = sqlite3.connect(folder / FILE_NAME)
    try:
        whole = database.execute("pragma integrity_check").fetchone() == ("ok",)
        return whole and database.execute("pragma foreign_key_check").fetchone() is None
    except sqlite3.DatabaseError:
        return False
    finally:
        database.close()


def _arrivals(folder: Path) -> list[str]:
    with open_store(folder) as store:
        return _ids(store)


def copy_torn(pid: int, folder: Path, copy: Path, rng: random.Random, *, spoil: bool) -> None:
    """The files as of one moment; then the log is cut, or a byte of it changed, where it may be torn.

    What the log has handed over to the database was forced to disk before: only what comes after can be torn.
    """
    os.kill(pid, signal.SIGSTOP)
    try:
        for path in folder.glob(f"{FILE_NAME}*"):
            shutil.copyfile(path, copy / path.name)
    finally:
        os.kill(pid, signal.SIGCONT)
    index = (copy / f"{FILE_NAME}-shm").read_bytes()
    (copy / f"{FILE_NAME}-shm").unlink()
    frames, (handed_over,) = struct.unpack_from("<I", index, 16)[0], struct.unpack_from("<I", index, 128)
    place = copy / f"{FILE_NAME}-wal"
    log = bytearray(place.read_bytes())
    low, high = (LOG_HEADER + min(number, frames) * LOG_FRAME for number in (handed_over, frames))
    at = rng.randint(low, max(low, high - 1))
    if spoil and at < len(log):
        log[at] ^= 0xFF
    else:
        log = log[:at]
    place.write_bytes(log)


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="fb-faults-") as name:
        yield Path(name)


@contextmanager
def small_disk() -> Iterator[tuple[Path, int | None]]:
    """A folder on a disk of 3 MB; where none can be mounted, a limit on the size of files instead."""
    with _folder() as folder:
        mounted = os.geteuid() == 0 and _run("mount", "-t", "tmpfs", "-o", SMALL_DISK, "tmpfs", str(folder))
        try:
            yield folder, None if mounted else SMALL_FILE
        finally:
            if mounted:
                _run("umount", "-l", str(folder))


def _run(*words: str) -> bool:
    try:
        return subprocess.run(words, check=False, capture_output=True, timeout=20).returncode == 0
    except OSError:
        return False


def main(argv: list[str] | None = None) -> int:
    """Break everything; print the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    options = parser.parse_args(argv)
    every = [
        lambda: kill_nine(options.kills),
        lambda: killed_on_server(options.kills),
        disk_full,
        locked,
        torn_log,
        server_restarted,
    ]
    bad = 0
    for fault in every:
        start = time.perf_counter()
        counts = fault()
        print(counts, f"[{time.perf_counter() - start:.0f} s]", flush=True)
        bad += counts.bad
    return bool(bad)


if __name__ == "__main__":
    sys.exit(main())
