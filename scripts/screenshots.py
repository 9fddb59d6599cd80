"""Every page at 360 x 640 and 1280 x 800, with the invented players; `make screenshots` writes them."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "web"))
SIZES = ((360, 640), (1280, 800))


def main(folder: Path) -> None:
    """Serve the demo on loopback, open every page, save what it looks like."""
    from playwright.sync_api import sync_playwright
    from web_server import CHROMIUM, SECRET, Server

    from firstbounce.services import desk, greens
    from firstbounce.services.demo_records import put_demo
    from firstbounce.services.players import player_list
    from firstbounce.services.sessions import last_session
    from firstbounce.services.store import open_store
    from firstbounce.web.app import create_app
    from firstbounce.web.settings import Settings

    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as data, open_store(Path(data)) as store:
        put_demo(store)
        player = next(line.id for line in player_list(store) if line.name == "Ada Quill")
        session = last_session(store, player)
        assert session is not None and session.station_id and session.day_id
        plan = desk.plan_for(store, player, session.day_id, greens.station(store, session.station_id)).id
        desk.review_session(store, session.id)
        server = Server(lambda: create_app(store, Settings(secret=SECRET))).start()
        try:
            with sync_playwright() as playwright:
                path = shutil.which("chromium")
                browser = playwright.chromium.launch(executable_path=path, args=CHROMIUM)
                for width, height in SIZES:
                    size = {"width": width, "height": height}
                    page = browser.new_context(viewport=size, service_workers="block").new_page()
                    page.set_default_timeout(120000)
                    for name, address in pages(player, session.id, session.green_id or "", plan).items():
                        page.goto(server.url + address)
                        page.wait_for_load_state("networkidle")
                        page.screenshot(path=folder / f"{name}-{width}.png", full_page=True)
                browser.close()
        finally:
            server.stop()
    print(f"wrote {2 * len(pages('', '', '', ''))} pictures into {folder}")


def pages(player: str, session: str, green: str, plan: str) -> dict[str, str]:
    """Every page by name."""
    return {
        "players": "/",
        "new-player": "/players/new",
        "player": f"/players/{player}",
        "edit-player": f"/players/{player}/edit",
        "course": "/course",
        "today": "/today",
        "green": f"/greens/{green}",
        "ask": f"/players/{player}/plan",
        "plan": f"/plans/{plan}",
        "show": f"/plans/{plan}/show",
        "log": f"/sessions/{session}/log",
        "review": f"/sessions/{session}/review",
        "drills": f"/players/{player}/drills",
        "drill": f"/players/{player}/drills/12",
        "lesson": f"/players/{player}/lesson",
        "settings": "/settings",
        "trust": "/trust",
        "sign-in": "/sign-in",
        "failed": "/no-such-page",
    }


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "screenshots"))
