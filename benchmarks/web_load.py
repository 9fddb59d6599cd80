"""Fifty phones log into one server on loopback, in a process of its own: no error, nothing lost, how long.

First one ball each per five seconds, while plans run one after another; then as fast as they can. Prints p50
and p95 of one logged ball (from sending to its id being named), the throughput, and the server's memory.
Gates: no error, every ball there once and in order, and with SQLite p95 under 150 ms in the first part.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import httpx

from benchmarks.database_server import DatabaseServer
from benchmarks.machine import describe_machine
from benchmarks.web_phone import entry, new_id, placed
from benchmarks.web_process import ServerProcess

PHONES = 50
EVERY_S = 5.0  #: between the balls of a phone in the first part
MOST_WAIT_MS = 150.0
OUTLINE = [[-9, 4], [9, 4], [9, 22], [-9, 22]]


class Phone:
    """One phone with its own player and session."""

    def __init__(self, client: httpx.AsyncClient, seed: int) -> None:
        self.client, self.device, self.seq = client, new_id(), 0
        self.rng = random.Random(seed)
        self.player, self.session = new_id(), new_id()
        self.sent: list[str] = []
        self.took: list[float] = []

    async def begin(self) -> None:
        """A player and a session."""
        name = {"name": f"Phone {self.device[:4]}", "level": "10 to 18"}
        session = {"player_id": self.player, "kind": "clinic"}
        await self._send(
            [self._row("player", name, self.player), self._row("session", session, self.session)]
        )
        self.took.clear()
        self.sent.clear()

    async def ball(self) -> None:
        """One ball."""
        await self._send([self._row("ball", placed(self.session, self.rng))])

    def _row(self, kind: str, body: dict[str, Any], row_id: str | None = None) -> dict[str, Any]:
        self.seq += 1
        return entry(self.device, self.seq, kind, body, row_id)

    async def _send(self, rows: list[dict[str, Any]]) -> None:
        """Send and check that every id is named."""
        began = time.perf_counter()
        answer = await self.client.post("/api/outbox", json={"v": 1, "rows": rows})
        self.took.append(time.perf_counter() - began)
        answer.raise_for_status()
        told = answer.json()
        assert told["stored"] == [one["id"] for one in rows], told
        self.sent += told["stored"]


class Planner:
    """A coach who asks for one plan after another."""

    def __init__(self, client: httpx.AsyncClient) -> None:
        self.client = client
        self.took: list[float] = []
        self._asked: dict[str, Any] = {}

    async def begin(self) -> None:
        """A player, a green and a day; a first plan, so that the second does not pay for loading."""
        device, player, green, day = (new_id() for _ in range(4))
        rows = [
            entry(device, 1, "player", {"name": "Planned", "level": "10 to 18"}, player),
            entry(device, 2, "green", {"name": "Practice green"}, green),
            entry(device, 3, "shape", {"green_id": green, "outline": OUTLINE}),
            entry(device, 4, "day", {"green_id": green}, day),
        ]
        answer = await self.client.post("/api/outbox", json={"v": 1, "rows": rows})
        assert len(answer.json()["stored"]) == len(rows), answer.text
        station = {"name": "Gate", "start_m": [0, 0], "hole_m": [1, 15], "lie": {"kind": "fairway"}}
        self._asked = {"player_id": player, "day_id": day, "station": station}
        await self._plan()
        self.took.clear()

    async def go_on(self) -> None:
        """Plans until cancelled."""
        while True:
            await self._plan()

    async def _plan(self) -> None:
        began = time.perf_counter()
        answer = await self.client.post("/api/plans", json=self._asked)
        answer.raise_for_status()
        while True:
            job = (await self.client.get(f"/api/jobs/{answer.json()['job']}")).json()
            if job["state"] not in ("waiting", "working"):
                break
            await asyncio.sleep(0.3)
        assert job["state"] == "done", job
        self.took.append(time.perf_counter() - began)


async def paced(phones: list[Phone], seconds: float, every_s: float) -> None:
    """Every phone a ball each `every_s`; 0 is as fast as it can."""
    until = time.perf_counter() + seconds

    async def one(phone: Phone) -> None:
        await asyncio.sleep(phone.rng.uniform(0, every_s))
        while time.perf_counter() < until:
            began = time.perf_counter()
            await phone.ball()
            await asyncio.sleep(max(0.0, every_s - (time.perf_counter() - began)))

    await asyncio.gather(*(one(phone) for phone in phones))


def told(words: str, phones: list[Phone], spent_s: float, server: ServerProcess) -> float:
    """Print the figures of a part and forget them; gives p95 [ms]."""
    took = sorted(1000 * one for phone in phones for one in phone.took)
    p50, p95, p99 = (took[int(share * (len(took) - 1))] for share in (0.5, 0.95, 0.99))
    print(
        f"{words}: {len(took)} balls, {len(took) / spent_s:.0f} a second, p50 {p50:.0f} ms, "
        f"p95 {p95:.0f} ms, p99 {p99:.0f} ms, most {took[-1]:.0f} ms; memory {server.memory_mb():.0f} MB, "
        f"load {os.getloadavg()[0]:.1f}"
    )
    for phone in phones:
        phone.took.clear()
    return p95


async def run(seconds: float, server: ServerProcess) -> float:
    """Both parts, then a count of what the server has; gives p95 of the first part [ms]."""
    limits = httpx.Limits(max_connections=PHONES + 2)
    async with httpx.AsyncClient(base_url=server.url, timeout=60, limits=limits) as client:
        phones = [Phone(client, seed) for seed in range(PHONES)]
        planner = Planner(client)
        for one in (*phones, planner):
            await one.begin()
        plans = asyncio.create_task(planner.go_on())
        began = time.perf_counter()
        await paced(phones, seconds, EVERY_S)
        spent = time.perf_counter() - began
        assert not plans.done() or plans.result() is None
        plans.cancel()
        p95 = told("one ball each per 5 s, plans beside it", phones, spent, server)
        each = spent / max(1, len(planner.took))
        print(f"  {len(planner.took)} plans one after another, {each:.1f} s each")
        began = time.perf_counter()
        await paced(phones, seconds, 0.0)
        told("as fast as they can", phones, time.perf_counter() - began, server)
        for phone in phones:
            kept = (await client.get(f"/api/sessions/{phone.session}/balls")).json()["balls"]
            there = [one["ball"]["id"] for one in kept]
            assert there == phone.sent, "a ball is lost, doubled or out of order"
        print(f"every one of {sum(len(phone.sent) for phone in phones)} balls is there once and in order")
        return p95


def main(argv: list[str] | None = None) -> int:
    """Start a server in a folder of its own, load it, stop it; 1 when p95 is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=30.0, help="of each part")
    parser.add_argument("--postgresql", action="store_true", help="on PostgreSQL, which has no gate")
    options = parser.parse_args(argv)
    print(describe_machine())
    database = DatabaseServer(durable=True) if options.postgresql else None
    with tempfile.TemporaryDirectory(prefix="fb-load-") as folder:
        server = ServerProcess(Path(folder), database.url("load") if database else None)
        try:
            server.start()
            p95 = asyncio.run(run(options.seconds, server))
        finally:
            server.stop()
            if database:
                database.close()
    if server.tracebacks():
        print("".join(server.words))
        return 1
    return int(database is None and p95 > MOST_WAIT_MS)


if __name__ == "__main__":
    sys.exit(main())
