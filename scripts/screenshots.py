"""Every page at 360 x 640 and 1280 x 800, with the invented players; `make screenshots` writes them."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "web"))
SIZES = ((360, 640), (1280, 800))


def main(folder: Path, only: str = "") -> None:
    """Serve the demo on loopback, open every page (or those whose names hold `only`), save its looks."""
    from playwright.sync_api import sync_playwright
    from web_pages import PAGES, address, put_world
    from web_server import CHROMIUM, SECRET, Server

    from firstbounce.services.store import open_store
    from firstbounce.web.app import create_app
    from firstbounce.web.settings import Settings

    folder.mkdir(parents=True, exist_ok=True)
    wanted = [name for name in PAGES if not only or only in name]
    with tempfile.TemporaryDirectory() as data, open_store(Path(data)) as store:
        world = put_world(store)
        server = Server(lambda: create_app(store, Settings(secret=SECRET))).start()
        try:
            with sync_playwright() as playwright:
                path = shutil.which("chromium")
                browser = playwright.chromium.launch(executable_path=path, args=CHROMIUM)
                for width, height in SIZES:
                    size = {"width": width, "height": height}
                    page = browser.new_context(viewport=size, service_workers="block").new_page()
                    page.set_default_timeout(120000)
                    for name in wanted:
                        page.goto(server.url + address(world, name))
                        page.wait_for_load_state("networkidle")
                        page.screenshot(path=folder / f"{name.replace(' ', '-')}-{width}.png", full_page=True)
                browser.close()
        finally:
            server.stop()
    print(f"wrote {2 * len(wanted)} pictures into {folder}")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "screenshots"), *sys.argv[2:3])
