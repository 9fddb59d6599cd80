"""The outbox in a real browser: each ball arrives exactly once, in order, unchanged, whatever is cut."""

import json
import threading
import time

import pytest
from benchmarks.web_process import ServerProcess
from playwright.sync_api import expect
from web_lesson import Faults, add_many, logged, open_log, put_lesson, tally, waits
from web_server import HOST, PASSPHRASE, SECRET, Server

from firstbounce.services import sessions
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

pytestmark = pytest.mark.browser


@pytest.fixture
def ids(store):
    return put_lesson(store)


class Place:
    """A server that can misbehave, and where phones log: 127.0.0.1, or a name that is no secure context."""

    def __init__(self, store, settings, plain):
        self.faults = Faults(create_app(store, settings))
        self.server = Server(lambda: self.faults).start()
        self.plain = plain
        self.url = self.server.plain_url if plain else self.server.url

    def page(self, context):
        """A page that may log: over plain http after the passphrase."""
        page = context.new_page()
        if self.plain:
            sign_in(page, self.url)
        return page


def sign_in(page, url):
    page.goto(f"{url}/sign-in")
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{url}/")


@pytest.fixture
def network_settings(passphrase_hash):
    return Settings(secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, hosts=frozenset({HOST}))


@pytest.fixture(params=["secure context", "plain http on a network"])
def place(request, store, network_settings):
    plain = request.param != "secure context"
    made = Place(store, network_settings if plain else Settings(secret=SECRET), plain)
    yield made
    made.server.stop()


def test_balls_logged_offline_arrive_once_each_and_in_order(place, phone, store, ids):
    page = place.page(phone)
    open_log(page, place.url, ids)
    assert page.evaluate("isSecureContext") is not place.plain
    expect(page.locator("#keep-open")).to_be_visible(visible=place.plain)
    phone.set_offline(True)
    for finished in ("Given", "Past", "Holed"):
        tally(page, finished)
    waits(page, 3)
    assert logged(store, ids) == []
    phone.set_offline(False)
    waits(page, 0)
    assert logged(store, ids) == ["given", "further, past", "holed"]


def test_a_page_that_is_opened_again_offline_keeps_its_balls_and_goes_on(phone, server, store, ids):
    page = phone.new_page()
    open_log(page, server.url, ids)
    page.reload()  # now the worker has the page
    phone.set_offline(True)
    tally(page, "Given")
    page.reload()
    expect(page.locator("#log")).to_be_visible()
    waits(page, 1)
    expect(page.locator("#balls li")).to_have_count(1)
    tally(page, "Past")
    page.close()
    again = phone.new_page()
    again.goto(f"{server.url}/sessions/{ids.session}/log")
    waits(again, 2)
    phone.set_offline(False)
    waits(again, 0)
    assert logged(store, ids) == ["given", "further, past"]


@pytest.mark.slow
def test_a_server_that_is_stopped_and_started_takes_each_ball_once(place, phone, store, ids):
    page = place.page(phone)
    open_log(page, place.url, ids)
    tally(page, "Given")
    waits(page, 0)
    place.server.stop()
    tally(page, "Past")
    tally(page, "Holed")
    waits(page, 2)
    place.server.start()
    waits(page, 0)
    assert logged(store, ids) == ["given", "further, past", "holed"]


def test_a_lost_answer_neither_loses_nor_doubles_a_ball(place, phone, store, ids):
    page, faults = place.page(phone), place.faults
    open_log(page, place.url, ids)
    faults.mode = "lose"
    tally(page, "Given")
    expect(page.locator("#waiting")).to_have_text("1 waiting on this phone")
    _until(lambda: faults.seen >= 2)  # it was sent again
    assert logged(store, ids) == ["given"]
    faults.mode = None
    waits(page, 0)
    assert logged(store, ids) == ["given"]


@pytest.mark.slow
@pytest.mark.parametrize("mode", ["fail", "name nothing"])
def test_a_ball_that_the_server_did_not_name_stays_on_the_phone(place, phone, store, ids, mode):
    page, faults = place.page(phone), place.faults
    open_log(page, place.url, ids)
    faults.mode = mode
    tally(page, "Given")
    _until(lambda: faults.seen >= 1)
    page.reload()
    waits(page, 1)
    assert logged(store, ids) == []
    faults.mode = None
    waits(page, 0)
    assert logged(store, ids) == ["given"]


@pytest.mark.slow
def test_three_hundred_balls_wait_and_then_arrive_in_order_and_unchanged(place, phone, store, ids):
    page = place.page(phone)
    open_log(page, place.url, ids)
    phone.set_offline(True)
    sent = add_many(page, ids, 300)
    waits(page, 300)
    phone.set_offline(False)
    waits(page, 0)
    kept = [one.ball for one in sessions.session_balls(store, ids.session)]
    assert [ball.id for ball in kept] == [row["id"] for row in sent]
    assert [ball.note for ball in kept] == [f"ball {k}" for k in range(300)]
    assert [list(ball.landed_m) for ball in kept] == [row["landed"] for row in sent]


def test_two_tabs_lose_and_double_nothing(place, phone, store, ids):
    first, second = place.page(phone), phone.new_page()
    for page in (first, second):
        open_log(page, place.url, ids)
    phone.set_offline(True)
    for page, finished in ((first, "Given"), (second, "Past"), (first, "Holed"), (second, "Given")):
        page.bring_to_front()
        tally(page, finished)
    for page in (first, second):
        waits(page, 4)
    phone.set_offline(False)
    for page in (first, second):
        waits(page, 0)
    assert logged(store, ids) == ["given", "further, past", "holed", "given"]


@pytest.mark.slow
def test_two_phones_log_into_one_session(place, browser, store, ids):
    contexts = [browser.new_context(viewport={"width": 360, "height": 640}) for _ in range(2)]
    pages = [place.page(context) for context in contexts]
    for page in pages:
        open_log(page, place.url, ids)
    for context in contexts:
        context.set_offline(True)
    mine = [add_many(page, ids, 5) for page in pages]
    for context in contexts:
        context.set_offline(False)
    for page in pages:
        waits(page, 0)
    kept = [one.ball for one in sessions.session_balls(store, ids.session)]
    assert len(kept) == 10 and len({ball.id for ball in kept}) == 10
    for rows in mine:
        of_one = {row["id"] for row in rows}
        assert [ball.id for ball in kept if ball.id in of_one] == [row["id"] for row in rows]
    for context in contexts:
        context.close()


def test_full_storage_is_said_and_the_ball_is_still_there_to_be_sent(place, phone, store, ids):
    page = place.page(phone)
    page.goto(place.url)
    devtools = phone.new_cdp_session(page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": place.url, "quotaSize": 1})
    page.goto(f"{place.url}/sessions/{ids.session}/log")
    page.locator("#mode-tally").click()
    page.locator("#tally-landed").get_by_role("button", name="In the circle").click()
    page.locator("#tally-finished").get_by_role("button", name="Past").click()
    expect(page.locator("#trouble")).to_contain_text("storage is full: this entry is not saved")
    expect(page.locator("#saved")).to_have_text("")
    assert logged(store, ids) == []
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": place.url})
    page.locator("#tally-finished").get_by_role("button", name="Past").click()
    expect(page.locator("#saved")).to_contain_text("saved on this phone")
    waits(page, 0)
    assert logged(store, ids) == ["further, past"]


@pytest.mark.slow
def test_undo_and_change_are_entries_of_their_own(phone, server, store, ids):
    page = phone.new_page()
    open_log(page, server.url, ids)
    phone.set_offline(True)
    tally(page, "Given")
    tally(page, "Past")
    page.get_by_role("button", name="Undo last").click()
    expect(page.locator("#saved")).to_have_text("Taken back.")
    waits(page, 3)
    phone.set_offline(False)
    waits(page, 0)
    assert logged(store, ids) == ["given"]
    page.get_by_role("button", name="Change").click()
    page.locator("#tally-landed").get_by_role("button", name="Short").click()
    page.locator("#tally-finished").get_by_role("button", name="Two paces").click()
    expect(page.locator("#saved")).to_have_text("Changed.")
    waits(page, 0)
    assert logged(store, ids) == ["within two paces"]


@pytest.mark.slow
def test_a_clock_that_is_wrong_harms_nothing(phone, server, store, ids):
    page = phone.new_page()
    page.clock.install(time="1999-12-31T23:59:00")
    open_log(page, server.url, ids)
    tally(page, "Given")
    waits(page, 0)
    assert logged(store, ids) == ["given"]


@pytest.mark.slow
def test_without_any_network_the_waiting_balls_leave_as_a_file(phone, server, client, store, ids):
    page = phone.new_page()
    open_log(page, server.url, ids)
    phone.set_offline(True)
    tally(page, "Given")
    tally(page, "Past")
    waits(page, 2)
    page.locator("#waiting-more summary").click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").click()
    rows = json.loads(download.value.path().read_text())
    answer = client.post("/api/outbox", json=rows)  # on the laptop
    assert len(answer.json()["stored"]) == 2
    phone.set_offline(False)  # the phone sends them too
    waits(page, 0)
    assert logged(store, ids) == ["given", "further, past"]


def test_a_row_that_can_never_be_taken_is_said_and_holds_nothing_up(phone, server, store, ids):
    page = phone.new_page()
    open_log(page, server.url, ids)
    phone.set_offline(True)
    add_bad = """async () => {
        const src = document.querySelector('script[src*="page.js"]').src.replace('page.js', 'outbox.js');
        const outbox = await import(src);
        await outbox.add("ball", { session_id: "nonsense", kind: "placed" });
    }"""
    page.evaluate(add_bad)
    tally(page, "Given")
    phone.set_offline(False)
    expect(page.locator("#waiting")).to_have_text("0 waiting, 1 not taken", timeout=30000)
    assert logged(store, ids) == ["given"]


@pytest.mark.slow
def test_logging_while_the_server_dies_again_and_again(place, phone, store, ids):
    page = place.page(phone)
    open_log(page, place.url, ids)
    over = threading.Event()

    def kill():
        while not over.is_set():
            time.sleep(0.7)
            place.server.stop()
            time.sleep(0.3)
            place.server.start()

    killer = threading.Thread(target=kill)
    killer.start()
    try:
        for k in range(30):
            tally(page, ("Given", "Past", "Holed")[k % 3])
    finally:
        over.set()
        killer.join()
    waits(page, 0)
    assert logged(store, ids) == ["given", "further, past", "holed"] * 10


def test_an_open_page_over_plain_http_keeps_its_balls_when_it_is_opened_again(
    phone, store, ids, network_settings
):
    place = Place(store, network_settings, plain=True)
    try:
        page = place.page(phone)
        open_log(page, place.url, ids)
        place.faults.mode = "fail"
        tally(page, "Given")
        page.reload()
        waits(page, 1)
        expect(page.locator("#balls li")).to_have_count(1)
        place.faults.mode = None
        waits(page, 0)
        assert logged(store, ids) == ["given"]
    finally:
        place.server.stop()


@pytest.mark.slow
def test_balls_wait_for_a_new_passphrase_when_signing_in_has_run_out(phone, store, ids, network_settings):
    place = Place(store, network_settings, plain=True)
    try:
        page = place.page(phone)
        open_log(page, place.url, ids)
        phone.clear_cookies()
        tally(page, "Given")
        expect(page.locator("#waiting")).to_have_text("1 waiting on this phone: sign in to send")
        other = phone.new_page()
        sign_in(other, place.url)
        waits(page, 0)
        assert logged(store, ids) == ["given"]
    finally:
        place.server.stop()


PHONE = """
import sys
from pathlib import Path
from firstbounce.services.store import open_store
from firstbounce.web.run import serve_phone, set_passphrase
with open_store(Path(sys.argv[1])) as store:
    set_passphrase(store, sys.argv[3])
    told = lambda _: print("Stop with", flush=True)
    serve_phone(store, int(sys.argv[2]), told, names=(sys.argv[4],), host="127.0.0.1")
"""


@pytest.mark.slow
@pytest.mark.parametrize("plain", [False, True], ids=["secure context", "plain http on a network"])
def test_a_server_that_is_killed_in_mid_request_takes_each_ball_once(phone, store, ids, plain):
    """kill -9 of the real server while the request of a ball is in its hands, ten times."""
    folder = store.folder
    server = ServerProcess(folder)
    if plain:
        server.command = ["-c", PHONE, str(folder), str(server.port), PASSPHRASE, HOST]
    url = f"http://{HOST}:{server.port}" if plain else server.url
    server.start()
    try:
        page = phone.new_page()
        page.set_default_timeout(60000)
        if plain:
            sign_in(page, url)
        open_log(page, url, ids)
        for turn in range(10):
            with server.held(), page.expect_request("**/api/outbox"):
                tally(page, ("Given", "Past", "Holed")[turn % 3])
            time.sleep(0.004 * turn)  # it works on the request, or has just answered
            server.kill()
            server.start()
            waits(page, 0)
    finally:
        server.kill()
    expected = ["given", "further, past", "holed"]
    assert logged(store, ids) == [expected[turn % 3] for turn in range(10)]


def _until(done, seconds=15):
    deadline = time.monotonic() + seconds
    while not done():
        assert time.monotonic() < deadline
        time.sleep(0.05)
