"""The rules of the door on every route there is: whoever adds a route cannot forget one."""

import re

import pytest
from web_lesson import put_lesson
from web_pages import every_route
from web_server import HOST, SECRET

from firstbounce.services import players
from firstbounce.web.app import create_app
from firstbounce.web.links import token_of
from firstbounce.web.security import OF_PLAYERS, OPEN, UPLOADS
from firstbounce.web.settings import Settings

STRANGER = "192.0.2.7"  # an address for documentation (RFC 5737); nothing is ever sent to it
SAFE = {"GET", "HEAD", "OPTIONS"}
FOREIGN = {"origin": "https://elsewhere.example", "sec-fetch-site": "cross-site"}
EMBEDDED = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}


def every():
    """Method and address of each route, ids filled with one that nobody has."""
    found = [("GET", "/api/openapi.json")]
    for route in every_route():
        path = re.sub(r"{[^}]+}", "0" * 32, route.path)
        found += [(method, path) for method in sorted(route.methods) if method != "HEAD"]
    assert len(found) > 40
    return found


def is_open(path):
    return path.startswith(OPEN)


def is_of_players(path):
    return any(path == place or path.startswith(f"{place}/") for place in OF_PLAYERS)


@pytest.fixture
def settings(passphrase_hash):
    return Settings(secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, hosts=frozenset({HOST}))


@pytest.fixture
def network_app(store, settings):
    return create_app(store, settings)


@pytest.fixture
def stranger(network_app, visit):
    return visit(network_app, peer=STRANGER, host=HOST, raise_server_exceptions=False)


def asked(client, method, path, **more):
    body = {} if method in SAFE else {"json": {}}
    return client.request(method, path, **body, **more)


def test_nobody_sees_or_changes_anything_on_a_network(stranger):
    for method, path in every():
        if not is_open(path):
            answer = asked(stranger, method, path)
            shown = (answer.status_code, answer.headers.get("location"))
            assert shown in ((401, None), (303, "/sign-in")), (method, path, shown)


def test_what_is_open_to_everybody_tells_of_nobody(stranger, store):
    put_lesson(store, "Ottoline Query")
    for method, path in every():
        if is_open(path):
            assert "Ottoline" not in asked(stranger, method, path).text, (method, path)


def test_a_player_reaches_their_own_pages_only(stranger, store, settings):
    ids = put_lesson(store, "Ada")
    put_lesson(store, "Ottoline Query")
    link = players.make_link(store, ids.player)
    assert stranger.get(f"/link/{token_of(settings, link)}").headers["location"] == "/mine"
    for method, path in every():
        answer = asked(stranger, method, path) if "sign-out" not in path else None
        if answer is None:
            continue
        if not (is_open(path) or is_of_players(path)):
            assert answer.status_code == 403, (method, path, answer.status_code)
        assert "Ottoline" not in answer.text, (method, path)


def test_another_site_writes_nowhere(client):
    for method, path in every():
        if method not in SAFE:
            answer = asked(client, method, path, headers=FOREIGN)
            assert answer.status_code == 403, (method, path, answer.status_code)


def test_another_site_embeds_nothing(client):
    for method, path in every():
        if method in SAFE:
            answer = asked(client, method, path, headers=EMBEDDED)
            assert answer.status_code == 403, (method, path, answer.status_code)


def test_without_phone_no_other_machine_and_no_other_name_is_answered(app, visit):
    elsewhere = visit(app, peer=STRANGER, raise_server_exceptions=False)
    rebound = visit(app, host="rebound.example", raise_server_exceptions=False)
    for method, path in every():
        assert asked(elsewhere, method, path).status_code == 403, (method, path)
        assert asked(rebound, method, path).status_code == 421, (method, path)


def test_too_much_is_refused_everywhere(client):
    for method, path in every():
        if method not in SAFE and not path.startswith(UPLOADS):
            headers = {"content-type": "application/json"}
            answer = client.request(method, path, content=b'"' + b"x" * 1_000_000 + b'"', headers=headers)
            assert answer.status_code == 413, (method, path, answer.status_code)
            assert answer.json()["ok"] is False


def test_every_failure_has_the_one_shape_and_tells_nothing_of_the_inside(client):
    for method, path in every():
        answer = asked(client, method, path)
        assert answer.status_code != 500, (method, path)
        if answer.status_code >= 400:
            told = answer.json()
            assert set(told) == {"ok", "error", "status"} and told["status"] == answer.status_code, path
            assert not re.search(r"Traceback|sqlalchemy|sqlite|/src/|\.py\b", told["error"]), (path, told)
