"""Guides from the pages: the numbers of the command, and a link that shows one guide and nothing else."""

import base64
import datetime
import hashlib
import io
import re
import time
import zipfile

import httpx
import pypdf
import pytest
from playwright.sync_api import expect
from test_serve import PHONE, started, stopped
from web_lesson import NOW, put_lesson
from web_server import HOST, PASSPHRASE, SECRET, free_port

from firstbounce.guides.coach import Coach
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, PlayerRow
from firstbounce.services import desk_guides, guide, kept, players
from firstbounce.services.demo_records import put_demo
from firstbounce.services.lessons import lessons
from firstbounce.services.store import new_id
from firstbounce.services.transfer import export
from firstbounce.web.app import create_app
from firstbounce.web.links import guide_path, token_of
from firstbounce.web.settings import Settings
from firstbounce.words import Level

BROWSER = {"accept": "text/html"}
NASTY = '<script>alert(1)</script>"\'><img src=x onerror=alert(2)>{{7*7}}<!-- links -->#read("/etc/passwd")'
CARD = {"kind": "pocket card"}


def done(client, answer):
    """The answer of a job, once it is done."""
    assert answer.status_code == 202, answer.text
    until = time.monotonic() + 120
    while time.monotonic() < until:
        job = client.get(f"/api/jobs/{answer.json()['job']}").json()
        if job["state"] not in ("waiting", "working"):
            assert job["state"] == "done", job["error"]
            return job["answer"]
        time.sleep(0.05)
    raise AssertionError("the job did not end")


def failed(client, answer):
    """Why a job failed."""
    until = time.monotonic() + 120
    while time.monotonic() < until:
        job = client.get(f"/api/jobs/{answer.json()['job']}").json()
        if job["state"] not in ("waiting", "working"):
            assert job["state"] == "failed"
            return job["error"]
        time.sleep(0.05)
    raise AssertionError("the job did not end")


def made(client, **body):
    return done(client, client.post("/api/guides", json=body))["guide"]


def shared(client, guide_id, days=30):
    return client.post(f"/api/guides/{guide_id}/links", json={"days": days}).json()


def words(page):
    """What a person reads in a page."""
    return re.sub(r"\s+", " ", re.sub(r"<style>.*?</style>|<[^>]+>", " ", page, flags=re.S))


@pytest.fixture
def player(store):
    row = PlayerRow(id=new_id(), name="Ada", level=Level.TEN_TO_EIGHTEEN, made=NOW)
    players.add_player(store, row)
    return row.id


@pytest.fixture
def settings(passphrase_hash):
    return Settings(
        secret=SECRET,
        passphrase_hash=passphrase_hash,
        on_network=True,
        hosts=frozenset({HOST}),
        phone_url=f"http://{HOST}:8000",
    )


@pytest.fixture
def guest(store, settings, visit):
    """A phone on the network that is not signed in."""
    app = create_app(store, settings)
    return visit(app, peer="192.0.2.9", host=HOST, raise_server_exceptions=False)


def test_a_guide_has_the_numbers_of_the_command(client, store, tmp_path):
    put_demo(store)
    ada = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    guide_id = made(client, player_id=ada, drills=["Landing circle", "Line brush"])
    export(store, tmp_path / "ada.zip", player_id=ada)
    with zipfile.ZipFile(tmp_path / "ada.zip") as files:
        files.extractall(tmp_path / "out")
    (green,) = (tmp_path / "out").rglob("*.toml")
    (balls,) = green.parent.glob("*balls*.csv")
    ask = guide.Ask(
        green=green,
        balls=balls,
        drills=("Landing circle", "Line brush"),
        coach=Coach(),
        station=first(store, ada),
    )
    by_command = guide.make(ask)
    page = client.get(f"/guides/{guide_id}/page").text
    ours = words(page).replace("The same guide to print (PDF) ", "")
    assert ours == words(by_command.page)
    assert "Learned from 12 balls of yours" in ours
    pdf = pypdf.PdfReader(io.BytesIO(client.get(f"/guides/{guide_id}/pdf").content))
    theirs = pypdf.PdfReader(io.BytesIO(by_command.pdf))
    assert [one.extract_text() for one in pdf.pages] == [one.extract_text() for one in theirs.pages]


def first(store, player_id):
    """The name of the station that the page puts first."""
    row = players.player(store, player_id)
    return desk_guides.known_of(store, row).stations[0].name


def test_every_kind_is_made_and_kept_with_its_files(client, store):
    put_demo(store)
    ada = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    for kind, owner in (("pocket card", ada), ("log sheet", ada), ("general guide", None)):
        guide_id = made(client, player_id=ada, kind=kind, paper="us-letter", units="yards", theme="Spring")
        told = client.get(f"/api/guides/{guide_id}").json()
        assert told["kind"] == kind and told["player_id"] == owner
        assert told["asked"]["paper"] == "us-letter" and told["asked"]["units"] == "yards"
        assert client.get(f"/api/guides/{guide_id}/pdf").content.startswith(b"%PDF")
        assert "yard" in client.get(f"/api/guides/{guide_id}/page").text
        assert client.get(f"/guides/{guide_id}", headers=BROWSER).status_code == 200
    listed = client.get("/api/guides", params={"player_id": ada}).json()["guides"]
    assert [one["kind"] for one in listed] == ["log sheet", "pocket card"]
    assert [one["kind"] for one in client.get("/api/guides").json()["guides"]] == ["general guide"]
    page = client.get(f"/players/{ada}/guide", headers=BROWSER).text
    assert 'value="us-letter" checked' in page  # as last time
    assert "Made before" in page and "For anyone" in page and "from 12 balls of that day" in page


def test_the_lesson_sets_the_form(client, store):
    put_demo(store)
    ada = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    (lesson,) = lessons(store, ada)
    page = client.get(f"/players/{ada}/guide?lesson={lesson.id}", headers=BROWSER).text
    assert 'value="Land it on the spot"' in page
    assert re.findall(r'value="([^"]+)" checked><span>Landing', page) == ["Landing circle"]
    guide_id = made(client, player_id=ada, lesson_id=lesson.id, **CARD)
    assert kept.guide_row(store, guide_id).lesson_id == lesson.id


def test_a_new_player_gets_a_guide_that_says_it_is_typical(client, player):
    guide_id = made(client, player_id=player, drills=["Landing circle"])
    page = client.get(f"/guides/{guide_id}/page").text
    assert "typical for your level" in page and "No balls of yours yet" in page


def test_a_players_own_clubs_stand_on_the_card(client, store, player):
    body = {"name": "Ada", "level": "10 to 18", "clubs": ["SW", "9i", "putter"]}
    assert client.put(f"/api/players/{player}", json=body).status_code == 200
    page = words(client.get(f"/guides/{made(client, player_id=player, **CARD)}/page").text)
    assert "SW" in page and "9i" in page and "LW" not in page


def test_what_cannot_be_made_is_said(client, player):
    for body, status in (
        ({"player_id": new_id()}, 404),
        ({"player_id": player, "kind": "poster"}, 422),
        ({"player_id": player, "drills": ["x"] * 13}, 422),
        ({"player_id": player, "aim": "x" * 301}, 422),
        ({"player_id": player, "link_days": 0}, 422),
        ({"player_id": player, "lesson_id": new_id()}, 404),
    ):
        answer = client.post("/api/guides", json=body)
        assert answer.status_code == status and answer.json()["status"] == status, body
    ask = {"player_id": player, "kind": "log sheet"}
    assert "plan on a green" in failed(client, client.post("/api/guides", json=ask))
    ask = {"player_id": player, "drills": ["No such drill"]}
    assert "No such drill" in failed(client, client.post("/api/guides", json=ask))
    for path in (f"/guides/{new_id()}", f"/guides/{new_id()}/pdf", f"/api/guides/{new_id()}"):
        assert client.get(path).status_code == 404


def test_a_guide_can_be_stopped_and_leaves_nothing(client, store):
    put_demo(store)
    ada = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    job = client.post("/api/guides", json={"player_id": ada}).json()["job"]
    client.delete(f"/api/jobs/{job}")
    until = time.monotonic() + 120
    while client.get(f"/api/jobs/{job}").json()["state"] in ("waiting", "working"):
        assert time.monotonic() < until
        time.sleep(0.05)
    assert client.get(f"/api/jobs/{job}").json()["state"] == "stopped"
    assert kept.guides(store, ada) == ()


def test_script_in_every_text_stays_text(client, store, player):
    client.put(f"/api/players/{player}", json={"name": NASTY[:60], "level": "scratch"})
    client.put("/api/look", json={"name": NASTY[:60], "contact": NASTY[:100]})
    said = {"aim": NASTY, "saw": [NASTY, NASTY], "goal": NASTY}
    for body in (
        {"player_id": player, "drills": ["Landing circle"], **said},
        {"kind": "general guide", "theme": NASTY[:60], "drills": ["Landing circle"], **said},
    ):
        guide_id = made(client, **body)
        for path in (f"/guides/{guide_id}/page", f"/guides/{guide_id}", f"/players/{player}/guide"):
            text = client.get(path, headers=BROWSER).text
            assert "<script>alert" not in text and "<img src=x" not in text, path
        page = client.get(f"/guides/{guide_id}/page").text
        assert page.count("The same guide to print") == 1 and "49" not in re.findall(
            r"alert\(2\)&gt;(\d+)", page
        )
        assert "root:" not in words(page)


def test_the_page_of_a_guide_has_a_policy_of_its_own_without_any_script(client, player):
    guide_id = made(client, player_id=player, **CARD)
    link = shared(client, guide_id)
    for path in (f"/guides/{guide_id}/page", link["path"]):
        answer = client.get(path)
        policy = answer.headers["content-security-policy"]
        (style,) = re.findall(r"<style>(.*?)</style>", answer.text, re.S)
        digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
        assert f"style-src 'sha256-{digest}'" in policy and "default-src 'none'" in policy
        assert "unsafe" not in policy and "script" not in policy and "frame-ancestors 'none'" in policy
        assert " style=" not in answer.text and "<script" not in answer.text
    for path in (f"/guides/{guide_id}/pdf", f"{link['path']}/pdf"):
        headers = client.get(path).headers
        assert headers["content-disposition"] == 'attachment; filename="guide.pdf"'
        assert "Ada" not in str(headers) and headers["cache-control"] == "no-store"


def test_a_link_shows_its_guide_to_anybody_and_nothing_else(client, guest, store, player):
    mine, other = made(client, player_id=player, **CARD), made(client, player_id=player, **CARD)
    path = shared(client, mine)["path"]
    assert "Ada" in guest.get(path, headers=BROWSER).text
    assert guest.get(f"{path}/pdf").content.startswith(b"%PDF")
    assert "set-cookie" not in guest.get(path).headers
    for closed in (
        f"/guides/{mine}",
        f"/guides/{mine}/page",
        f"/guides/{other}/pdf",
        f"/players/{player}",
        f"/players/{player}/guide",
        f"/shared/../guides/{other}/page",
        "/",
    ):
        assert guest.get(closed).headers.get("location") == "/sign-in", closed
    for closed in (
        f"/api/guides/{mine}",
        f"/api/guides/{other}/pdf",
        "/api/guides",
        "/api/look",
        "/api/players",
    ):
        assert guest.get(closed).status_code == 401, closed
    assert guest.post("/api/guides", json={}).status_code == 401
    assert guest.post(f"/api/guides/{mine}/links", json={}).status_code == 401
    assert guest.delete(f"/api/guide-links/{new_id()}").status_code == 401


@pytest.mark.parametrize(
    "change",
    [
        lambda t: t[:-9] + ("A" if t[-9] != "A" else "B") + t[-8:],
        lambda t: t.split(".")[0],
        str.upper,
        lambda t: t[1:],
    ],
)
def test_a_changed_link_opens_nothing(client, guest, player, change):
    path = shared(client, made(client, player_id=player, **CARD))["path"]
    token = path.removeprefix("/shared/")
    for tail in ("", "/pdf"):
        assert guest.get(f"/shared/{change(token)}{tail}").status_code in (403, 404)


def test_ids_and_links_of_other_kinds_and_servers_open_nothing(client, guest, store, settings, player):
    guide_id = made(client, player_id=player, **CARD)
    link = shared(client, guide_id)
    to_player = players.make_link(store, player)
    other = Settings(secret=b"another secret of at least 32 bytes, too")
    for token in (guide_id, link["id"], token_of(settings, to_player), guide_path(other, link["id"])[8:]):
        assert guest.get(f"/shared/{token}").status_code == 403, token
    unknown = guide_path(settings, new_id())
    assert guest.get(unknown).status_code == 403
    assert guest.get(f"/link/{link['path'].removeprefix('/shared/')}").status_code == 403
    assert guest.get("/mine").headers["location"] == "/sign-in"


def test_a_link_ends_and_can_be_taken_back(client, guest, store, player):
    guide_id = made(client, player_id=player, **CARD)
    short, long = shared(client, guide_id, days=3), shared(client, guide_id, days=60)
    page = client.get(f"/guides/{guide_id}", headers=BROWSER).text
    assert page.count("open until") >= 2
    assert client.delete(f"/api/guide-links/{long['id']}").json() == {"ok": True}
    assert guest.get(long["path"]).status_code == 403 and guest.get(f"{long['path']}/pdf").status_code == 403
    assert client.get(long["share"], headers=BROWSER).status_code != 200
    assert guest.get(short["path"]).status_code == 200
    now = store.clock()
    store.clock = lambda: now + datetime.timedelta(days=4)
    assert guest.get(short["path"]).status_code == 403
    assert "open until" not in client.get(f"/guides/{guide_id}", headers=BROWSER).text
    assert client.post(f"/api/guides/{guide_id}/links", json={"days": 401}).status_code == 422
    assert client.post(f"/api/guides/{new_id()}/links", json={"days": 4}).status_code == 404


def test_a_juniors_guide_needs_the_guardians_consent_while_it_is_shown(client, guest, store):
    row = PlayerRow(id=new_id(), name="J. P.", level=Level.BEGINNER, made=NOW, junior=True)
    today = store.clock().date()
    consent = Consent(
        id=new_id(),
        player_id=row.id,
        kind=ConsentKind.RECORD,
        given_by=Giver.GUARDIAN,
        guardian="a parent",
        given=NOW,
        delete_by=today + datetime.timedelta(days=100),
    )
    players.add_player(store, row, (consent,))
    guide_id = made(client, player_id=row.id, **CARD)
    link = shared(client, guide_id)
    assert guest.get(link["path"]).status_code == 200
    players.withdraw_consent(store, consent.id)
    assert guest.get(link["path"]).status_code == 403 and guest.get(f"{link['path']}/pdf").status_code == 403
    assert client.post(f"/api/guides/{guide_id}/links", json={}).status_code == 403
    answer = client.post("/api/guides", json={"player_id": row.id, **CARD})
    assert "consent" in failed(client, answer)


def test_a_code_on_the_guide_opens_that_guide(guest, store, settings, player, passphrase_hash):
    assert guest.post("/api/sign-in", json={"passphrase": PASSPHRASE}).status_code == 200
    guide_id = made(guest, player_id=player, drills=["Landing circle"], link_days=5)
    page = guest.get(f"/guides/{guide_id}/page").text
    (url,) = set(re.findall(rf"http://{HOST}:8000/shared/[\w.-]+", page))
    (link,) = desk_guides.guide_links(store, guide_id)
    assert url == f"http://{HOST}:8000{guide_path(settings, link.id)}"
    guest.cookies.clear()
    assert guest.get(url.removeprefix(f"http://{HOST}:8000")).status_code == 200


def test_on_a_network_a_link_names_the_address_at_which_a_phone_finds_the_laptop(tmp_path):
    """Also when the coach makes it on the laptop itself, under TLS or not."""
    port = free_port()
    process, _ = started(["-c", PHONE, str(tmp_path / "data"), str(port), PASSPHRASE], "ready")
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=60) as laptop:
            assert laptop.post("/api/sign-in", json={"passphrase": PASSPHRASE}).status_code == 200
            guide_id = made(laptop, kind="general guide", theme="Spring", drills=["Landing circle"])
            share = laptop.get(shared(laptop, guide_id)["share"]).text
        (url,) = re.findall(r'value="(http://[^"]+)"', share)
        assert url.startswith(f"http://{HOST}:{port}/shared/")
        path = url.removeprefix(f"http://{HOST}:{port}")
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", headers={"host": f"{HOST}:{port}"}) as phone:
            assert "Spring" in phone.get(path).text and phone.get("/api/guides").status_code == 401
    finally:
        stopped(process)


def test_erasing_a_player_takes_guides_links_and_files(client, guest, store, player):
    from firstbounce.services.erase import erase

    path = shared(client, made(client, player_id=player, **CARD))["path"]
    assert any((store.folder / "files").iterdir())
    erase(store, player)
    assert guest.get(path).status_code == 403
    assert not any((store.folder / "files").iterdir())


def test_the_look_is_checked_kept_and_used(client, player):
    good = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>'
    assert client.put(
        "/api/look", json={"name": "Mara Quill", "contact": "0555", "accent": "#1F5C4A"}
    ).json()["ok"]
    assert client.put("/api/look", json={"accent": "#FFEE00"}).status_code == 422
    assert client.put("/api/look", json={"accent": "url(x)"}).status_code == 422
    assert client.put("/api/look/logo", content=good).json() == {"ok": True}
    for bad in (
        b"GIF89a",
        b"",
        good.replace(b"<path", b"<script>alert(1)</script><path"),
        good.replace(b"<path", b'<image href="http://elsewhere.example/x.png"/><path'),
        b"\x89PNG\r\n\x1a\n" + b"x" * 600_000,
    ):
        answer = client.put("/api/look/logo", content=bad)
        assert answer.status_code == 422 and answer.json()["error"], bad[:20]
    assert client.put("/api/look/logo", content=b"<svg" + b"x" * 1_000_001).status_code == 413
    told = client.get("/api/look").json()
    assert told["name"] == "Mara Quill" and told["has_logo"] and told["accent"] == "#1F5C4A"
    page = client.get(f"/guides/{made(client, player_id=player, **CARD)}/page").text
    assert "Mara Quill" in page and "--accent: #1F5C4A" in page and "data:image/svg+xml;base64," in page
    assert client.delete("/api/look/logo").json() == {"ok": True}
    assert not client.get("/api/look").json()["has_logo"]


@pytest.mark.browser
def test_a_guide_is_made_and_its_link_opened_on_another_phone(phone, browser, server, store):
    ids = put_lesson(store)
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}")
    page.get_by_role("link", name="Guide").click()
    page.get_by_label("One aim").fill("Land it <b>past</b> the fringe")
    page.get_by_role("button", name="Make it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada", timeout=120000)
    with page.expect_download() as waiting:
        page.get_by_role("link", name="To print (PDF)").click()
    assert waiting.value.suggested_filename == "guide.pdf"
    page.get_by_role("button", name="Make a link and a code").click()
    address = page.get_by_label("Or send the address")
    expect(address).to_be_visible()
    expect(page.locator(".code svg")).to_be_visible()
    problems = []
    other = browser.new_context(viewport={"width": 360, "height": 640})
    guest = other.new_page()
    guest.on("console", lambda message: problems.append(message.text))
    guest.goto(address.input_value())
    expect(guest.get_by_text("Land it <b>past</b> the fringe")).to_be_visible()
    assert guest.evaluate("getComputedStyle(document.querySelector('.kind')).textTransform") == "uppercase"
    assert guest.evaluate("document.documentElement.scrollWidth <= innerWidth"), "it scrolls sideways"
    with guest.expect_download():
        guest.get_by_role("link", name="The same guide to print").click()
    other.close()
    assert problems == []


@pytest.mark.browser
def test_the_kind_shows_what_it_needs_and_the_lesson_note_leads_to_the_guide(phone, server, store):
    ids = put_lesson(store)
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}/lesson")
    page.get_by_label("One aim").fill("Finish still")
    page.get_by_label("Drill").select_option("Line brush")
    page.get_by_role("button", name="Close it and make the guide").click()
    expect(page.get_by_label("One aim")).to_have_value("Finish still")
    expect(page.get_by_label("Line brush")).to_be_checked()
    page.get_by_text("What was seen, next goal").click()
    page.get_by_label("What we saw").fill("\n".join("123456"))
    page.get_by_role("button", name="Make it").click()
    expect(page.get_by_role("alert")).to_contain_text("at most 5 things")
    page.get_by_label("Pocket card").check()
    expect(page.get_by_label("One aim")).to_be_hidden()
    page.get_by_label("General guide").check()
    expect(page.get_by_label("Title")).to_be_visible()
    page.get_by_label("Pocket card").check()
    page.get_by_role("button", name="Make it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pocket card, Ada", timeout=120000)
    (row,) = kept.guides(store, ids.player)
    assert row.kind == "pocket card" and row.inputs["asked"]["drills"] == []
