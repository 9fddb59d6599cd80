"""A whole lesson in a real browser: from a new player to the note, and without a connection."""

import pytest
from playwright.sync_api import expect
from web_lesson import waits

from firstbounce.services import lessons, players, sessions

pytestmark = pytest.mark.browser


def new_player(page, url, name="Ada"):
    page.goto(url)
    page.get_by_role("link", name="New player").click()
    page.get_by_label("Name or initials").fill(name)
    page.get_by_role("button", name="Add and choose a club").click()
    page.wait_for_url("**/course#*")
    return page.url.split("#")[1]


def first_choice(page):
    page.get_by_label("Lie").select_option("light rough")  # where nobody putts
    page.get_by_label("Paces to the green").fill("4")
    page.get_by_label("Then to the hole").fill("12")
    page.get_by_role("button", name="Which club?").click()
    expect(page.locator("#sentence")).to_contain_text("paces", timeout=60000)


def tap(page, window, right, down):
    box = page.locator(f"#window-{window} svg").bounding_box()
    page.touchscreen.tap(box["x"] + right * box["width"], box["y"] + down * box["height"])


def place_ball(page, k):
    tap(page, "landed", 0.45 + 0.02 * k, 0.7)
    page.get_by_role("button", name="Next").click()
    tap(page, "finished", 0.5, 0.6 + 0.02 * k)
    page.get_by_role("button", name="Log ball").click()
    expect(page.locator("#saved")).to_have_text(f"Ball {k + 1} is saved on this phone.")


def close_lesson(page, player):
    page.locator("#aim").fill("Land it on the spot")
    page.get_by_label("Drill", exact=True).select_option("Landing circle")
    page.get_by_role("button", name="Close the lesson").click()
    page.wait_for_url(f"**/players/{player}")


@pytest.mark.slow
def test_a_lesson_from_new_player_to_note(phone, server, store):
    page = phone.new_page()
    page.set_default_timeout(60000)
    player = new_player(page, server.url)
    assert players.player(store, player).name == "Ada"
    first_choice(page)
    page.get_by_role("button", name="Log balls here").click()
    expect(page.locator("#log")).to_be_visible()
    for k in range(4):
        place_ball(page, k)
    waits(page, 0)
    session = sessions.last_session(store, player)
    balls = [one.ball for one in sessions.session_balls(store, session.id)]
    assert len(balls) == 4 and all(ball.landed_m and ball.finished_m for ball in balls)
    expect(page.locator("#so-far")).to_contain_text("4 balls:")

    page.get_by_role("link", name="Review").click()
    expect(page.locator(".card .big")).not_to_be_empty(timeout=240000)

    page.goto(f"{server.url}/players/{player}")
    page.get_by_role("link", name="Practice").click()
    page.get_by_label("Look for").fill("landing circle")
    page.get_by_role("link", name="Landing circle").click()
    for _ in range(6):
        page.get_by_role("button", name="Success").click()
    for _ in range(4):
        page.get_by_role("button", name="Not", exact=True).click()
    page.get_by_role("button", name="Keep the score").click()
    expect(page.locator("#sheet .said")).to_have_text("Kept.")
    (score,) = sessions.scores(store, player)
    assert (score.score.successes, score.score.out_of) == (6, 10)

    page.goto(f"{server.url}/players/{player}")
    page.get_by_role("link", name="Lesson note").click()
    close_lesson(page, player)
    (note,) = lessons.lessons(store, player)
    assert note.aim == "Land it on the spot" and note.drills[0].drill == "Landing circle" and note.closed
    expect(page.locator(".card")).to_contain_text("Landing circle: 6 of 10")
    page.get_by_role("button", name="Same station").click()
    expect(page.locator("#log")).to_be_visible()
    assert sessions.last_session(store, player).id != session.id


def test_the_phone_alone_adds_a_player_chooses_logs_and_counts(phone, server, store):
    page = phone.new_page()
    page.set_default_timeout(60000)
    page.goto(f"{server.url}/course")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    expect(page.locator("#compare")).not_to_have_attribute("hidden", "", timeout=120000)  # tables are here
    server.stop()
    page.goto(f"{server.url}/")  # nothing answers: the course page opens
    expect(page.get_by_role("heading", name="On the course")).to_be_visible()
    page.get_by_label("Name or initials").fill("Bo")
    page.get_by_role("button", name="Add", exact=True).click()
    first_choice(page)
    page.get_by_role("button", name="Log balls here").click()
    expect(page.locator("#title")).to_contain_text("Bo: 4 + 12 paces")
    for k in range(3):
        place_ball(page, k)
    expect(page.locator("#so-far")).to_contain_text("3 balls:")
    waits(page, 9)  # a player, a green with shape and day, a station, a session, three balls
    server.start()
    waits(page, 0)
    (line,) = players.player_list(store)
    assert (line.name, line.balls) == ("Bo", 3)
