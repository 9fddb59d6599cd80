"""Script in every text field, in a real browser: whatever people typed, no page runs it."""

import pytest
from web_pages import addresses

from firstbounce.services.store import new_id

pytestmark = [pytest.mark.browser, pytest.mark.slow]
NASTY = (
    "<img src=x onerror=\"top.hacked='img'\"><script>top.hacked='script'</script>"
    "\"'></script></textarea><svg onload=\"top.hacked='svg'\">{{7*7}}${top.hacked='js'}"
    "'); drop table ball; --"
)
HELD = NASTY[:80]


def entries():
    """An entry of every kind, with the text in every field of text; returns entries and ids."""
    device = "d" * 32
    ids = {name: new_id() for name in ("player", "green", "day", "station", "session")}
    made = {"v": 1, "device": device, "made_at": "2026-05-14T08:30:00Z", "offset_min": 120}
    corners = [[-5, 2], [5, 2], [5, 12], [-5, 12]]
    ball = {"session_id": ids["session"], "kind": "placed", "club": HELD, "start_m": [0, 0], "hole_m": [0, 9]}
    station = {"name": HELD, "green_id": ids["green"], "start_m": [0, 0], "hole_m": [0, 9]}
    spot = {"landing_spot_m": [0, 5], "circle_radius_m": 1}
    places = {"day_id": ids["day"], "green_id": ids["green"], "station_id": ids["station"]}
    rows = [
        ("player", {"name": HELD, "level": "scratch"}, ids["player"]),
        ("green", {"name": HELD}, ids["green"]),
        ("shape", {"green_id": ids["green"], "outline": corners}, new_id()),
        ("day", {"green_id": ids["green"], "note": NASTY}, ids["day"]),
        ("station", {**station, **spot}, ids["station"]),
        ("session", {"player_id": ids["player"], "kind": "lesson", **places}, ids["session"]),
        ("ball", {**ball, "landed_m": [0, 5], "note": NASTY}, new_id()),
        ("lesson", {"player_id": ids["player"], "aim": NASTY, "homework": NASTY, "seen": NASTY}, new_id()),
        ("score", {"player_id": ids["player"], "drill": HELD, "successes": 1, "out_of": 2}, new_id()),
        ("note", {"player_id": ids["player"], "text": NASTY}, new_id()),
    ]
    sent = [
        {**made, "id": row_id, "seq": k, "kind": kind, "body": body}
        for k, (kind, body, row_id) in enumerate(rows, 1)
    ]
    return sent, ids


def test_no_page_runs_what_people_typed(phone, server, client):
    sent, ids = entries()
    answer = client.post("/api/outbox", json={"v": 1, "rows": sent}).json()
    assert answer["refused"] == [] and len(answer["stored"]) == len(sent)
    page = phone.new_page()
    page.set_default_timeout(60000)
    dialogs = []
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    refused = []
    page.on(
        "console",
        lambda message: refused.append(message.text) if "Content Security Policy" in message.text else None,
    )
    opened = 0
    for name, path in addresses(ids).items():
        page.goto(server.url + path)
        page.wait_for_load_state("networkidle")
        assert page.evaluate("window.hacked") is None, name
        assert page.locator("main img[src=x], main svg[onload]").count() == 0, name
        opened += HELD[:20] in page.inner_text("body") or HELD[:20] in str(
            page.evaluate(
                "[...document.querySelectorAll('option, textarea, input')].map((one) => one.value + one.text)"
            )
        )
    assert opened >= 8, "the text is shown, as text"
    assert dialogs == [] and refused == []


def test_a_player_who_was_added_on_the_phone_is_shown_as_text(phone, server):
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(f"{server.url}/course")
    page.get_by_label("Name or initials").fill(HELD)
    page.get_by_role("button", name="Add", exact=True).click()
    page.get_by_label("Paces to the green").fill("4")
    page.get_by_label("Then to the hole").fill("12")
    page.get_by_role("button", name="Which club?").click()
    page.get_by_role("button", name="Log balls here").click()
    page.wait_for_url("**/log")
    assert HELD[:20] in page.locator("#title").inner_text()
    assert page.evaluate("window.hacked") is None


def test_a_phone_that_signed_out_shows_nothing_any_more(phone, network_server, store):
    """Signing out forgets the pages that the worker kept, and the server lets nobody in."""
    from web_lesson import put_lesson
    from web_server import PASSPHRASE

    put_lesson(store, "Ottoline Query")
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(f"{network_server.url}/sign-in")
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{network_server.url}/")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    page.get_by_text("Ottoline Query").wait_for()
    page.goto(f"{network_server.url}/settings")
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in")
    phone.set_offline(True)
    try:
        page.goto(f"{network_server.url}/")
        assert "Ottoline" not in page.content()
    except Exception as error:  # nothing opens at all
        assert "ERR_" in str(error)
