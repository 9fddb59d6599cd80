"""What a coach enters by hand on a phone: areas and surroundings of a green, its wind, the lofts of a bag."""

import pytest
from playwright.sync_api import expect
from web_lesson import put_lesson

from firstbounce.services import greens, players

pytestmark = pytest.mark.browser


@pytest.fixture
def ids(store):
    return put_lesson(store)


def corners(page, part, places):
    """Draw a part by paced corners: right of the mark, away from it."""
    page.get_by_label("What to draw").select_option(part)
    for right, away in places:
        page.get_by_label("Right of the mark").fill(str(right))
        page.get_by_label("Away from it").fill(str(away))
        page.get_by_role("button", name="Add that corner").click()
    page.get_by_role("button", name="Close it").click()


def save(page):
    page.get_by_role("button", name="Save the shape").click()
    expect(page.locator("#save .said")).to_have_text("Saved.")


def test_areas_are_drawn_taken_away_and_brought_back(phone, server, store, ids):
    page = phone.new_page()
    page.goto(f"{server.url}/greens/{ids.green}")
    page.get_by_text("Corners by numbers").click()
    corners(page, "bunker", [(-12, 10), (-10, 10), (-10, 14), (-12, 14)])
    corners(page, "heavy rough", [(10, 5), (14, 5), (14, 20)])
    page.get_by_label("Fringe round the green").fill("0.8")
    page.get_by_label("Beyond it").select_option("light rough")
    save(page)
    shape = greens.shape(store, ids.green)
    assert [str(area.kind) for area in shape.areas] == ["bunker", "heavy rough"]
    assert shape.areas[0].polygon[0] == pytest.approx((-10.8, 9.0))  # paces of 0.9 m
    assert (shape.fringe_m, str(shape.around)) == (0.8, "light rough")

    page.reload()
    expect(page.locator("#areas li")).to_have_count(2)
    page.get_by_role("button", name="Remove bunker").click()
    expect(page.locator("#areas li")).to_have_count(1)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#areas li")).to_have_count(2)
    page.get_by_role("button", name="Remove heavy rough").click()
    save(page)
    assert [str(area.kind) for area in greens.shape(store, ids.green).areas] == ["bunker"]
    assert len(greens.shapes(store, ids.green)) == 3, "every saved shape is kept"


def test_wind_from_between_two_sides_reaches_the_day(phone, server, store, ids):
    page = phone.new_page()
    page.goto(f"{server.url}/days/{ids.day}")
    page.get_by_text("Wind", exact=True).click()
    page.get_by_label("Force").fill("4")
    page.get_by_label("It comes").select_option("From far right")
    page.get_by_role("button", name="Keep the wind").click()
    expect(page.locator(".balls li").first).to_contain_text("wind 4 from 45°")
    right, away = greens.model_day(store, ids.day).today.wind.vector
    assert right < 0 and away < 0, "from far right a wind blows to the left and back"


def test_lofts_of_a_bag_and_a_club_of_another_name(phone, server, store, ids):
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}/edit")
    page.get_by_label("Loft of SW, degrees").fill("54.5")
    page.locator("#bag li[data-club='7i']").get_by_role("checkbox").uncheck()
    page.get_by_text("A club of another name").click()
    page.get_by_role("button", name="Add the club").click()
    expect(page.locator("#player .said")).to_contain_text("needs its name and its loft")
    page.get_by_label("Name as it is stamped").fill("52 bent")
    page.get_by_label("Loft, degrees", exact=True).fill("51")
    page.get_by_role("button", name="Add the club").click()
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url(f"**/players/{ids.player}")
    bag = {club.name: club for club in players.player(store, ids.player).clubs}
    assert bag["SW"].loft_deg == 54.5 and bag["SW"].source == "measured"
    assert bag["PW"].loft_deg == 46 and bag["PW"].source == "usual value", "nobody read it"
    assert bag["52 bent"].loft_deg == 51 and "7i" not in bag and bag["putter"].is_putter

    page.goto(f"{server.url}/players/{ids.player}/edit")
    page.get_by_label("Loft of PW, degrees").fill("9")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#player .said")).to_contain_text("allowed are 15 to 72 degrees")
    expect(page.get_by_label("Loft of PW, degrees")).to_have_value("9")  # nothing of theirs is lost
    assert players.player(store, ids.player).bag.club("PW").loft_deg == 46
