"""axe-core on every page, at 360 px and at 1280 px, in both units, target size on; nothing left undecided.

One server and one set of records for all pages; each page is opened once for each size and unit.
"""

import re
from importlib import resources

import pytest
from argon2 import PasswordHasher
from playwright.sync_api import expect
from web_pages import PAGES, address, page_routes, player_pages, put_world
from web_server import HOST, PASSPHRASE, SECRET, Server

from firstbounce.records.store import open_store
from firstbounce.services import kept
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

AXE = (resources.files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
#: What passed is not told: putting that together takes most of the time.
RULES = {
    "runOnly": WCAG,
    "rules": {"target-size": {"enabled": True}, "color-contrast": {"enabled": False}},
    "resultTypes": ["violations", "incomplete"],
}
#: Arrows and signs on buttons, in the ink of every other button: axe cannot judge them, a person has.
SIGNS = ("#nudge-", "#zoom-")
WITHOUT_DRAWINGS = "document.querySelectorAll('svg').forEach((one) => one.replaceChildren())"
OPEN_ALL = "document.querySelectorAll('details').forEach((one) => { one.open = true; })"
SIZES = {"phone": (360, 640), "laptop": (1280, 800)}
UNITS = ("metres", "yards")


def found(page):
    """What is broken, and what is left undecided.

    Drawings reach beyond their frames where nobody sees it, and axe then cannot tell what text stands on. So
    contrast is judged without what is drawn; tests of pictures and windows hold the contrasts there.
    """
    sideways = page.evaluate("document.documentElement.scrollWidth > innerWidth")
    page.evaluate(AXE)
    whole = page.evaluate("rules => axe.run(document, rules)", RULES)
    page.evaluate(WITHOUT_DRAWINGS)
    contrast = page.evaluate("rules => axe.run(document, rules)", CONTRAST)
    if contrast["incomplete"]:  # a table reaches beyond its frame: in a wide window all of it can be judged
        size = page.viewport_size
        page.set_viewport_size({"width": 1600, "height": 1000})
        contrast["incomplete"] = page.evaluate("rules => axe.run(document, rules)", CONTRAST)["incomplete"]
        page.set_viewport_size(size)
    told = [one for result in (whole, contrast) for one in (*result["violations"], *result["incomplete"])]
    nodes = [(one["id"], str(node["target"][0]), node) for one in told for node in one["nodes"]]
    faults = [
        f"{rule}: {target} {node.get('failureSummary', node['html'][:120])}"
        for rule, target, node in nodes
        if not (rule == "color-contrast" and target.startswith(SIGNS))
    ]
    return [*faults, "it scrolls sideways"] if sideways else faults


@pytest.fixture(scope="module")
def world(tmp_path_factory):
    with open_store(tmp_path_factory.mktemp("pages") / "data") as store:
        yield put_world(store)


@pytest.fixture(scope="module")
def app(world):
    return create_app(world.store, Settings(secret=SECRET))


@pytest.fixture(scope="module")
def server(app):
    made = Server(lambda: app).start()
    yield made
    made.stop()


@pytest.fixture(scope="module")
def network_settings():
    hashed = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash(PASSPHRASE)
    return Settings(secret=SECRET, passphrase_hash=hashed, on_network=True, hosts=frozenset({HOST}))


@pytest.fixture(scope="module")
def network_server(world, network_settings):
    made = Server(lambda: create_app(world.store, network_settings)).start()
    yield made
    made.stop()


@pytest.fixture(params=SIZES)
def view(browser, request):
    """A page at one of the sizes."""
    width, height = SIZES[request.param]
    context = browser.new_context(viewport={"width": width, "height": height}, service_workers="block")
    context.set_default_timeout(60000)
    yield context.new_page()
    context.close()


def settled(page, url):
    """Open a page; one that waits for a job shows itself again when that is done, and is looked at then."""
    page.goto(url, wait_until="commit")
    expect(page.locator("#main")).to_be_visible()
    expect(page.locator("#wait")).to_have_count(0, timeout=60000)
    page.wait_for_load_state()


def in_both_units(world, view, url, ready=None):
    """Faults of a page by unit."""
    said = {}
    for units in UNITS:
        kept.set_setting(world.store, "units", units)
        settled(view, url)
        view.evaluate(OPEN_ALL)
        if ready:
            ready(view)
        said[units] = found(view)
    return {units: faults for units, faults in said.items() if faults}


def test_no_page_is_left_out():
    """A new page needs its line in web_pages."""
    addresses = [*(re.sub(r"{\w+}", "0" * 32, path) for path in PAGES.values()), "/mine"]
    for route in page_routes():
        assert any(route.path_regex.match(one) for one in addresses), route.path


def test_text_in_the_windows_of_the_log_can_be_read():
    """Contrast that axe cannot judge: ink on paper and on the green of the log's windows."""
    sheet = (resources.files("firstbounce.web") / "static" / "style.css").read_text(encoding="utf-8")
    from firstbounce.pictures import theme

    colour = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", sheet))
    for ink in ("ink", "pencil"):
        for ground in ("paper", "sheet", "green", "wash"):
            assert theme.contrast(colour[ink], colour[ground]) >= 4.5, (ink, ground)


@pytest.mark.browser
@pytest.mark.parametrize("name", ["players", "player", "log", "course"])
def test_no_violation_on_a_phone(phone, server, world, name):
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(server.url + address(world, name))
    page.wait_for_load_state("networkidle")
    assert found(page) == []


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_no_violation_on_any_page(view, server, world, name):
    assert in_both_units(world, view, server.url + address(world, name)) == {}


def in_a_tally(page):
    page.locator("#mode-tally").click()


def with_waiting_balls(page):
    page.route("**/api/outbox", lambda route: route.abort())
    in_a_tally(page)
    page.locator("#tally-landed").get_by_role("button", name="In the circle").click()
    page.locator("#tally-finished").get_by_role("button", name="Given").click()
    expect(page.locator("#waiting")).to_contain_text("waiting on this phone")
    page.locator("#waiting-more summary").click()


def with_trouble(page):
    page.locator("#next").click()
    expect(page.locator("#trouble")).not_to_be_empty()


def with_an_answer(page):
    page.get_by_label("Paces to the green").fill("4")
    page.get_by_label("Then to the hole").fill("12")
    page.get_by_role("button", name="Which club?").click()
    expect(page.locator("#sentence")).to_contain_text("paces")


STATES = {
    "log, in a tally": ("/sessions/{tally}/log", in_a_tally),
    "log, balls wait": ("/sessions/{tally}/log", with_waiting_balls),
    "log, nothing placed": (PAGES["log"], with_trouble),
    "course, answered": (PAGES["course"], with_an_answer),
    "new player, a junior": (PAGES["new player"], lambda page: page.locator("#junior").check()),
}


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("name", STATES)
def test_no_violation_in_the_middle_of_work(view, server, world, name):
    path, ready = STATES[name]
    assert in_both_units(world, view, server.url + path.format(**vars(world)), ready) == {}


@pytest.mark.slow
@pytest.mark.browser
def test_no_violation_on_what_a_player_and_a_stranger_see(view, network_server, network_settings, world):
    assert in_both_units(world, view, f"{network_server.plain_url}/sign-in") == {}
    for name, path in player_pages(world, network_settings).items():
        assert in_both_units(world, view, network_server.url + path) == {}, name


@pytest.mark.browser
def test_an_empty_place_has_no_violation(phone, tmp_path):
    with open_store(tmp_path / "data") as store:
        made = Server(lambda: create_app(store, Settings(secret=SECRET))).start()
        page = phone.new_page()
        page.set_default_timeout(60000)
        for path in ("/", "/today"):
            page.goto(made.url + path)
            assert found(page) == [], path
        made.stop()


REACHABLE = """() => {
  const every = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';
  const one_of = (name) => document.querySelector(`input[name="${name}"]:checked`)
    ?? document.querySelector(`input[name="${name}"]`);
  return [...document.querySelectorAll(every)]
    .filter((one) => !one.matches(':disabled') && one.checkVisibility({ visibilityProperty: true }))
    .filter((one) => one.type !== 'radio' || one === one_of(one.name))
    .map((one, k) => { one.dataset.stop = k; return one.outerHTML.slice(0, 90); });
}"""
HERE = """() => {
  const at = document.activeElement;
  const style = getComputedStyle(at.matches('.choice input') ? at.nextElementSibling : at);
  const marked = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  return { stop: at.dataset.stop ?? null, html: at.outerHTML.slice(0, 90), marked };
}"""


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_the_keyboard_reaches_everything_and_shows_where_it_is(browser, server, world, name):
    context = browser.new_context(viewport={"width": 360, "height": 640}, service_workers="block")
    page = context.new_page()
    page.set_default_timeout(60000)
    page.goto(server.url + address(world, name))
    page.wait_for_load_state("networkidle")
    page.evaluate(OPEN_ALL)
    stops = page.evaluate(REACHABLE)
    seen, dark = set(), []
    for _ in range(2 * len(stops) + 10):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if here["stop"] is None:
            continue
        if not here["marked"]:
            dark.append(here["html"])
        seen.add(int(here["stop"]))
        if len(seen) == len(stops):
            break
    context.close()
    assert [html for k, html in enumerate(stops) if k not in seen] == []
    assert dark == []
