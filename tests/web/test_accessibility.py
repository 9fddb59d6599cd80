"""axe-core on every page, at 360 px and at 1280 px, in both units, target size on; nothing left undecided."""

from importlib import resources

import pytest
from web_lesson import put_lesson

from firstbounce.services import greens, kept
from firstbounce.services.demo_records import put_demo
from firstbounce.services.players import player_list
from firstbounce.services.sessions import last_session

pytestmark = pytest.mark.browser
AXE = (resources.files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    "rules": {"target-size": {"enabled": True}},
}
#: Arrows and signs on buttons, in the ink of every other button: axe cannot judge them, a person has.
SIGNS = ("#nudge-", "#zoom-")
WITHOUT_DRAWINGS = "document.querySelectorAll('svg').forEach((one) => one.replaceChildren())"


def found(page):
    """What is broken, and what is left undecided.

    Drawings reach beyond their frames where nobody sees it, and axe then cannot tell what text stands on. So
    contrast is judged once more without what is drawn; a test of the pictures holds the contrasts in them.
    """
    page.evaluate(AXE)
    whole = page.evaluate("rules => axe.run(document, rules)", RULES)
    page.evaluate(WITHOUT_DRAWINGS)
    contrast = page.evaluate("axe.run(document, { runOnly: { type: 'rule', values: ['color-contrast'] } })")
    undecided = [one for one in whole["incomplete"] if one["id"] != "color-contrast"]
    told = [*whole["violations"], *undecided, *contrast["violations"], *contrast["incomplete"]]
    nodes = [(one["id"], str(node["target"][0]), node) for one in told for node in one["nodes"]]
    return [
        f"{rule}: {target} {node.get('failureSummary', node['html'][:120])}"
        for rule, target, node in nodes
        if not (rule == "color-contrast" and target.startswith(SIGNS))
    ]


@pytest.fixture
def demo(store):
    put_demo(store)
    return next(line for line in player_list(store) if line.name == "Ada Quill").id


def paths(store, player):
    session = last_session(store, player)
    return {
        "players": "/",
        "new player": "/players/new",
        "player": f"/players/{player}",
        "edit": f"/players/{player}/edit",
        "ask": f"/players/{player}/plan",
        "drills": f"/players/{player}/drills",
        "drill": f"/players/{player}/drills/7",
        "lesson": f"/players/{player}/lesson",
        "log": f"/sessions/{session.id}/log",
        "review": f"/sessions/{session.id}/review",
        "today": "/today",
        "green": f"/greens/{session.green_id}",
        "course": "/course",
        "settings": "/settings",
        "trust": "/trust",
        "sign in": "/sign-in",
        "nothing there": "/no-such-page",
    }


@pytest.mark.parametrize("name", ["players", "new player", "player", "today", "log", "course"])
def test_no_violation_on_a_phone(phone, server, store, demo, name):
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(server.url + paths(store, demo)[name])
    page.wait_for_load_state("networkidle")
    assert found(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "it scrolls sideways"


@pytest.mark.slow
@pytest.mark.parametrize("units", ["metres", "yards"])
@pytest.mark.parametrize("size", [(360, 640), (1280, 800)], ids=["phone", "laptop"])
def test_no_violation_on_any_page(browser, server, store, demo, units, size):
    kept.set_setting(store, "units", units)
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, service_workers="block")
    context.set_default_timeout(60000)
    page = context.new_page()
    said = {}
    for name, path in paths(store, demo).items():
        page.goto(server.url + path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        said[name] = found(page)
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            said[name].append("it scrolls sideways")
    context.close()
    assert {name: faults for name, faults in said.items() if faults} == {}


@pytest.mark.slow
def test_no_violation_on_a_plan(phone, server, store, demo):
    session = last_session(store, demo)
    station = greens.station(store, session.station_id)
    from firstbounce.services import desk

    plan = desk.plan_for(store, demo, session.day_id, station)
    page = phone.new_page()
    page.set_default_timeout(60000)
    for path in (f"/plans/{plan.id}", f"/plans/{plan.id}/show"):
        page.goto(server.url + path)
        assert found(page) == [], path


def test_an_empty_place_has_no_violation(phone, server, store):
    put_lesson(store)
    page = phone.new_page()
    page.goto(server.url + "/today")
    assert found(page) == []
