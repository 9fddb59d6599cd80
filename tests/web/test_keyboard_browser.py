"""A whole lesson by keyboard alone, at 1280 x 800: Tab, keys and Enter, no pointer."""

import pytest
from playwright.sync_api import expect
from web_lesson import waits

from firstbounce.services import greens, kept, lessons, players, sessions

pytestmark = [pytest.mark.browser, pytest.mark.slow]
MOST_TABS = 150
NAME_OF_FOCUS = """() => {
  const at = document.activeElement;
  const own = at.getAttribute('aria-label') ?? at.innerText ?? '';
  return (at.labels?.[0]?.innerText ?? own).trim().split('\\n')[0];
}"""


@pytest.fixture
def page(browser):
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(60000)
    opened = context.new_page()
    for kind in ("mousedown", "touchstart"):
        noted = "() => sessionStorage.setItem('pointed', 'yes')"
        opened.add_init_script(f"addEventListener('{kind}', {noted}, true)")
    yield opened
    assert opened.evaluate("sessionStorage.getItem('pointed')") is None
    context.close()


def focus(page, name):
    """Tab until the thing of that name has the focus."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate(NAME_OF_FOCUS).startswith(name):
            return
    raise AssertionError(f"Tab never reached {name!r}")


def press(page, name, times=1):
    focus(page, name)
    for _ in range(times):
        page.keyboard.press("Enter")


def keyed(page, name, text):
    focus(page, name)
    page.keyboard.press("Control+a")
    page.keyboard.type(text)


def new_player(page, url):
    page.goto(url)
    press(page, "New player")
    page.wait_for_url("**/players/new")
    keyed(page, "Name or initials", "Cy")
    press(page, "Add and choose a club")
    page.wait_for_url("**/course#*")
    return page.url.split("#")[1]


def read_the_green(page, store):
    press(page, "Green")
    page.wait_for_url("**/today")
    keyed(page, "Name", "Practice green")
    press(page, "Make it and open it today")
    page.wait_for_url("**/days/*")
    press(page, "Medium")  # not the first and not the last word: no other word may be kept on the way
    expect(page.locator("#main")).to_contain_text("speed: medium")
    press(page, "Stimp reading")
    keyed(page, "Stimp, feet", "9.5")
    press(page, "Keep it")
    expect(page.locator("#main")).to_contain_text("stimp 9.5 ft")
    (green,) = greens.greens(store)
    (day,) = greens.days(store, green.id)
    assert [one.kind for one in greens.readings(store, green.id, day.id)] == ["speed", "stimp"]
    return green.id


def draw_a_bunker(page, store, green):
    press(page, "Change its shape")
    page.wait_for_url("**/greens/*")
    focus(page, "What to draw")
    page.keyboard.type("Area: Bunker")
    press(page, "Corners by numbers")
    for right, away in ((4, 4), (6, 4), (6, 7)):
        keyed(page, "Right of the mark", str(right))
        keyed(page, "Away from it", str(away))
        press(page, "Add that corner")
    press(page, "Close it")
    press(page, "Save the shape")
    expect(page.locator(".said")).to_have_text("Saved.")
    (area,) = greens.shape(store, green).areas
    assert area.kind == "bunker" and len(area.polygon) == 3


def plan_and_choose(page, url, store, player):
    page.goto(f"{url}/players/{player}")
    press(page, "Plan")
    page.wait_for_url("**/plan")
    press(page, "Nearer to the mark", times=28)
    press(page, "2 Hole")
    press(page, "Away", times=6)
    press(page, "Which club?")
    page.wait_for_url("**/plans/*", timeout=240000)
    press(page, "Choose it and log")
    page.wait_for_url("**/log")
    (plan,) = kept.plans(store, player)
    assert plan.chosen_club


def log_balls(page, store, player):
    for k in range(3):
        press(page, "Longer", times=k + 1)
        press(page, "Right")
        press(page, "Next")
        press(page, "Shorter", times=2)
        press(page, "Log ball")
        expect(page.locator("#saved")).to_have_text(f"Ball {k + 1} is saved on this phone.")
    focus(page, "clean")
    page.keyboard.press("ArrowRight")  # heavy
    press(page, "By numbers")
    keyed(page, "Long", "-2")
    keyed(page, "Right", "1")
    press(page, "Place it there")
    press(page, "Next")
    press(page, "Not seen")
    expect(page.locator("#saved")).to_have_text("Ball 4 is saved on this phone.")
    press(page, "Tally")
    press(page, "Short")
    press(page, "Given")
    expect(page.locator("#saved")).to_have_text("Ball 5 is saved on this phone.")
    press(page, "Undo last")
    expect(page.locator("#saved")).to_have_text("Taken back.")
    waits(page, 0)
    session = sessions.last_session(store, player)
    balls = [one.ball for one in sessions.session_balls(store, session.id)]
    assert [ball.strike for ball in balls] == [None, None, None, "heavy"]
    assert all(ball.landed_m for ball in balls)


def review(page):
    press(page, "Review")
    page.wait_for_url("**/review")
    expect(page.locator(".card .big")).not_to_be_empty(timeout=240000)


def score_a_drill(page, url, store, player):
    page.goto(f"{url}/players/{player}")
    press(page, "Practice")
    page.wait_for_url("**/drills")
    keyed(page, "Look for", "landing circle")
    press(page, "Landing circle")
    page.wait_for_url("**/drills/*")
    press(page, "Success", times=7)
    press(page, "Not", times=3)
    press(page, "Keep the score")
    expect(page.locator("#sheet .said")).to_have_text("Kept.")
    (score,) = sessions.scores(store, player)
    assert (score.score.successes, score.score.out_of) == (7, 10)


def close_the_lesson(page, url, store, player):
    page.goto(f"{url}/players/{player}")
    press(page, "Lesson note")
    page.wait_for_url("**/lesson")
    keyed(page, "One aim", "Land it on the spot")
    focus(page, "Drill")
    page.keyboard.type("Landing circle")
    press(page, "Close the lesson")
    page.wait_for_url(f"**/players/{player}")
    (note,) = lessons.lessons(store, player)
    assert note.aim == "Land it on the spot" and note.drills[0].drill == "Landing circle"


def test_a_lesson_by_keyboard_alone(page, server, store):
    player = new_player(page, server.url)
    assert players.player(store, player).name == "Cy"
    green = read_the_green(page, store)
    draw_a_bunker(page, store, green)
    plan_and_choose(page, server.url, store, player)
    log_balls(page, store, player)
    review(page)
    score_a_drill(page, server.url, store, player)
    close_the_lesson(page, server.url, store, player)
    press(page, "Same station")
    expect(page.locator("#log")).to_be_visible()


def test_a_first_answer_by_keyboard_alone(page, server, store):
    new_player(page, server.url)
    keyed(page, "Paces to the green", "3")
    keyed(page, "Then to the hole", "10")
    press(page, "Which club?")
    expect(page.locator("#sentence")).to_contain_text("paces", timeout=60000)
    press(page, "Log balls here")
    expect(page.locator("#log")).to_be_visible()
    press(page, "Longer")
    press(page, "Next")
    press(page, "Shorter")
    press(page, "Log ball")
    expect(page.locator("#saved")).to_have_text("Ball 1 is saved on this phone.")
    waits(page, 0)
    (line,) = players.player_list(store)
    assert line.balls == 1
