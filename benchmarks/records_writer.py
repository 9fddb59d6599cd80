"""A process that logs balls without end and notes each one that was acknowledged, until someone kills it."""

from __future__ import annotations

import datetime
import os
import resource
import threading
import time
from pathlib import Path

from firstbounce.errors import StoreError
from firstbounce.records.rows.balls import BallKind, BallRow
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.sessions import SessionKind, SessionRow
from firstbounce.services import players, sessions
from firstbounce.services.store import Store, new_id, open_store
from firstbounce.words import Level

PHONES = 3  #: threads that log at the same time
BATCH = 3  #: balls sent at once: a new one and two that were sent before
NOW = datetime.datetime(2026, 5, 14, 12, tzinfo=datetime.UTC)


def a_session(store: Store) -> str:
    """A new player's session; gives its id."""
    player = PlayerRow(id=new_id(), name="Invented", level=Level.BEGINNER, made=NOW)
    players.add_player(store, player)
    session = SessionRow(id=new_id(), player_id=player.id, kind=SessionKind.PRACTICE, started=NOW)
    sessions.start_session(store, session)
    return session.id


def a_ball(session: str, device: str, seq: int) -> BallRow:
    """A placed ball."""
    return BallRow(
        id=new_id(),
        session_id=session,
        device=device,
        seq=seq,
        made=NOW,
        club="PW",
        start_m=(0, -4),
        hole_m=(1, 11),
        aim_m=(0.2, 3),
        landed_m=(0.1 + seq % 7, 2.8),
        finished_m=(0.9, 10.2),
    )


def write(
    folder: Path, url: str | None, session: str, acks: Path, seconds: float, largest_file: int | None = None
) -> None:
    """Log balls from several phones until the time is over or the process dies.

    Each acknowledged id is one line of `acks`, written in one call after the store has answered: what stands
    there was acknowledged. A refusal of the store (busy, full, away) is a line that begins with "-", and the
    same balls are sent again, as a phone does. `largest_file`: bytes, to make the disk look full.
    """
    if largest_file is not None:
        import signal

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))
    out = os.open(acks, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    end = time.monotonic() + seconds
    store = _opened(folder, url, out, end)
    if store is None:
        return
    threads = [threading.Thread(target=_phone, args=(store, session, out, end)) for _ in range(PHONES)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    store.close()


def _opened(folder: Path, url: str | None, out: int, end: float) -> Store | None:
    while time.monotonic() < end:
        try:
            return open_store(folder, url)
        except StoreError as error:
            _refused(out, error)
    return None


def _phone(store: Store, session: str, out: int, end: float) -> None:
    device, sent = new_id(), [a_ball(session, new_id(), 0)]
    known: set[str] = set()
    seq = 0
    while time.monotonic() < end:
        seq += 1
        ball = a_ball(session, device, seq)
        if seq % 10 == 0:
            ball = BallRow(
                id=new_id(),
                session_id=session,
                kind=BallKind.WITHDRAWN,
                device=device,
                seq=seq,
                made=NOW,
                corrects_id=sent[-1].id,
            )
        sent = [*sent[-BATCH + 1 :], ball]
        _send(store, sent, known, out, end)


def _send(store: Store, balls: list[BallRow], known: set[str], out: int, end: float) -> None:
    while time.monotonic() < end:
        try:
            kept = sessions.log_balls(store, balls).kept
        except StoreError as error:
            _refused(out, error)
            continue
        for ball_id in kept:
            if ball_id not in known:
                known.add(ball_id)
                os.write(out, f"{ball_id}\n".encode())
        return


def _refused(out: int, error: StoreError) -> None:
    os.write(out, f"- {error}\n".encode())
    time.sleep(0.05)
