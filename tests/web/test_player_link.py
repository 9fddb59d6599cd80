"""A player's link: signed, expiring, revocable; own record only; what it adds is marked "by player"."""

import datetime

import pytest
from playwright.sync_api import expect
from web_lesson import NOW, put_lesson
from web_server import HOST, SECRET

from firstbounce.records.rows.balls import BallRow
from firstbounce.records.rows.people import By
from firstbounce.services import desk, players, sessions
from firstbounce.services.home import MOST_A_DAY, home_session_id
from firstbounce.services.store import new_id
from firstbounce.web.app import create_app
from firstbounce.web.links import token_of
from firstbounce.web.settings import Settings
from firstbounce.words import Point

BROWSER = {"accept": "text/html"}


@pytest.fixture
def settings(passphrase_hash):
    return Settings(secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, hosts=frozenset({HOST}))


@pytest.fixture
def guest(store, settings, visit):
    """The player's own phone, not signed in."""
    app = create_app(store, settings)
    return visit(app, peer="192.0.2.9", host=HOST, raise_server_exceptions=False)


@pytest.fixture
def ids(store):
    return put_lesson(store)


def followed(guest, store, settings, ids, **more):
    link = players.make_link(store, ids.player, **more)
    assert guest.get(f"/link/{token_of(settings, link)}").headers["location"] == "/mine"
    return link


def test_a_link_shows_the_player_their_card_and_nothing_else(guest, store, settings, ids):
    other = put_lesson(store, "Somebody Else")
    followed(guest, store, settings, ids)
    mine = guest.get("/mine", headers=BROWSER)
    assert mine.status_code == 200 and "Ada" in mine.text and "Somebody" not in mine.text
    for path in (
        "/",
        f"/players/{ids.player}",
        f"/players/{other.player}",
        f"/sessions/{other.session}/log",
        "/api/players",
        "/api/course",
        f"/api/players/{other.player}",
        f"/api/sessions/{ids.session}/balls",
        "/api/openapi.json",
        "/settings",
        "/mine/../players",
        "/minefield",
    ):
        assert guest.get(path).status_code in (403, 404), path


def test_a_player_adds_scores_to_their_own_record_only(guest, store, settings, ids):
    other = put_lesson(store, "Somebody Else")
    followed(guest, store, settings, ids)
    score = {"drill": "Landing circle", "successes": 7, "out_of": 10}
    assert guest.post("/api/mine/scores", json=score).status_code == 201
    (kept,) = sessions.scores(store, ids.player)
    assert kept.logged_by is By.PLAYER and kept.score.successes == 7
    assert guest.post("/api/mine/scores", json={**score, "player_id": other.player}).status_code == 422
    assert guest.post("/api/outbox", json={"v": 1, "rows": []}).status_code == 403
    assert guest.put("/api/settings", json={"units": "yards", "pace_m": 1}).status_code == 403
    assert sessions.scores(store, other.player) == ()
    assert "by player" in guest.get("/mine", headers=BROWSER).text


def tallied(**more):
    """A tally as the player's device sends it."""
    said = {"club": "SW", "to_spot_m": 7.0, "spot_to_hole_m": 5.0, "circle_radius_m": 1.0}
    said |= {"landed": "in", "finished": "given"}
    return {"id": new_id(), "seq": 1, "day": datetime.date.today().isoformat(), **said, **more}


def send(guest, *tallies):
    return guest.post("/api/mine/tallies", json={"tallies": list(tallies)})


def home_balls(store, player):
    held = [one for one in sessions.sessions(store, player) if one.kind == "home"]
    return [ball for one in held for ball in sessions.session_balls(store, one.id)]


def test_a_player_adds_tallies_to_their_own_record(guest, client, store, settings, ids):
    followed(guest, store, settings, ids)
    first, second = tallied(), tallied(seq=2, landed="short", finished="further, past")
    answer = send(guest, first, second).json()
    assert answer["stored"] == [first["id"], second["id"]] and answer["refused"] == []
    assert (answer["balls"], answer["seen"], answer["in_circle"]) == (2, 2, 1)
    assert send(guest, first).json()["stored"] == [first["id"]]  # sent again: kept once
    kept = home_balls(store, ids.player)
    assert [one.ball.id for one in kept] == [first["id"], second["id"]]
    assert {one.logged_by for one in kept} == {By.PLAYER}
    assert "2 balls tallied, 1 of 2 seen to land in the circle" in guest.get("/mine", headers=BROWSER).text
    card = client.get(f"/players/{ids.player}", headers=BROWSER).text
    assert "2 balls tallied, 1 of 2 seen to land in the circle, by player" in card
    assert f"/sessions/{ids.session}/log" in card, "the coach's own session stays the last one"


def test_a_player_takes_back_what_they_tallied_and_nothing_else(guest, store, settings, ids):
    other = put_lesson(store, "Somebody Else")
    link = followed(guest, store, settings, ids)
    mine = tallied()
    send(guest, mine)
    coachs = coach_ball(store, ids)
    theirs = coach_ball(store, other)
    for target in (coachs, theirs, new_id()):
        back = {"id": new_id(), "seq": 3, "day": mine["day"], "takes_back": target}
        answer = send(guest, back).json()
        assert answer["stored"] == [] and len(answer["refused"]) == 1, target
    assert len(sessions.session_balls(store, ids.session)) == 1
    back = {"id": new_id(), "seq": 4, "day": mine["day"], "takes_back": mine["id"]}
    assert send(guest, back).json()["balls"] == 0
    assert home_balls(store, ids.player) == []
    assert link.player_id == ids.player


def coach_ball(store, ids, session=None):
    """A ball that the coach logged; its id."""
    ball = BallRow(
        id=new_id(),
        session_id=session or ids.session,
        device=new_id(),
        seq=0,
        made=NOW,
        club="SW",
        start_m=Point(0, 0),
        landed_m=Point(0, 8),
    )
    assert not sessions.log_balls(store, [ball]).refused
    return ball.id


def test_a_ball_that_the_coach_put_into_a_home_session_is_the_coachs(guest, store, settings, ids):
    followed(guest, store, settings, ids)
    mine = tallied()
    send(guest, mine)
    session = home_session_id(ids.player, datetime.date.today())
    coachs = coach_ball(store, ids, session)
    answer = send(guest, {"id": new_id(), "seq": 5, "day": mine["day"], "takes_back": coachs}).json()
    assert "corrects only what the player logged" in answer["refused"][0]["error"]
    assert coachs in {one.ball.id for one in home_balls(store, ids.player)}


@pytest.mark.parametrize(
    "more",
    [
        {"session_id": "a" * 32},
        {"player_id": "b" * 32},
        {"kind": "placed"},
        {"landed_m": [0, 7]},
        {"logged_by": "coach"},
        {"strike": "shank"},
        {"landed": "somewhere"},
        {"finished": None},
        {"club": None},
        {"to_spot_m": 1e9},
        {"to_spot_m": "NaN"},
        {"circle_radius_m": 0},
        {"id": "not an id"},
        {"id": "../../etc"},
        {"day": "yesterday"},
    ],
    ids=str,
)
def test_a_tally_that_says_more_or_less_than_a_tally_is_refused(guest, store, settings, ids, more):
    followed(guest, store, settings, ids)
    assert send(guest, tallied(**more)).status_code == 422
    assert home_balls(store, ids.player) == []


def test_a_tally_under_the_id_of_another_ball_changes_nothing(guest, store, settings, ids):
    followed(guest, store, settings, ids)
    coachs = coach_ball(store, ids)
    answer = send(guest, tallied(id=coachs)).json()
    assert answer["stored"] == [] and "another ball" in answer["refused"][0]["error"]
    (kept,) = sessions.session_balls(store, ids.session)
    assert kept.ball.kind == "placed" and kept.logged_by is By.COACH


def test_tallies_of_another_day_than_could_be_are_refused(guest, store, settings, ids):
    followed(guest, store, settings, ids)
    today = datetime.date.today()
    for days, taken in ((-59, True), (-61, False), (2, False)):
        when = (today + datetime.timedelta(days=days)).isoformat()
        assert (len(send(guest, tallied(day=when)).json()["stored"]) == 1) is taken, when


def test_a_day_has_room_for_so_many_balls_and_no_more(guest, store, settings, ids):
    followed(guest, store, settings, ids)
    for _ in range(MOST_A_DAY // 100):
        assert len(send(guest, *(tallied() for _ in range(100))).json()["stored"]) == 100
    answer = send(guest, tallied()).json()
    assert answer["stored"] == [] and "rest, and go on tomorrow" in answer["refused"][0]["error"]
    assert guest.post("/api/mine/tallies", json={"tallies": [tallied()] * 101}).status_code == 422
    last = home_balls(store, ids.player)[-1].ball.id
    for _ in range(MOST_A_DAY):  # taking back and adding again does not go on for ever
        back, again = tallied(), tallied()
        told = send(guest, {"id": back["id"], "seq": 9, "day": back["day"], "takes_back": last}, again).json()
        if told["refused"]:
            break
        last = again["id"]
    assert "rest, and go on tomorrow" in told["refused"][0]["error"]


def test_tallies_go_nowhere_without_a_link_that_adds(guest, client, store, settings, ids):
    assert send(client, tallied()).status_code == 403  # the coach has the log for that
    assert send(guest, tallied()).status_code == 401
    followed(guest, store, settings, ids, may_add=False)
    assert send(guest, tallied()).status_code == 403
    link = followed(guest, store, settings, ids)
    players.revoke_link(store, link.id)
    assert send(guest, tallied()).status_code == 403
    assert home_balls(store, ids.player) == []


def test_tallies_from_home_teach_no_plan(guest, store, settings, ids):
    followed(guest, store, settings, ids)
    send(guest, *(tallied(seq=k) for k in range(5)))
    assert desk.balls_of_day(store, ids.player, ids.day) == ()
    assert sessions.last_session(store, ids.player).id == ids.session


@pytest.mark.browser
def test_a_player_tallies_at_home_and_loses_nothing(phone, network_server, store, settings, ids):
    token = token_of(settings, players.make_link(store, ids.player))
    page = phone.new_page()
    page.goto(f"{network_server.plain_url}/link/{token}")
    page.get_by_label("Paces to the spot").fill("8")
    page.get_by_label("Then to the hole").fill("5")
    own_tally(page, "Given")
    expect(page.locator("#home")).to_contain_text("1 ball tallied, 1 of 1")
    phone.set_offline(True)
    own_tally(page, "Holed")
    own_tally(page, "Past")
    page.get_by_role("button", name="Undo last").click()
    expect(page.locator("#saved")).to_have_text("The last ball is taken back.")
    expect(page.locator("#send-again")).to_have_text("3 waiting: send again")
    assert len(home_balls(store, ids.player)) == 1
    phone.set_offline(False)
    expect(page.locator("#home")).to_contain_text("2 balls tallied, 2 of 2", timeout=20000)
    expect(page.locator("#send-again")).to_be_hidden()
    assert [one.ball.tally_finished for one in home_balls(store, ids.player)] == ["given", "holed"]


def own_tally(page, finished):
    page.evaluate("document.querySelector('#saved').textContent = ''")
    page.locator("#tally-landed").get_by_role("button", name="In the circle").click()
    page.locator("#tally-finished").get_by_role("button", name=finished).click()
    expect(page.locator("#saved")).to_have_text("Saved on this device.")


def test_a_link_that_only_shows_takes_nothing(guest, store, settings, ids):
    followed(guest, store, settings, ids, may_add=False)
    score = {"drill": "Landing circle", "successes": 7, "out_of": 10}
    assert guest.post("/api/mine/scores", json=score).status_code == 403
    assert "Send the score" not in guest.get("/mine", headers=BROWSER).text


def test_a_link_that_was_taken_back_closes_what_it_opened(guest, store, settings, ids):
    link = followed(guest, store, settings, ids)
    players.revoke_link(store, link.id)
    assert guest.get("/mine").status_code == 403
    assert guest.get(f"/link/{token_of(settings, link)}").status_code == 403


def test_a_link_expires_and_so_does_what_it_opened(guest, store, settings, ids):
    link = followed(guest, store, settings, ids, days=3)
    now = store.clock()
    store.clock = lambda: now + datetime.timedelta(days=4)
    assert guest.get("/mine").status_code == 403
    assert guest.get(f"/link/{token_of(settings, link)}").status_code == 403


@pytest.mark.parametrize(
    "change",
    [lambda t: t[:-9] + ("A" if t[-9] != "A" else "B") + t[-8:], lambda t: t.split(".")[0], str.upper],
)
def test_a_changed_link_opens_nothing(guest, store, settings, ids, change):
    link = players.make_link(store, ids.player)
    assert guest.get(f"/link/{change(token_of(settings, link))}").status_code in (403, 404)
    assert guest.get("/mine").headers["location"] == "/sign-in"


def test_an_id_alone_and_a_link_of_another_server_open_nothing(guest, store, settings, ids):
    link = players.make_link(store, ids.player)
    other = Settings(secret=b"another secret of at least 32 bytes, too")
    for token in (link.id, token_of(other, link)):
        assert guest.get(f"/link/{token}").status_code == 403


def test_the_coach_makes_and_takes_back_links(client, store, ids):
    made = client.post(f"/api/players/{ids.player}/links", json={"days": 5}).json()
    assert made["path"].startswith("/link/")
    assert "open until" in client.get(f"/players/{ids.player}/edit", headers=BROWSER).text
    assert client.delete(f"/api/links/{made['id']}").json() == {"ok": True}
    assert "open until" not in client.get(f"/players/{ids.player}/edit", headers=BROWSER).text
    assert client.post(f"/api/players/{new_id()}/links", json={}).status_code == 404


def test_no_name_of_a_player_stands_in_an_address_or_a_log(client, store, ids, caplog):
    with caplog.at_level("DEBUG", logger="firstbounce"):
        for path in (f"/players/{ids.player}", "/", f"/sessions/{ids.session}/log", f"/players/{new_id()}"):
            client.get(path, headers=BROWSER)
        listed = client.get("/", headers=BROWSER).text
    assert "Ada" not in caplog.text
    assert "Ada" not in "".join(part.split('"')[0] for part in listed.split('href="')[1:])
