"""A clinic on a phone: in or out in one tap, one tap from log to log, nothing lost without a connection."""

import datetime
import re

import pytest
from playwright.sync_api import expect
from web_lesson import NOW, put_lesson, tally, waits

from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow, StationRow
from firstbounce.services import greens, players, sessions
from firstbounce.services.store import new_id
from firstbounce.words import Level, Point

pytestmark = pytest.mark.browser
NAMES = ("Ada", "Bo", "Cy", "Di", "Ed", "Flo", "Gus", "Hal")


@pytest.fixture
def group(store):
    """Eight players, one of them with a station on a green that is open today."""
    ids = put_lesson(store, NAMES[0])
    for name in NAMES[1:]:
        row = PlayerRow(id=new_id(), name=name, level=Level.TEN_TO_EIGHTEEN, made=NOW)
        players.add_player(store, row)
    return ids


def begin(page, url, names=NAMES):
    """A new clinic from two paced distances; returns its id once its screen is there."""
    page.goto(f"{url}/clinics/new")
    expect(page.locator("#people input")).to_have_count(len(NAMES), timeout=120000)
    for name in names:
        page.get_by_role("checkbox", name=name, exact=True).check()
    expect(page.locator("#how-many")).to_have_text(f"{len(names)} chosen")
    for label, paces in (("Paces to the green", 4), ("Then to the hole", 12), ("To the landing spot", 7)):
        page.get_by_label(label).fill(str(paces))
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url(re.compile(r"/clinics/[0-9a-f]{32}$"))
    expect(page.locator("#members li")).to_have_count(len(names))
    return page.url.split("/")[-1]


def tap(page, name, hit):
    """One tap; waits until the page says that it is on the phone's disk."""
    page.evaluate("document.querySelector('#saved').textContent = ''")
    button = page.get_by_role("button", name=f"{name}: {'in' if hit else 'out'}", exact=True)
    button.click()
    expect(page.locator("#saved")).to_have_text(f"{name}: {'in' if hit else 'out'}, saved on this phone.")


def count(page, name):
    return page.locator("#members li", has_text=name).locator(".count")


def scored(store, clinic):
    """Successes and taps by name, as kept."""
    _, members = sessions.clinic(store, clinic)
    return {
        players.player(store, one.player_id).name: [
            (score.score.successes, score.score.out_of)
            for score in sessions.scores(store, one.player_id, session_id=one.id)
        ]
        for one in members
    }


def test_eight_names_fit_one_screen_and_a_tap_counts(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url)
    boxes = [row.bounding_box() for row in page.locator("#members li").all()]
    assert max(box["y"] + box["height"] for box in boxes) <= 640, "eight names reach below the screen"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    for name, hits in {"Ada": (True, False, True), "Hal": (False,)}.items():
        for hit in hits:
            tap(page, name, hit)
    expect(count(page, "Ada")).to_have_text("2 of 3 in")
    page.get_by_role("button", name="Undo last tap").click()
    expect(page.locator("#saved")).to_have_text("The last tap of Hal is taken back.")
    expect(count(page, "Hal")).to_have_text("no tap yet")
    waits(page, 0)
    assert scored(store, clinic) == {name: [] for name in NAMES} | {"Ada": [(2, 3)]}


def test_taps_without_a_connection_arrive_once_each(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url, ("Ada", "Bo"))
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    waits(page, 0)
    page.reload()
    phone.set_offline(True)
    for hit in (True, True, False):
        tap(page, "Bo", hit)
    waits(page, 3)
    page.reload()  # from the phone
    expect(count(page, "Bo")).to_have_text("2 of 3 in")
    tap(page, "Bo", True)
    phone.set_offline(False)
    waits(page, 0)
    assert scored(store, clinic) == {"Ada": [], "Bo": [(3, 4)]}


def test_a_clinic_begins_and_is_logged_with_the_server_away(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(f"{server.url}/clinics/new")
    expect(page.locator("#people input")).to_have_count(len(NAMES), timeout=120000)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.stop()
    clinic = begin(page, server.url, ("Cy", "Di"))
    tap(page, "Cy", True)
    page.locator("#members").get_by_role("link", name="Cy").click()
    expect(page.locator("#title")).to_contain_text("Cy:")
    tally(page, "Given")
    page.locator("#group").get_by_role("button", name="Di").click()
    expect(page.locator("#title")).to_contain_text("Di:")
    tally(page, "Past")
    server.start()
    waits(page, 0)
    assert scored(store, clinic) == {"Cy": [(1, 1)], "Di": []}
    assert logged(store, clinic) == {"Cy": ["given"], "Di": ["further, past"]}


def test_a_station_of_the_open_green_gets_the_landing_spot_of_the_clinic(phone, server, store, group):
    day = DayRow(id=new_id(), green_id=group.green, date=datetime.date.today(), made=store.clock())
    greens.add_day(store, day)
    plain = StationRow(
        id=new_id(),
        name="Bank",
        made=NOW,
        green_id=group.green,
        start_m=Point(3, 0),
        hole_m=Point(3, 12),
    )
    greens.add_station(store, plain)
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(f"{server.url}/clinics/new")
    page.get_by_role("checkbox", name="Bo", exact=True).check()
    page.get_by_label("Where").select_option("Gate, on the green that is open today")
    expect(page.get_by_label("To the landing spot")).to_be_hidden()  # it has one
    page.get_by_label("Where").select_option("Bank, on the green that is open today")
    expect(page.get_by_label("Paces to the green")).to_be_hidden()
    page.get_by_label("To the landing spot").fill("8")
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url(re.compile(r"/clinics/[0-9a-f]{32}$"))
    tap(page, "Bo", True)
    waits(page, 0)
    _, (member,) = sessions.clinic(store, page.url.split("/")[-1])
    station = greens.station(store, member.station_id)
    assert (member.green_id, member.day_id) == (group.green, day.id)
    assert station.id != plain.id and station.landing_spot_m == pytest.approx((3, 7.2))
    assert station.circle_radius_m == pytest.approx(0.9)


def logged(store, clinic):
    _, members = sessions.clinic(store, clinic)
    return {
        players.player(store, one.player_id).name: [
            ball.ball.tally_finished for ball in sessions.session_balls(store, one.id)
        ]
        for one in members
    }


def test_one_tap_from_log_to_log_and_each_ball_is_its_own_players(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url)
    page.locator("#members").get_by_role("link", name="Ada").click()
    for name in ("Ada", "Bo", "Cy", "Bo", "Ada", "Bo"):
        if name not in page.locator("#title").inner_text():
            page.locator("#group").get_by_role("button", name=name).click()
        expect(page.locator("#title")).to_contain_text(f"{name}:")
        expect(page.locator("#group [aria-pressed=true]")).to_contain_text(name)
        tally(page)
    expect(page.locator("#group").get_by_role("button", name="Bo")).to_have_text("Bo 3 balls")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360, "the log scrolls sideways"
    waits(page, 0)
    n = {name: len(balls) for name, balls in logged(store, clinic).items()}
    assert n == dict.fromkeys(NAMES, 0) | {"Ada": 2, "Bo": 3, "Cy": 1}
    page.get_by_role("link", name="Clinic").click()
    expect(count(page, "Bo")).to_have_text("no tap yet, 3 balls")
    expect(page.locator("#verdicts")).to_contain_text("Bo3 balls: 3 of 3 landed in the circle")
    expect(page.locator("#few")).to_have_text(
        "Fewer than 3 balls logged, not enough yet: Ada 2, Cy 1, Di 0, Ed 0, Flo 0, Gus 0, Hal 0."
    )


def test_a_score_is_corrected_in_place(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url, ("Ada", "Bo"))
    tap(page, "Ada", True)
    page.get_by_role("button", name="Correct").click()
    page.get_by_label("Ada: of").fill("8")
    page.get_by_label("Ada: of").blur()
    expect(page.locator("#saved")).to_have_text("Ada: 1 of 8 on this phone.")
    page.get_by_label("Ada: in").fill("9")
    page.get_by_label("Ada: in").blur()
    expect(page.locator("#trouble")).to_contain_text("at most 8 of 8")
    page.get_by_label("Ada: in").fill("5")
    page.get_by_label("Ada: in").blur()
    expect(page.locator("#saved")).to_have_text("Ada: 5 of 8 on this phone.")
    waits(page, 0)
    assert scored(store, clinic)["Ada"] == [(5, 8)]


def test_two_phones_on_one_clinic_add_up(browser, phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url, ("Ada", "Bo"))
    tap(page, "Ada", True)
    waits(page, 0)
    other = browser.new_context(viewport={"width": 360, "height": 640})
    second = other.new_page()
    second.set_default_timeout(60000)
    second.goto(f"{server.url}/clinics/{clinic}")
    tap(second, "Ada", False)
    tap(second, "Ada", True)
    waits(second, 0)
    tap(page, "Ada", True)
    waits(page, 0)
    page.reload()
    expect(count(page, "Ada")).to_have_text("3 of 4 in")
    other.close()


def test_two_tabs_on_one_sheet_lose_no_tap(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url, ("Ada", "Bo"))
    other = phone.new_page()
    other.goto(page.url)
    for k in range(3):
        tap(page, "Ada", True)
        tap(other, "Ada", k == 0)
    waits(other, 0)  # the tab of the last tap knows of every row; the first one hears of it later
    assert scored(store, clinic)["Ada"] == [(4, 6)]


def test_the_clock_goes_on_when_the_page_is_opened_again(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    begin(page, server.url, ("Ada",))
    page.clock.install()
    page.reload()
    expect(page.locator("#left")).to_have_text("8:00")
    page.get_by_role("button", name="Start").click()
    page.clock.run_for(61000)
    expect(page.locator("#left")).to_have_text(re.compile(r"6:5\d"))
    page.reload()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()
    page.clock.run_for(8 * 60000)
    expect(page.locator("#turn")).to_have_text("Change places.")


def test_somebody_new_joins(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(60000)
    clinic = begin(page, server.url, ("Ada",))
    page.get_by_text("Somebody comes later").click()
    page.get_by_label("Player").select_option("Gus")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("#members li")).to_have_count(2)
    tap(page, "Gus", True)
    waits(page, 0)
    assert scored(store, clinic) == {"Ada": [], "Gus": [(1, 1)]}


@pytest.mark.slow
def test_reviews_and_guides_of_everybody_from_one_button_each(phone, server, store, group):
    page = phone.new_page()
    page.set_default_timeout(240000)
    begin(page, server.url, ("Ada", "Bo"))
    page.locator("#members").get_by_role("link", name="Ada").click()
    for _ in range(4):
        tally(page)
    page.get_by_role("link", name="Clinic").click()
    waits(page, 0)
    page.get_by_role("button", name="Review everybody").click()
    expect(page.locator("#verdicts dd").first).to_contain_text("from 4 balls", timeout=240000)
    page.get_by_role("button", name="All guides").click()
    expect(page.locator("#made a")).to_have_count(2, timeout=240000)
    page.locator("#made a").first.click()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
