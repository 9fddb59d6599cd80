"""Each rule of the door, by a try to break it."""

import re
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import quote

import pytest
from web_server import HOST, PASSPHRASE, SECRET

from firstbounce.errors import ParameterError
from firstbounce.web import assets
from firstbounce.web.app import create_app
from firstbounce.web.passphrase import TRIES, TRIES_OF_ALL, Tries, hash_of, matches
from firstbounce.web.security import host_name, is_loopback
from firstbounce.web.settings import Settings

OUR_DRAWINGS = {"picture", "side", "day.picture", "drawing", "qr", "curve"}
PHONE = "192.0.2.7"  # an address for documentation (RFC 5737); nothing is ever sent to it


@pytest.fixture
def clock():
    return {"now": 1_800_000_000.0}


@pytest.fixture
def network_app(store, passphrase_hash, clock):
    settings = Settings(
        secret=SECRET,
        passphrase_hash=passphrase_hash,
        on_network=True,
        hosts=frozenset({HOST}),
        clock=lambda: clock["now"],
    )
    return create_app(store, settings)


@pytest.fixture
def phone_client(network_app, visit):
    return visit(network_app, peer=PHONE, host=HOST, raise_server_exceptions=False)


def sign_in(client, passphrase=PASSPHRASE):
    return client.post("/api/sign-in", json={"passphrase": passphrase})


def refused(answer, status):
    assert answer.status_code == status, answer.text
    body = answer.json()
    assert body["ok"] is False and body["status"] == status and body["error"]
    return body["error"]


def test_without_phone_only_the_machine_itself_is_answered(app, visit):
    refused(visit(app, peer=PHONE).get("/"), 403)
    assert visit(app, peer="127.0.0.1").get("/").status_code == 200
    assert visit(app, peer="::1", host="[::1]").get("/").status_code == 200


@pytest.mark.parametrize(
    "host", ["rebound.example", "127.0.0.1.example", "coach.test", "", "[::1", "127.0.0.1@x"]
)
def test_a_name_that_was_pointed_at_loopback_is_refused(app, visit, host):
    answer = visit(app).get("/", headers={"host": host})
    assert answer.status_code in (400, 421)


def test_there_is_no_network_without_a_passphrase():
    with pytest.raises(ParameterError, match="passphrase"):
        Settings(secret=SECRET, on_network=True)
    with pytest.raises(ParameterError, match="letters"):
        hash_of("short")
    with pytest.raises(ParameterError, match="32 bytes"):
        Settings(secret=b"short")


def test_on_a_network_nothing_is_shown_before_signing_in(phone_client):
    assert phone_client.get("/").headers["location"] == "/sign-in"
    for path in ("/api/course", "/api/players", "/api/openapi.json"):
        refused(phone_client.get(path), 401)
    refused(phone_client.post("/api/outbox", json={"v": 1, "rows": []}), 401)
    assert phone_client.get("/sign-in").status_code == 200
    assert phone_client.get(assets.static("style.css")).status_code == 200


def test_the_laptop_itself_signs_in_too_when_it_is_on_a_network(network_app, visit):
    assert visit(network_app, host="127.0.0.1").get("/").headers["location"] == "/sign-in"


def test_the_passphrase_opens_and_signing_out_closes(phone_client):
    assert sign_in(phone_client).json() == {"ok": True}
    assert phone_client.get("/").status_code == 200
    assert phone_client.post("/api/sign-out").status_code == 200
    assert phone_client.get("/").status_code == 303


def test_the_session_cookie_cannot_be_read_by_scripts_or_sent_from_elsewhere(phone_client):
    cookie = sign_in(phone_client).headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and "path=/" in cookie
    assert "domain" not in cookie


def test_under_tls_the_cookie_is_secure_and_bound_to_the_host(store, passphrase_hash, visit):
    settings = Settings(
        secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, tls=True, hosts=frozenset({HOST})
    )
    client = visit(create_app(store, settings), peer=PHONE, host=HOST, scheme="https")
    cookie = sign_in(client).headers["set-cookie"]
    assert cookie.startswith("__Host-firstbounce=") and "Secure" in cookie
    assert client.get("/").status_code == 200


def test_a_session_ends(phone_client, clock):
    sign_in(phone_client)
    clock["now"] += 31 * 24 * 3600
    assert phone_client.get("/").status_code == 303


@pytest.mark.parametrize(
    "change", [lambda c: c[:-2] + "xx", lambda c: "x" + c, lambda c: c.split(".")[0], lambda c: ""]
)
def test_a_tampered_cookie_opens_nothing(phone_client, change):
    sign_in(phone_client)
    cookie = phone_client.cookies["firstbounce"]
    phone_client.cookies.clear()
    answer = phone_client.get("/api/course", headers={"cookie": f"firstbounce={change(cookie)}"})
    refused(answer, 401)


def test_a_cookie_of_another_server_opens_nothing(store, passphrase_hash, phone_client, visit):
    other = Settings(
        secret=b"another secret of at least 32 bytes, too",
        passphrase_hash=passphrase_hash,
        on_network=True,
        hosts=frozenset({HOST}),
    )
    elsewhere = visit(create_app(store, other), peer=PHONE, host=HOST)
    sign_in(elsewhere)
    phone_client.cookies.update(elsewhere.cookies)
    refused(phone_client.get("/api/course"), 401)


def test_guessing_must_wait(phone_client, clock):
    for _ in range(TRIES):
        refused(sign_in(phone_client, "a wrong guess"), 403)
    said = refused(sign_in(phone_client), 429)  # even the right one
    assert "wait" in said
    clock["now"] += 31
    assert sign_in(phone_client).status_code == 200


def test_each_further_guess_doubles_the_wait_and_other_addresses_share_a_limit():
    tries = Tries()
    for k in range(TRIES):
        assert tries.take("a", float(k)) == 0
    first = tries.wait_s("a", TRIES - 1)
    assert tries.take("a", TRIES - 1) == first > 0
    later = TRIES + first
    assert tries.take("a", later) == 0
    assert tries.wait_s("a", later) == pytest.approx(2 * first)
    assert tries.wait_s("b", later) == 0
    for k in range(TRIES_OF_ALL):
        tries.take(f"address {k}", later)
    assert tries.wait_s("never seen", later) > 0


def test_many_guesses_at_once_gain_nothing(phone_client):
    """Forty at the same moment: five are looked at, whatever the threads do."""
    with ThreadPoolExecutor(40) as pool:
        answers = list(pool.map(lambda k: sign_in(phone_client, f"a wrong guess {k}"), range(40)))
    assert sorted(answer.status_code for answer in answers) == [403] * TRIES + [429] * (40 - TRIES)

    tries, start = Tries(), threading.Barrier(32)

    def guess(_):
        start.wait()
        return tries.take("a", 0.0) == 0

    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(32) as pool:
            assert sum(pool.map(guess, range(32))) == TRIES
    finally:
        sys.setswitchinterval(usual)


def test_a_passphrase_is_never_kept_as_such():
    passphrase_hash = hash_of(PASSPHRASE)
    assert passphrase_hash.startswith("$argon2id$") and PASSPHRASE not in passphrase_hash
    assert matches(passphrase_hash, PASSPHRASE)
    assert not matches(passphrase_hash, PASSPHRASE + " ") and not matches("no hash", PASSPHRASE)
    settings = Settings(secret=SECRET, passphrase_hash=passphrase_hash, on_network=True)
    assert passphrase_hash not in repr(settings) and "secret" not in repr(settings)


FOREIGN = [
    {"origin": "https://elsewhere.example"},
    {"origin": "null"},
    {"origin": "http://127.0.0.1:9"},
    {"origin": "http://127.0.0.1", "sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"},
    {"origin": "http://127.0.0.1.example"},
]


@pytest.mark.parametrize("headers", FOREIGN)
def test_another_site_writes_nothing(client, headers):
    refused(client.post("/api/outbox", json={"v": 1, "rows": []}, headers=headers), 403)
    refused(client.post("/api/sign-in", json={"passphrase": PASSPHRASE}, headers=headers), 403)


def test_our_own_pages_write(client):
    headers = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    assert client.post("/api/outbox", json={"v": 1, "rows": []}, headers=headers).status_code == 200


def test_another_site_may_link_but_not_embed_or_fetch(client):
    fetched = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}
    refused(client.get("/", headers=fetched), 403)
    framed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "iframe"}
    refused(client.get("/", headers=framed), 403)
    followed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/", headers=followed).status_code == 200


def test_a_form_of_another_kind_is_no_json(client):
    answer = client.post("/api/outbox", content=b'{"v":1,"rows":[]}', headers={"content-type": "text/plain"})
    refused(answer, 422)


def test_too_much_is_refused_whether_or_not_it_says_how_much(client):
    refused(
        client.post("/api/outbox", content=b"x" * 1_000_001, headers={"content-type": "application/json"}),
        413,
    )

    def without_length():
        for _ in range(11):
            yield b"x" * 100_000

    answer = client.post(
        "/api/outbox", content=without_length(), headers={"content-type": "application/json"}
    )
    refused(answer, 413)


@pytest.mark.parametrize(
    "path",
    [
        "/static/x/../../app.py",
        "/static/x/..%2f..%2fapp.py",
        "/static/x/%2e%2e%2fapp.py",
        "/static/x/sw.js%00.css",
        "/static/x//etc/passwd",
    ],
)
def test_no_path_leaves_the_static_folder(client, path):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "text", ["' or 1=1 --", "x'); drop table player; --", '" union select * from setting --']
)
def test_sql_in_a_text_or_an_address_stays_text(client, text):
    told = client.post("/api/players", json={"name": text, "level": "scratch"})
    assert told.status_code == 201
    assert client.get(f"/api/players/{told.json()['id']}").json()["name"] == text
    for path in (
        f"/api/players?after={quote(text)}",
        f"/api/players/{quote(text)}",
        f"/players/{quote(text)}",
    ):
        assert client.get(path).status_code in (200, 404, 422), path
    assert [one["name"] for one in client.get("/api/players").json()["players"]] == [text]


def test_every_answer_carries_the_policies(client):
    for path in ("/", "/no-such-page", "/api/no-such", "/sw.js", assets.static("page.js")):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy and "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy and "base-uri 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    assert client.get("/").headers["cache-control"] == "no-store"


def test_no_template_has_inline_script_or_style():
    for path in assets.TEMPLATES.iterdir():
        text = path.read_text()
        assert "style=" not in text and "<style" not in text, path.name
        assert not any(f" on{event}=" in text for event in ("click", "load", "submit", "error", "change")), (
            path.name
        )
        for part in text.split("<script")[1:]:
            tag = part.split(">")[0]
            assert "src=" in tag or 'type="application/json"' in tag, path.name
        unescaped = set(re.findall(r"([\w.]+)\s*\|\s*safe", text))
        assert unescaped <= OUR_DRAWINGS, path.name  # SVG of our own making, which escapes its texts


def test_failures_have_one_shape(client):
    for answer in (
        client.get("/api/no-such"),
        client.post("/api/outbox", json={"v": 99}),
        client.put("/api/outbox", json={}),
        client.get("/api/jobs/none"),
    ):
        refused(answer, answer.status_code)


def test_addresses():
    assert is_loopback("127.8.8.8") and is_loopback("::1") and is_loopback("::ffff:127.0.0.1")
    assert not any(map(is_loopback, (PHONE, "0.0.0.0", "", "localhost", "::ffff:192.0.2.1")))
    assert host_name("COACH.test:8000") == "coach.test" and host_name("[::1]:80") == "::1"
