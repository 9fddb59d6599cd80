"""A player's link: signed, expiring, revocable; own record only; what it adds is marked "by player"."""

import datetime

import pytest
from web_lesson import put_lesson
from web_server import HOST, SECRET

from firstbounce.records.rows.people import By
from firstbounce.services import players, sessions
from firstbounce.services.store import new_id
from firstbounce.web.app import create_app
from firstbounce.web.links import token_of
from firstbounce.web.settings import Settings

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
