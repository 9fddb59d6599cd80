"""Speed of the pages: the real server on loopback, Debian's Chromium on a processor slowed four times.

Gates: the first byte of every page (a plan's making excepted) comes within 100 ms once it is warm; every page
of a player with 20,000 balls comes within 1.5 times that of one with 200; the log needs less than 100 kB of
script and can be used within one second on the slowed processor, the first time and again.
"""

from __future__ import annotations

import argparse
import copy
import datetime
import http.client
import os
import re
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from benchmarks.machine import describe_machine
from benchmarks.records import BIG, MOST_RATIO, SMALL
from benchmarks.web_process import ServerProcess
from firstbounce.records.rows.balls import BallRow
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow
from firstbounce.records.rows.sessions import SessionKind, SessionRow
from firstbounce.services import greens, players, sessions
from firstbounce.services.store import Store, new_id, open_store
from firstbounce.words import Level, Point

TESTS = Path(__file__).parents[1] / "tests" / "web"
MOST_FIRST_BYTE_MS = 100.0
MOST_USABLE_MS = 1000.0
MOST_SCRIPT = 100_000  #: bytes
SLOWED = 4  #: times
ROUNDS = 15  #: of each page
PER_SESSION = 40  #: balls
OF_PLAYERS = ("player", "edit player", "ask", "log", "review", "drills", "drill", "lesson")
USABLE_MARK = """
  window.usable = new Promise((tell) => {
    new MutationObserver((_, watcher) => {
      const log = document.querySelector('#log, main h1');
      if (!log || log.matches('#log[hidden]') || document.readyState === 'loading') return;
      watcher.disconnect();
      requestAnimationFrame(() => setTimeout(() => tell(performance.now())));
    }).observe(document, { childList: true, subtree: true, attributes: true });
  });
"""


def put_player(store: Store, name: str, green_id: str, station_id: str, balls: int) -> dict[str, str]:
    """A player with so many balls in sessions of a usual size, each on a day of its own; gives the ids."""
    began = datetime.datetime(2024, 3, 1, 10, tzinfo=datetime.UTC)
    player, device, seq = new_id(), new_id(), 0
    players.add_player(store, PlayerRow(id=player, name=name, level=Level.TEN_TO_EIGHTEEN, made=began))
    for turn in range(balls // PER_SESSION):
        when = began + datetime.timedelta(days=turn)
        day, session = new_id(), new_id()
        greens.add_day(store, DayRow(id=day, green_id=green_id, date=when.date(), made=when))
        row = SessionRow(
            id=session,
            player_id=player,
            kind=SessionKind.PRACTICE,
            started=when,
            green_id=green_id,
            day_id=day,
            station_id=station_id,
        )
        sessions.start_session(store, row)
        sent = []
        for k in range(PER_SESSION):
            seq += 1
            landed, finished = Point(0.1 * (k % 7 - 3), 8 + 0.1 * (k % 9)), Point(0.2 * (k % 5 - 2), 13.5)
            sent.append(
                BallRow(
                    id=new_id(),
                    session_id=session,
                    device=device,
                    seq=seq,
                    made=when,
                    station_id=station_id,
                    club="SW",
                    start_m=Point(0, 0),
                    hole_m=Point(0, 14),
                    aim_m=Point(0, 8.4),
                    landed_m=landed,
                    finished_m=finished,
                )
            )
        assert not sessions.log_balls(store, sent).refused
    return {"player": player, "session": session, "day": day}


class Asker:
    """One connection that stays open, as a browser's does."""

    def __init__(self, port: int) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)

    def first_byte_ms(self, path: str) -> float:
        """From sending to the head of the answer."""
        began = time.perf_counter()
        self.connection.request("GET", path, headers={"Accept": "text/html"})
        answer = self.connection.getresponse()
        took = 1000 * (time.perf_counter() - began)
        answer.read()
        assert answer.status < 500, f"{path}: {answer.status}"
        return took


def first_bytes(port: int, paths: dict[str, str], rounds: int = ROUNDS) -> dict[str, list[float]]:
    """Rounds over all pages in turn, after one that warms them."""
    asker = Asker(port)
    for path in paths.values():
        asker.first_byte_ms(path)
    taken: dict[str, list[float]] = {name: [] for name in paths}
    for _ in range(rounds):
        for name, path in paths.items():
            taken[name].append(asker.first_byte_ms(path))
    return taken


def usable(browser: Any, url: str, paths: dict[str, str], rounds: int = 7) -> dict[str, dict[str, Any]]:
    """In Chromium on the slowed processor: until a page can be used [ms], first and again; script [bytes].

    `work`: processor time of the page's own thread in that [ms], which other programs do not lengthen.
    """
    empty: dict[str, Any] = {"first": [], "again": [], "work": [], "script": 0}
    found = {name: copy.deepcopy(empty) for name in paths}
    for _ in range(rounds):
        for name, path in paths.items():
            _open_twice(browser, url + path, found[name])
    return found


def _open_twice(browser: Any, address: str, found: dict[str, Any]) -> None:
    """A fresh phone opens a page, and opens it again."""
    size = {"width": 360, "height": 640}
    context = browser.new_context(viewport=size, has_touch=True, is_mobile=True)
    context.add_init_script(USABLE_MARK)
    page = context.new_page()
    page.set_default_timeout(60000)
    script: list[int] = []
    page.on("response", lambda one: script.append(_script_bytes(one)))
    tools = context.new_cdp_session(page)
    tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    tools.send("Performance.enable", {"timeDomain": "threadTicks"})
    for turn in ("first", "again"):
        page.goto(address)
        found[turn].append(page.evaluate("window.usable"))
        told = {one["name"]: one["value"] for one in tools.send("Performance.getMetrics")["metrics"]}
        found["work"].append(1000 * told["TaskDuration"])
        tools.send("Performance.disable")
        tools.send("Performance.enable", {"timeDomain": "threadTicks"})
        if turn == "first":
            page.wait_for_load_state("networkidle")
            found["script"] = max(found["script"], sum(script))
    context.close()


def in_chromium(url: str, paths: dict[str, str]) -> dict[str, dict[str, Any]]:
    """`usable` in Debian's Chromium."""
    sys.path.insert(0, str(TESTS))
    from playwright.sync_api import sync_playwright
    from web_server import CHROMIUM

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=CHROMIUM)
        try:
            return usable(browser, url, paths)
        finally:
            browser.close()


def _script_bytes(answer: Any) -> int:
    """Size of a module of the page itself."""
    if not re.search(r"/static/.*\.js$", answer.url) or answer.from_service_worker:
        return 0
    return len(answer.body())


def judge_first_bytes(taken: dict[str, list[float]], most_ms: float = MOST_FIRST_BYTE_MS) -> list[str]:
    """Print each page's median and slowest; gives what was missed."""
    missed = []
    for name, times in sorted(taken.items(), key=lambda item: -statistics.median(item[1])):
        median = statistics.median(times)
        print(f"  {name:16} {median:6.1f} ms, most {max(times):6.1f} ms")
        if median > most_ms:
            missed.append(f"first byte of {name}: {median:.0f} ms")
    return missed


def judge_ratio(small: dict[str, list[float]], big: dict[str, list[float]]) -> list[str]:
    """Print how a player with many balls opens, by the quicker quarter; gives what was missed."""
    missed = []
    for name, times in small.items():
        few, many = statistics.quantiles(times)[0], statistics.quantiles(big[name])[0]
        print(
            f"  {name:16} {few:6.1f} ms with {SMALL} balls, {many:6.1f} ms with {BIG}: {many / few:.2f} times"
        )
        if many > MOST_RATIO * few + 1.0:
            missed.append(f"{name} of a player with {BIG} balls: {many / few:.2f} times")
    return missed


def judge_usable(found: dict[str, dict[str, Any]]) -> list[str]:
    """Print when pages can be used; gives what was missed."""
    missed = []
    for name, told in found.items():
        first, again = statistics.median(told["first"]), statistics.median(told["again"])
        work = statistics.median(told["work"])
        print(
            f"  {name:16} {first:6.0f} ms, again {again:6.0f} ms, own work {work:.0f} ms, "
            f"{told['script'] / 1000:.0f} kB of script"
        )
        if max(first, again) > MOST_USABLE_MS:
            missed.append(f"{name} usable: {first:.0f} and {again:.0f} ms")
        if name == "log" and not 0 < told["script"] < MOST_SCRIPT:
            missed.append(f"script of the log: {told['script']} bytes")
    return missed


def paths_of(store: Store) -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    """Addresses of every page, and those of a player with few and with many balls."""
    sys.path.insert(0, str(TESTS))
    from web_pages import PAGES, address, put_world

    world = put_world(store)
    every = {name: address(world, name) for name in PAGES}
    of_players = []
    for name, balls in (("Few", SMALL), ("Many", BIG)):
        ids = vars(world) | put_player(store, name, world.green, world.station, balls)
        of_players.append({page: PAGES[page].format(**ids) for page in OF_PLAYERS})
    return every, of_players[0], of_players[1]


def main(argv: list[str] | None = None) -> int:
    """Measure; print; 1 when a gate is missed."""
    argparse.ArgumentParser(description=__doc__).parse_args(argv)
    print(describe_machine())
    with tempfile.TemporaryDirectory(prefix="fb-speed-") as folder:
        with open_store(Path(folder)) as store:
            every, few, many = paths_of(store)
        server = ServerProcess(Path(folder))
        server.start()
        try:
            print(f"first byte, median of {ROUNDS}, load {os.getloadavg()[0]:.1f}")
            missed = judge_first_bytes(first_bytes(server.port, every))
            both = first_bytes(
                server.port,
                {f"{name} of {which}": path for name in few for which, path in _two(few, many, name)},
                rounds=3 * ROUNDS,
            )
            taken = [{name: both[f"{name} of {which}"] for name in few} for which in ("few", "many")]
            print(f"a player with many balls, load {os.getloadavg()[0]:.1f}")
            missed += judge_ratio(taken[0], taken[1])
            slow = {"players": "/", "course": "/course", "player": many["player"], "log": many["log"]}
            print(f"usable on a processor slowed {SLOWED} times, load {os.getloadavg()[0]:.1f}")
            missed += judge_usable(in_chromium(server.url, slow))
        finally:
            server.stop()
    for one in missed:
        print(f"missed: {one}")
    return int(bool(missed))


def _two(few: dict[str, str], many: dict[str, str], name: str) -> tuple[tuple[str, str], ...]:
    return (("few", few[name]), ("many", many[name]))


if __name__ == "__main__":
    sys.exit(main())
