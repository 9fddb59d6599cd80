"""Every page: it opens, uses exactly its context, escapes what people typed, and says what to do first."""

import dataclasses
import importlib
import pkgutil
import re

import pytest
from jinja2 import meta
from web_lesson import NOW, put_lesson

from firstbounce.records.rows.people import PlayerRow
from firstbounce.services import players
from firstbounce.services.demo_records import put_demo
from firstbounce.services.store import new_id
from firstbounce.web import assets, pages
from firstbounce.web.render import environment
from firstbounce.words import Level

BROWSER = {"accept": "text/html"}
NASTY = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>{{7*7}}"


def contexts():
    """Every page's context class, by the template it fills: PlanPage fills plan.html."""
    found = {}
    for module in pkgutil.iter_modules(pages.__path__):
        for name, value in vars(importlib.import_module(f"firstbounce.web.pages.{module.name}")).items():
            if name.endswith("Page") and dataclasses.is_dataclass(value):
                words = re.findall("[A-Z][a-z]+", name.removesuffix("Page"))
                found["_".join(words).lower() + ".html"] = value
    return found


@pytest.mark.parametrize("template", sorted(contexts()))
def test_a_template_uses_exactly_its_context(template):
    environment_ = environment()
    source = (assets.TEMPLATES / template).read_text()
    parts = re.findall(r'{% from "parts.html" import (.*?) %}', source)
    imported = {name.strip() for names in parts for name in names.split(",")}
    used = meta.find_undeclared_variables(environment_.parse(source)) - {"static", "shell"} - imported
    given = {field.name for field in dataclasses.fields(contexts()[template])}
    assert used <= given, f"{template} uses {used - given}"
    assert given <= used, f"{template} never uses {given - used}"


def test_every_template_is_a_page_or_a_part():
    names = {path.name for path in assets.TEMPLATES.iterdir()}
    assert names == set(contexts()) | {"base.html", "parts.html"}


@pytest.fixture
def ids(store):
    return put_lesson(store)


def paths(ids):
    return [
        "/",
        "/players/new",
        f"/players/{ids.player}",
        f"/players/{ids.player}/edit",
        f"/players/{ids.player}/plan",
        f"/players/{ids.player}/drills",
        f"/players/{ids.player}/drills/7",
        f"/players/{ids.player}/lesson",
        f"/players/{ids.player}/chart",
        f"/players/{ids.player}/weeks",
        f"/players/{ids.player}/guide",
        f"/players/{ids.player}/technique",
        f"/sessions/{ids.session}/log",
        f"/sessions/{ids.session}/review",
        f"/days/{ids.day}",
        f"/greens/{ids.green}",
        "/today",
        "/course",
        "/course/log",
        "/clinics",
        "/clinics/new",
        "/clinics/any",
        "/drills",
        "/drills/7",
        "/settings",
        "/trust",
        "/sign-in",
    ]


def test_every_page_opens_and_every_link_leads_somewhere(client, ids):
    seen, waiting = set(), paths(ids)
    while waiting:
        path = waiting.pop()
        if path in seen:
            continue
        seen.add(path)
        answer = client.get(path, headers=BROWSER)
        assert answer.status_code == 200, path
        for link in re.findall(r'(?:href|src)="(/[^"#]*)', answer.text):
            if not link.startswith("/drills/"):
                waiting.append(link)
    assert len(seen) > 40


def test_words_of_the_workshop_never_reach_a_screen(client, ids):
    for path in paths(ids):
        page = client.get(path, headers=BROWSER).text
        text = re.sub(r"<script.*?</script>|<code>.*?</code>|<[^>]+>", " ", page, flags=re.S)
        assert not re.search(r"\b(fit|fitted|prior|model|bias|posterior)\b", text, re.I), path


def test_a_new_place_says_what_to_do_first(client):
    assert "Nobody is here yet" in client.get("/", headers=BROWSER).text
    assert "No green was opened today" in client.get("/today", headers=BROWSER).text


def test_script_in_every_text_field_stays_text(client, store, ids):
    device = "d" * 32

    def row(kind, body, row_id):
        made = {"made_at": "2026-05-14T08:30:00Z", "offset_min": 120}
        return {"id": row_id, "v": 1, "kind": kind, "device": device, "seq": 1, **made, "body": body}

    player, green, day, station, session = (new_id() for _ in range(5))
    rows = [
        row("player", {"name": NASTY, "level": "scratch"}, player),
        row("green", {"name": NASTY}, green),
        row("shape", {"green_id": green, "outline": [[-5, 2], [5, 2], [5, 12], [-5, 12]]}, new_id()),
        row("day", {"green_id": green, "note": NASTY}, day),
        row("station", {"name": NASTY, "green_id": green, "start_m": [0, 0], "hole_m": [0, 9]}, station),
        row(
            "session", {"player_id": player, "kind": "lesson", "day_id": day, "station_id": station}, session
        ),
        row("lesson", {"player_id": player, "aim": NASTY, "homework": NASTY, "seen": NASTY}, new_id()),
        row("score", {"player_id": player, "drill": NASTY, "successes": 1, "out_of": 2}, new_id()),
        row("note", {"player_id": player, "text": NASTY}, new_id()),
    ]
    answer = client.post("/api/outbox", json={"v": 1, "rows": rows}).json()
    assert answer["refused"] == [] and len(answer["stored"]) == len(rows)
    for path in (
        "/",
        f"/players/{player}",
        f"/players/{player}/edit",
        f"/players/{player}/lesson",
        f"/players/{player}/plan",
        f"/players/{player}/drills",
        f"/sessions/{session}/log",
        f"/days/{day}",
        f"/greens/{green}",
    ):
        text = client.get(path, headers=BROWSER).text
        assert "<script>alert" not in text and "<img src=x" not in text, path
        assert "49" not in re.findall(r"alert\(2\)&gt;(\d+)", text), path


def test_a_demo_player_is_met_with_a_card(client, store):
    put_demo(store)
    listed = client.get("/", headers=BROWSER).text
    assert "Ada Quill" in listed
    path = re.search(r'href="(/players/[0-9a-f]{32})"><strong>Ada', listed).group(1)
    card = client.get(path, headers=BROWSER).text
    assert "Land it on the spot" in card and "6 of 10" in card and "Same station" in card
    assert "give or take" in client.get("/today", headers=BROWSER).text


def test_a_junior_needs_a_guardian(client):
    junior = {"name": "J. P.", "level": "beginner", "junior": True}
    answer = client.post("/api/players", json=junior)
    assert answer.status_code == 422 and "guardian" in answer.json()["error"]
    agreed = junior | {"guardian": "a parent", "delete_by": "2028-01-01"}
    assert client.post("/api/players", json=agreed).status_code == 201


def test_a_player_is_changed_and_measured_lofts_stay(client, store):
    row = PlayerRow(id=new_id(), name="Ada", level=Level.SCRATCH, made=NOW)
    players.add_player(store, row)
    body = {"name": "Ada Q.", "level": "10 to 18", "hand": "left", "clubs": ["SW", "putter", "hybrid"]}
    assert client.put(f"/api/players/{row.id}", json=body).status_code == 200
    told = client.get(f"/api/players/{row.id}").json()
    assert told["name"] == "Ada Q." and told["hand"] == "left"
    assert [club["name"] for club in told["clubs"]] == ["SW", "putter", "hybrid"]


def test_settings_are_kept_and_used(client, ids):
    assert client.put("/api/settings", json={"units": "yards", "pace_m": 0.8}).json() == {"ok": True}
    assert client.get("/api/settings").json() == {"ok": True, "units": "yards", "pace_m": 0.8}
    assert '"units": "yards"' in client.get(f"/sessions/{ids.session}/log", headers=BROWSER).text
    assert client.put("/api/settings", json={"units": "yards", "pace_m": 9}).status_code == 422


def test_a_log_of_a_session_that_is_still_on_the_phone_is_a_shell(client):
    answer = client.get(f"/sessions/{new_id()}/log", headers=BROWSER)
    assert answer.status_code == 200 and "log-data" not in answer.text


def test_what_is_not_there_is_said_as_a_page_or_as_json(client):
    page = client.get(f"/players/{new_id()}", headers=BROWSER)
    assert page.status_code == 404 and "This did not work" in page.text
    assert client.get(f"/api/players/{new_id()}").json()["status"] == 404
