"""Fifty phones log into one server on loopback, in a process of its own: no error, nothing lost, how long.

    python -m benchmarks.web_load [seconds]

First one ball each per five seconds, then as fast as they can. Prints p50 and p95 of one logged ball (from
sending to its id being named), the throughput, and the server's memory.
"""

from __future__ import annotations

import asyncio
import datetime
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path

import httpx

from benchmarks.machine import describe_machine

PHONES = 50
PORT = 18450


def new_id() -> str:
    """32 hexadecimal digits."""
    return uuid.uuid4().hex


def row(
    device: str, seq: int, kind: str, body: dict[str, object], row_id: str | None = None
) -> dict[str, object]:
    """An entry as a phone sends it."""
    now = datetime.datetime.now(datetime.UTC).isoformat()
    head = {"id": row_id or new_id(), "v": 1, "kind": kind, "device": device, "seq": seq}
    return {**head, "made_at": now, "offset_min": 0, "body": body}


class Phone:
    """One phone with its own player and session."""

    def __init__(self, client: httpx.AsyncClient) -> None:
        self.client, self.device, self.seq = client, new_id(), 0
        self.session = new_id()
        self.sent: list[str] = []
        self.took: list[float] = []

    async def begin(self) -> None:
        """A player, a station and a session."""
        player, station = new_id(), new_id()
        rows = [
            row(self.device, 1, "player", {"name": f"Phone {self.device[:4]}", "level": "10 to 18"}, player),
            row(self.device, 2, "station", {"name": "Gate", "start_m": [0, 0], "hole_m": [0, 14]}, station),
            row(
                self.device,
                3,
                "session",
                {"player_id": player, "kind": "clinic", "station_id": station},
                self.session,
            ),
        ]
        await self.send(rows)
        self.seq = 3
        self.took.clear()
        self.sent.clear()

    async def send(self, rows: list[dict[str, object]]) -> None:
        """Send and check that every id is named."""
        began = time.perf_counter()
        answer = await self.client.post("/api/outbox", json={"v": 1, "rows": rows})
        self.took.append(time.perf_counter() - began)
        answer.raise_for_status()
        told = answer.json()
        assert told["stored"] == [one["id"] for one in rows], told
        self.sent += told["stored"]

    async def ball(self) -> None:
        """One ball."""
        self.seq += 1
        landed = [random.gauss(0, 0.5), random.gauss(8, 0.8)]
        body = {
            "session_id": self.session,
            "kind": "placed",
            "club": "SW",
            "start_m": [0, 0],
            "hole_m": [0, 14],
            "landed_m": landed,
        }
        await self.send([row(self.device, self.seq, "ball", body)])


async def paced(phones: list[Phone], seconds: float, every_s: float) -> None:
    """Every phone a ball each `every_s`; 0 is as fast as it can."""
    until = time.perf_counter() + seconds

    async def one(phone: Phone) -> None:
        await asyncio.sleep(random.uniform(0, every_s))
        while time.perf_counter() < until:
            began = time.perf_counter()
            await phone.ball()
            await asyncio.sleep(max(0.0, every_s - (time.perf_counter() - began)))

    await asyncio.gather(*(one(phone) for phone in phones))


async def run(seconds: float, pid: int) -> None:
    """Both loads, then a count of what the server has."""
    limits = httpx.Limits(max_connections=PHONES)
    async with httpx.AsyncClient(base_url=f"http://127.0.0.1:{PORT}", timeout=60, limits=limits) as client:
        phones = [Phone(client) for _ in range(PHONES)]
        for phone in phones:
            await phone.begin()
        for words, every_s in (("one ball each per 5 s", 5.0), ("as fast as they can", 0.0)):
            before = sum(len(phone.sent) for phone in phones)
            for phone in phones:
                phone.took.clear()
            began = time.perf_counter()
            await paced(phones, seconds, every_s)
            took = sorted(one for phone in phones for one in phone.took)
            n, spent = sum(len(phone.sent) for phone in phones) - before, time.perf_counter() - began
            print(
                f"{words}: {n} balls, {n / spent:.0f} a second, p50 {1000 * took[len(took) // 2]:.0f} ms,"
                f" p95 {1000 * took[int(0.95 * len(took))]:.0f} ms, memory {memory_mb(pid):.0f} MB"
            )
        for phone in phones:
            kept = (await client.get(f"/api/sessions/{phone.session}/balls")).json()["balls"]
            assert [one["ball"]["id"] for one in kept] == phone.sent, (
                "a ball is lost, doubled or out of order"
            )
        print(f"every one of {sum(len(phone.sent) for phone in phones)} balls is there once and in order")


def memory_mb(pid: int) -> float:
    """Resident memory of a process [MB]; 0 where it cannot be told."""
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except OSError:
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def main(seconds: float) -> None:
    """Start a server in a folder of its own, load it, stop it."""
    print(describe_machine())
    with tempfile.TemporaryDirectory() as folder:
        words = ["-m", "firstbounce", "serve", "--no-browser", "--port", str(PORT), "--data", folder]
        server = subprocess.Popen([sys.executable, *words], stdout=subprocess.PIPE, text=True)
        try:
            assert server.stdout is not None
            while "Stop with" not in server.stdout.readline():
                if server.poll() is not None:
                    raise SystemExit("the server did not start")
            asyncio.run(run(seconds, server.pid))
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(20)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 20.0)
