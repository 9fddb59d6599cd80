"""A player's chart and the flight from the side: asked for once, drawn, there without a connection."""

import re
import time

import pytest
from playwright.sync_api import expect
from web_lesson import put_lesson

from firstbounce.services import desk, greens, sessions
from firstbounce.services.demo_records import put_demo
from firstbounce.services.players import player_list
from firstbounce.services.store import new_id

BROWSER = {"accept": "text/html"}


@pytest.fixture
def demo(store):
    """The first player of the demo, with balls of today."""
    put_demo(store)
    return next(line.id for line in player_list(store) if line.name == "Ada Quill")


def drawn(client, player):
    """Ask for the chart and wait until it is drawn."""
    job = client.post(f"/api/players/{player}/chart").json()["job"]
    deadline = time.monotonic() + 120
    while (told := client.get(f"/api/jobs/{job}").json())["state"] in ("waiting", "working"):
        assert time.monotonic() < deadline
        time.sleep(0.05)
    assert told["state"] == "done", told["error"]
    return client.get(f"/players/{player}/chart", headers=BROWSER).text


def words(page):
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_a_chart_rests_on_the_balls_of_today_and_says_so(client, store, demo):
    before = client.get(f"/players/{demo}/chart", headers=BROWSER).text
    assert "The laptop is drawing it" in before and "<svg" not in before
    page = drawn(client, demo)
    n = len(sessions.session_balls(store, sessions.last_session(store, demo).id))
    learned = int(re.search(r"Learned from (\d+) balls", words(page)).group(1))
    assert "<svg" in page and 3 <= learned <= n and f"{n} balls logged on it" in words(page)
    assert "sand wedge" in words(page).lower()


def test_a_chart_without_a_green_or_a_ball_is_usual_and_says_so(client, store):
    ids = put_lesson(store)  # on another day
    page = words(drawn(client, ids.player))
    assert "a usual green: none was opened today" in page and "Usual values, no balls" in page


def test_a_new_ball_or_reading_asks_for_a_new_chart(client, store, demo):
    drawn(client, demo)
    session = sessions.last_session(store, demo)
    body = {
        "green_id": session.green_id,
        "day_id": session.day_id,
        "kind": "speed",
        "given": {"speed": "fast"},
    }
    row = {"id": new_id(), "v": 1, "kind": "reading", "device": new_id(), "seq": 1, "body": body}
    row |= {"made_at": "2026-05-14T08:30:00Z", "offset_min": 0}
    assert client.post("/api/outbox", json={"v": 1, "rows": [row]}).json()["refused"] == []
    assert "The laptop is drawing it" in client.get(f"/players/{demo}/chart", headers=BROWSER).text


def test_a_chart_of_nobody_is_not_there(client):
    assert client.get(f"/players/{new_id()}/chart", headers=BROWSER).status_code == 404
    assert client.post(f"/api/players/{new_id()}/chart").status_code == 404


@pytest.mark.slow
def test_a_plan_shows_its_ball_from_above_and_from_the_side(client, store, demo):
    plan = a_plan(store, demo)
    page = client.get(f"/plans/{plan.id}", headers=BROWSER).text
    assert "from the side" in words(page) and page.count("<svg") == 2
    for club in (one["club"] for one in plan.result["choices"]):
        assert client.get(f"/plans/{plan.id}?club={club}", headers=BROWSER).text.count("<svg") == 2, club


def a_plan(store, player):
    session = sessions.last_session(store, player)
    return desk.plan_for(store, player, session.day_id, greens.station(store, session.station_id))


@pytest.mark.slow
@pytest.mark.browser
def test_chart_and_plan_open_without_a_connection_once_they_were_opened(phone, server, store, demo):
    plan = a_plan(store, demo)
    page = phone.new_page()
    page.set_default_timeout(120000)
    page.goto(f"{server.url}/players/{demo}")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.get_by_role("link", name="Carry and run").click()
    expect(page.locator(".chart svg")).to_be_visible()
    page.goto(f"{server.url}/plans/{plan.id}")
    page.reload()
    server.stop()
    page.goto(f"{server.url}/players/{demo}/chart")
    expect(page.locator(".chart svg")).to_be_visible()
    page.goto(f"{server.url}/plans/{plan.id}")
    expect(page.locator(".picture svg")).to_have_count(2)
    page.get_by_role("link", name="Carry and run of every club").click()
    expect(page.locator(".chart svg")).to_be_visible()
