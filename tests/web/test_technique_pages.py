"""Technique from the pages: a clip sent, watched, kept, shown and corrected; ticks by eye; nothing left over.

The quick tests put the flat player's landmarks in the model's place; a slow one watches a rendered person.
"""

import datetime
import http.client
import io
import json
import time

import numpy as np
import pytest
from playwright.sync_api import expect
from web_clip import landmarks, seen_by_a_model, write_clip
from web_lesson import NOW, put_lesson
from web_server import HOST, SECRET

from firstbounce.errors import Cancelled, ParameterError
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, PlayerRow
from firstbounce.services import kept, players, technique, watched_clips
from firstbounce.services.store import new_id
from firstbounce.technique.numbers import numbers_from_tree
from firstbounce.web import uploads
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings
from firstbounce.words import Level

BROWSER = {"accept": "text/html"}
av = pytest.importorskip("av")
pytest.importorskip("PIL")


@pytest.fixture(scope="session")
def swing():
    """What the model would see of the clip: a short finish, so that something fails."""
    return landmarks(ratio=0.7)


@pytest.fixture(scope="session")
def clip(tmp_path_factory, swing):
    return write_clip(tmp_path_factory.mktemp("clip") / "swing.mp4", swing).read_bytes()


@pytest.fixture
def model(monkeypatch, swing):
    """The flat player's landmarks instead of a model's; `model["wait"]` holds it until it is stopped."""
    how = {"wait": False, "seen": []}

    def track(facts, *, progress, cancelled, **_):
        how["seen"].append(facts.path)
        progress(0.3)
        while how["wait"]:
            if cancelled():
                raise Cancelled("Stopped; nothing was kept.")
            time.sleep(0.02)
        return seen_by_a_model(swing)

    monkeypatch.setattr(watched_clips, "track", track)
    monkeypatch.setattr(uploads, "missing", lambda: None)
    return how


@pytest.fixture
def player(store):
    row = PlayerRow(id=new_id(), name="Ada", level=Level.TEN_TO_EIGHTEEN, made=NOW)
    players.add_player(store, row)
    return row.id


def send(client, player_id, content, **asked):
    return client.post("/api/clips", params={"player_id": player_id, **asked}, content=content)


def ended(client, answer):
    """A job when it has ended."""
    assert answer.status_code == 202, answer.text
    until = time.monotonic() + 120
    while time.monotonic() < until:
        job = client.get(f"/api/jobs/{answer.json()['job']}").json()
        if job["state"] not in ("waiting", "working"):
            return job
        time.sleep(0.05)
    raise AssertionError("the job did not end")


def watched(client, player_id, content, **asked):
    job = ended(client, send(client, player_id, content, **asked))
    assert job["state"] == "done", job["error"]
    return job["answer"]["technique"]


def corrected(client, technique_id, **body):
    job = ended(client, client.post(f"/api/technique/{technique_id}/corrections", json=body))
    assert job["state"] == "done", job["error"]
    return job["answer"]["technique"]


def incoming(store):
    folder = store.folder / uploads.FOLDER
    return list(folder.iterdir()) if folder.exists() else []


def number(client, technique_id, name):
    (one, *_) = numbers_from_tree(client.get(f"/api/technique/{technique_id}").json()["result"])
    return one.numbers[name]


def test_a_clip_is_watched_kept_and_shown(client, store, model, player, clip):
    made = watched(client, player, clip)
    assert incoming(store) == [] and not model["seen"][0].exists()
    told = client.get("/api/technique", params={"player_id": player}).json()["results"]
    assert [one["id"] for one in told] == [made] and told[0]["swings"] == 1
    assert "through matches back" in told[0]["failed"]
    ratio = number(client, made, "through over back")
    assert ratio.low < 0.7 < ratio.high and ratio.unit == ""
    page = client.get(f"/technique/{made}", headers=BROWSER).text
    assert "To work on:" in page and "0.87 to 1.15" in page and "Stick for the finish" in page
    assert f"/players/{player}/drills/" in page and page.count("<polygon") == 5
    assert "Between: nine times in ten" in page and "Hands over time" in page
    listed = client.get(f"/players/{player}/technique", headers=BROWSER).text
    assert f"/technique/{made}" in listed and "1 swing" in listed
    assert f"Through over back {ratio.value:.2f} ({ratio.low:.2f} to {ratio.high:.2f})" in listed


def test_stills_are_small_upright_and_their_faces_are_blurred(client, model, player, clip, swing):
    from PIL import Image

    made = watched(client, player, clip)
    (drawn,) = client.get(f"/api/technique/{made}/drawing").json()["swings"]
    assert 40 < len(drawn["times_s"]) <= watched_clips.MOST_STILLS
    assert [key["caption"] for key in drawn["keys"]] == ["address", "top", "strike", "finish", "hold ends"]
    key = drawn["keys"][1]
    answer = client.get(f"/api/technique/{made}/stills/{drawn['set']}/{key['still']}")
    assert answer.headers["content-type"] == "image/jpeg"
    picture = Image.open(io.BytesIO(answer.content)).convert("L")
    assert picture.size == (drawn["width"], drawn["height"])
    left, top, _, bottom = drawn["window_px"]
    scale = drawn["height"] / (bottom - top)
    nose = (swing.xy[0, 0] - (left, top)) * scale
    face = np.asarray(picture)[int(nose[1]) - 6 : int(nose[1]) + 6, int(nose[0]) - 6 : int(nose[0]) + 6]
    assert face.std() < 25  # black and white squares have 127
    for path in ("stills/1/999", "stills/9/0", "stills/0/0", "stills/-1/3"):
        assert client.get(f"/api/technique/{made}/{path}").status_code in (404, 422)


def test_frames_moved_by_hand_move_the_numbers_and_the_old_result_stays(client, store, model, player, clip):
    made = watched(client, player, clip)
    moments = client.get(f"/api/technique/{made}").json()["result"]["swings"][0]["moments"]
    top = round(moments["top_s"] - 0.08, 3)
    again = corrected(client, made, moments=[{"swing": 1, "top_s": top}])
    before, after = (number(client, one, "time back").value for one in (made, again))
    assert after == pytest.approx(before - (moments["top_s"] - top), abs=1e-3)
    told = client.get(f"/api/technique/{again}").json()["result"]
    assert told["corrects"] == made and told["corrections"]["moments"] == [{"swing": 1, "top_s": top}]
    assert [row.id for row in technique.results(store, player)] == [again]
    assert client.get(f"/technique/{made}").status_code == 200
    (drawn,) = client.get(f"/api/technique/{again}/drawing").json()["swings"]
    assert drawn["times_s"][drawn["keys"][1]["still"]] == pytest.approx(top, abs=0.02)
    third = corrected(client, again, moments=[{"swing": 1, "finish_s": moments["finish_s"] + 0.05}])
    assert number(client, third, "time back").value == pytest.approx(after, abs=1e-4)  # both count
    page = client.get(f"/technique/{third}", headers=BROWSER).text
    assert "moved by hand" in page and page.count("<polygon") == 5


def test_nothing_moved_gives_the_same_result(client, model, player, clip):
    made = watched(client, player, clip)
    again = corrected(client, made)
    first, second = (client.get(f"/api/technique/{one}").json()["result"]["swings"] for one in (made, again))
    assert first == second


def test_points_and_a_stick_moved_by_hand_count(client, model, player, clip):
    made = watched(client, player, clip)
    (drawn,) = client.get(f"/api/technique/{made}/drawing").json()["swings"]
    key = drawn["keys"][3]
    left, top, _, bottom = drawn["window_px"]
    scale = drawn["height"] / (bottom - top)
    x, y = key["points"]["left_elbow"]
    elbow = [left + (x + 25) / scale, top + y / scale]
    points = [{"time_s": drawn["times_s"][key["still"]], "left_elbow": elbow}]
    again = corrected(client, made, points=points, stick={"length_m": 1.0, "ends": [[10, 450], [160, 450]]})
    (moved,) = client.get(f"/api/technique/{again}/drawing").json()["swings"]
    assert moved["keys"][3]["points"]["left_elbow"] == pytest.approx([x + 25, y], abs=0.5)
    assert number(client, again, "lead elbow change").value != number(client, made, "lead elbow change").value
    assert number(client, made, "hands travel back").value is None
    assert number(client, again, "hands travel back").unit == "m"
    assert 0.2 < number(client, again, "hands travel back").value < 0.6


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ({"moments": [{"swing": 1, "top_s": 99.0}]}, "order"),
        ({"moments": [{"swing": 7, "top_s": 1.0}]}, "swing 7"),
    ],
)
def test_a_correction_that_makes_no_sense_is_said_and_keeps_nothing(
    client, store, model, player, clip, body, said
):
    made = watched(client, player, clip)
    job = ended(client, client.post(f"/api/technique/{made}/corrections", json=body))
    assert job["state"] == "failed" and said in job["error"] and "corrections:" not in job["error"]
    assert [row.id for row in technique.results(store, player)] == [made]


@pytest.mark.parametrize(
    "body",
    [
        {"moments": [{"swing": 0, "top_s": 1.0}]},
        {"moments": [{"swing": 1, "nose_s": 1.0}]},
        {"points": [{"time_s": 1.0, "left_elbow": [1]}]},
        {"points": [{"time_s": 1.0, "nose": [1, 2]}]},
        {"stick": {"length_m": 1.0, "ends": [[1, 1], [1, 1]]}},
        {"marks": {"held_s": 2}},
    ],
)
def test_a_correction_of_the_wrong_shape_is_refused_at_once(client, model, player, clip, body):
    made = watched(client, player, clip)
    answer = client.post(f"/api/technique/{made}/corrections", json=body)
    assert answer.status_code == 422 and answer.json()["error"]


def test_pass_marks_of_the_coach_judge_this_clip_and_the_next(client, model, player, clip):
    made = watched(client, player, clip)
    usual = {name: value for name, value in client.get("/api/pass-marks").json().items() if name != "ok"}
    again = corrected(client, made, marks={**usual, "ratio_low": 0.5})
    for one in (again, watched(client, player, clip)):
        result = client.get(f"/api/technique/{one}").json()["result"]
        verdicts = {item["item"]: item["verdict"] for item in result["swings"][0]["judged"]}
        assert result["marks"]["ratio_low"] == 0.5 and verdicts["through matches back"] == "passed"
    assert "0.5 to 1.15" in client.get(f"/technique/{again}", headers=BROWSER).text
    bad = client.post(f"/api/technique/{made}/corrections", json={"marks": {**usual, "tempo_low": 9}})
    assert bad.status_code == 422


def test_two_clips_stand_below_each_other(client, store, model, player, clip):
    first, second = watched(client, player, clip), watched(client, player, clip)
    page = client.get(f"/technique/{first}", headers=BROWSER).text
    assert f'value="{second}-1"' in page
    answer = client.get(f"/technique/{first}/sheet.svg?swing=1&beside={second}-1")
    assert answer.headers["content-type"] == "image/svg+xml" and answer.text.count("<image") == 10
    assert "script" not in answer.headers["content-security-policy"]
    other = PlayerRow(id=new_id(), name="Bea", level=Level.SCRATCH, made=NOW)
    players.add_player(store, other)
    theirs = watched(client, other.id, clip)
    assert client.get(f"/technique/{first}/sheet.svg?beside={theirs}-1").status_code == 404
    assert client.get(f"/technique/{first}?swing=2").status_code == 404


def test_what_is_no_clip_is_refused_in_a_sentence_and_nothing_stays(client, store, model, player, clip):
    for content, said in (
        (b"", "empty"),
        (b"#EXTM3U\n#EXTINF:10,\nfile:///etc/passwd\n", "no clip"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no clip"),
        (b"ffconcat version 1.0\nfile /etc/passwd\n", "no clip"),
        (b"abc", "no clip"),
        (b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 3000, ""),
        (clip[: len(clip) // 2], ""),
    ):
        answer = send(client, player, content)
        if answer.status_code == 202:
            job = ended(client, answer)
            assert job["state"] == "failed"
            error = job["error"]
        else:
            assert answer.status_code == 422 and answer.json()["ok"] is False
            error = answer.json()["error"]
        assert said in error and str(store.folder) not in error and "/" not in error.split(" (")[0], error
        assert incoming(store) == [] and technique.results(store, player) == ()


def test_names_and_paths_of_a_file_are_never_looked_at(client, store, model, player, clip, tmp_path):
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    for name in (
        "../../../evil.mp4",
        "/etc/cron.d/evil",
        b"a\x00b.mp4".hex(),
        "<script>alert(1)</script>.mp4",
    ):
        headers = {"content-disposition": f'attachment; filename="{name}"', "x-file-name": name}
        answer = client.post(f"/api/clips?player_id={player}", content=clip, headers=headers)
        assert ended(client, answer)["state"] == "done"
        assert (
            client.post(
                f"/api/clips?player_id={player}&name={name[:3]}", files={"file": (name, clip)}
            ).status_code
            == 422
        )
    new = {path for path in tmp_path.rglob("*") if path.is_file()} - before
    assert all(path.parent == store.folder / "files" and len(path.name) == 32 for path in new)
    for bad in ("../x", "x" * 32, "", f"{player}/.."):
        assert send(client, bad, clip).status_code == 422


def test_too_large_a_clip_is_refused_with_and_without_a_length(store, visit, model, player, clip):
    app = create_app(store, Settings(secret=SECRET, most_upload_bytes=len(clip) - 1))
    client = visit(app, raise_server_exceptions=False)
    answer = send(client, player, clip)
    assert answer.status_code == 413 and answer.json()["status"] == 413

    def without_length():
        for k in range(0, len(clip), 65536):
            yield clip[k : k + 65536]

    answer = send(client, player, without_length())
    assert answer.status_code == 413 and "at most" in answer.json()["error"]
    assert incoming(store) == []
    small = create_app(store, Settings(secret=SECRET, most_bytes=1000))
    assert send(visit(small), player, clip).status_code == 202  # its limit is its own


def soon(true):
    """Wait until it is true."""
    until = time.monotonic() + 20
    while not true():
        assert time.monotonic() < until
        time.sleep(0.02)


def begun(server, player_id, content, part):
    """A connection on which so much of a clip was sent."""
    connection = http.client.HTTPConnection("127.0.0.1", server.socket_port, timeout=30)
    connection.putrequest("POST", f"/api/clips?player_id={player_id}")
    connection.putheader("content-type", "application/octet-stream")
    connection.putheader("content-length", str(len(content)))
    connection.endheaders()
    connection.send(content[:part])
    return connection


def test_a_clip_goes_to_disk_as_it_comes(server, store, model, player, clip):
    large = clip + b"\x00" * (3_000_000 - len(clip))
    connection = begun(server, player, large, 2_000_000)
    soon(lambda: sum(path.stat().st_size for path in incoming(store)) > 1_900_000)
    connection.send(large[2_000_000:])
    assert connection.getresponse().status == 202
    connection.close()


def test_a_clip_that_breaks_off_on_its_way_leaves_nothing(server, store, model, player, clip):
    connection = begun(server, player, clip, len(clip) // 2)
    soon(lambda: incoming(store))
    connection.close()
    soon(lambda: not incoming(store))
    assert technique.results(store, player) == () and model["seen"] == []


def test_without_the_model_it_is_said_with_the_command_that_brings_it(
    client, store, monkeypatch, player, clip
):
    monkeypatch.setenv("FIRSTBOUNCE_MODELS", str(store.folder / "nothing here"))
    answer = send(client, player, clip)
    assert answer.status_code == 422 and "firstbounce watch --install-model" in answer.json()["error"]
    page = client.get(f"/players/{player}/technique", headers=BROWSER).text
    assert "<code>firstbounce watch --install-model</code>" in page and "Send and watch it" not in page
    assert "Arms together" in page
    monkeypatch.setattr(uploads, "find_spec", lambda name: None)
    assert "firstbounce[video]" in send(client, player, clip).json()["error"]
    assert incoming(store) == []


def test_a_watching_can_be_stopped_and_waits_for_nobody_elses_plan(client, store, model, player, clip):
    model["wait"] = True
    answer = send(client, player, clip)
    job = answer.json()["job"]
    until = time.monotonic() + 20
    while client.get(f"/api/jobs/{job}").json()["share"] < 0.2 and time.monotonic() < until:
        time.sleep(0.02)
    assert f'data-job="{job}"' in client.get(f"/players/{player}/technique", headers=BROWSER).text
    paced = {"level": "scratch", "to_edge_paces": 3, "edge_to_hole_paces": 8}
    plan = client.post("/api/plans/paced", json=paced).json()["job"]
    while client.get(f"/api/jobs/{plan}").json()["state"] == "waiting" and time.monotonic() < until:
        time.sleep(0.02)
    assert client.get(f"/api/jobs/{plan}").json()["state"] != "waiting"
    client.delete(f"/api/jobs/{plan}")
    waiting = send(client, player, clip).json()["job"]
    client.delete(f"/api/jobs/{waiting}")
    client.delete(f"/api/jobs/{job}")
    assert ended(client, answer)["state"] == "stopped"
    while client.get(f"/api/jobs/{waiting}").json()["state"] == "waiting" and time.monotonic() < until:
        time.sleep(0.02)
    assert incoming(store) == [] and technique.results(store, player) == ()


def test_only_a_few_clips_wait_at_once(client, store, model, player, clip):
    model["wait"] = True
    jobs = [send(client, player, clip) for _ in range(4)]
    refused = send(client, player, clip)
    assert refused.status_code == 409 and "waiting" in refused.json()["error"]
    assert len(incoming(store)) == 4
    for answer in jobs:
        client.delete(f"/api/jobs/{answer.json()['job']}")
    for answer in jobs:
        assert ended(client, answer)["state"] == "stopped"
    assert incoming(store) == []


def test_what_a_killed_server_left_is_removed_at_the_next_start(store, visit):
    folder = store.folder / uploads.FOLDER
    folder.mkdir()
    (folder / new_id()).write_bytes(b"half a clip")
    with visit(create_app(store, Settings(secret=SECRET))) as client:
        assert client.get("/").status_code == 200
    assert not folder.exists()


def junior(store, filming):
    row = PlayerRow(id=new_id(), name="J. P.", level=Level.BEGINNER, made=NOW, junior=True)
    given = {"player_id": row.id, "given_by": Giver.GUARDIAN, "guardian": "a parent", "given": NOW}
    until = store.clock().date() + datetime.timedelta(days=100)
    consents = [Consent(id=new_id(), kind=ConsentKind.RECORD, delete_by=until, **given)]
    if filming:
        consents.append(Consent(id=new_id(), kind=ConsentKind.FILMING, **given))
    players.add_player(store, row, consents)
    return row.id


def test_a_junior_is_filmed_only_with_consent_and_stills_go_with_it(client, store, model, clip):
    child = junior(store, filming=False)
    answer = send(client, child, clip)
    assert answer.status_code == 403 and "guardian" in answer.json()["error"] and incoming(store) == []
    page = client.get(f"/players/{child}/technique", headers=BROWSER).text
    assert "Who consented to filming" in page and "Send and watch it" not in page
    assert client.put(f"/api/players/{child}/filming", json={"guardian": ""}).status_code == 422
    assert client.put(f"/api/players/{child}/filming", json={"guardian": "a parent"}).json()["ok"]
    made = watched(client, child, clip)
    still = f"/api/technique/{made}/stills/1/3"
    assert client.get(still).status_code == 200
    assert client.delete(f"/api/players/{child}/filming").json() == {"ok": True}
    assert client.get(still).status_code == 403 and send(client, child, clip).status_code == 403
    page = client.get(f"/technique/{made}", headers=BROWSER)
    assert page.status_code == 200 and "<image" not in page.text and "consent to filming" in page.text
    assert client.get(f"/technique/{made}/sheet.svg").status_code == 403
    job = ended(client, client.post(f"/api/technique/{made}/corrections", json={}))
    assert job["state"] == "failed" and "guardian" in job["error"]


def test_ticks_by_eye_are_kept_once_with_the_drills_for_what_failed(client, store, player):
    body = {"id": new_id(), "swings": 6, "arms_together": False, "held_s": 2, "recoil": False}
    for _ in range(2):
        assert client.post(f"/api/players/{player}/ticks", json=body).json()["id"] == body["id"]
    (row,) = technique.results(store, player)
    verdicts = {one["item"]: one["verdict"] for one in row.result["judged"]}
    assert verdicts == {
        "arms together": "failed",
        "through matches back": "not judged",
        "finish held": "passed",
        "no recoil": "passed",
    }
    note = client.get(f"/players/{player}/lesson", headers=BROWSER).text
    assert "To work on: arms together." in note and f"/players/{player}/technique" in note
    page = client.get(f"/technique/{row.id}", headers=BROWSER).text
    assert "coach-judged, 6 swings" in page and "Ball between forearms" in page and "<image" not in page
    assert client.post(f"/api/players/{player}/ticks", json={"swings": 3}).status_code == 422
    assert client.post(f"/api/players/{new_id()}/ticks", json={"recoil": True}).status_code == 404


def test_ticks_of_a_phone_without_signal_come_later_and_once(client, store, player):
    row = {"id": new_id(), "v": 1, "kind": "ticks", "device": "d" * 32, "seq": 3, "offset_min": 120}
    row |= {"made_at": "2026-05-14T08:30:00Z", "body": {"player_id": player, "swings": 4, "recoil": True}}
    bad = [
        row | {"id": new_id(), "body": {"player_id": player, "swings": 4}},
        row | {"id": new_id(), "body": {"player_id": player, "recoil": "perhaps"}},
        row | {"id": new_id(), "body": {"player_id": new_id(), "recoil": True}},
    ]
    for _ in range(2):
        answer = client.post("/api/outbox", json={"v": 1, "rows": [row, *bad]}).json()
        assert answer["stored"] == [row["id"]] and len(answer["refused"]) == 3
    (kept_row,) = technique.results(store, player)
    assert kept_row.id == row["id"] and kept_row.made.isoformat() == "2026-05-14T10:30:00+02:00"


@pytest.mark.browser
def test_ticks_wait_on_a_phone_without_signal(phone, server, store):
    ids = put_lesson(store)
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}/technique")
    page.wait_for_load_state("networkidle")
    phone.set_offline(True)
    page.get_by_role("group", name="Recoil").get_by_label("Yes").check()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Saved on this phone")).to_be_visible()
    expect(page.locator("#waiting")).to_have_text("1 waiting on this phone")
    phone.set_offline(False)
    expect(page.locator("#waiting")).to_have_text("All sent", timeout=30000)
    (row,) = technique.results(store, ids.player)
    assert [one["item"] for one in row.result["judged"] if one["verdict"] == "failed"] == ["no recoil"]


def test_a_result_of_refusals_says_what_to_do(client, store, player):
    tree = {
        "format": 1,
        "seen_by": "video",
        "origin": "",
        "swings": [],
        "refusals": [{"reason": "x", "says": "Film it again <b>."}],
    }
    row = kept.TechniqueRow(
        id=new_id(), player_id=player, made=NOW, seen_by="video", model_version="1", result=tree
    )
    kept.keep(store, row)
    page = client.get(f"/technique/{row.id}", headers=BROWSER).text
    assert page.count("Film it again &lt;b&gt;.") >= 1 and "<image" not in page
    job = ended(client, client.post(f"/api/technique/{row.id}/corrections", json={}))
    assert job["state"] == "failed"


def test_nobody_else_sees_or_sends_anything(client, store, visit, model, player, clip, passphrase_hash):
    made = watched(client, player, clip)
    settings = Settings(
        secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, hosts=frozenset({HOST})
    )
    guest = visit(create_app(store, settings), peer="192.0.2.9", host=HOST, raise_server_exceptions=False)
    for path in (
        f"/api/technique/{made}",
        f"/api/technique/{made}/stills/1/3",
        f"/api/technique/{made}/drawing",
    ):
        assert guest.get(path).status_code == 401, path
    for path in (f"/technique/{made}", f"/technique/{made}/sheet.svg", f"/players/{player}/technique"):
        assert guest.get(path).headers["location"] == "/sign-in", path
    assert send(guest, player, clip).status_code == 401 and incoming(store) == []
    foreign = client.post(
        f"/api/clips?player_id={player}", content=clip, headers={"origin": "https://elsewhere.example"}
    )
    assert foreign.status_code == 403


def test_erasing_a_player_takes_results_and_stills(client, store, model, player, clip):
    from firstbounce.services.erase import erase

    made = watched(client, player, clip)
    corrected(client, made, moments=[])
    erase(store, player)
    assert client.get(f"/technique/{made}").status_code == 404
    assert not any((store.folder / "files").iterdir())


def test_corrections_are_added_to_those_before():
    before = {"moments": [{"swing": 1, "top_s": 1.0}], "stick": {"length_m": 1.0, "ends": [[0, 0], [9, 0]]}}
    both = watched_clips.merged(before, {"moments": [{"swing": 1, "top_s": 1.2}], "points": []})
    assert [one["top_s"] for one in both["moments"]] == [1.0, 1.2] and both["stick"]["length_m"] == 1.0
    assert watched_clips.merged({}, {}) == {}
    with pytest.raises(ParameterError, match="stick"):
        watched_clips.corrections_of({"stick": {"length_m": 1.0, "ends": [[0, 0], [0, 0]]}})


@pytest.mark.browser
def test_a_clip_is_sent_watched_and_moved_by_hand_in_a_browser(phone, server, store, model, clip, tmp_path):
    ids = put_lesson(store)
    path = tmp_path / "from the phone.mp4"
    path.write_bytes(clip)
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}")
    page.get_by_role("link", name="Technique").click()
    page.locator("#file").set_input_files(path)
    page.get_by_role("button", name="Send and watch it").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("To work on", timeout=60000)
    expect(page.locator(".stills image")).to_have_count(5)
    page.wait_for_load_state("networkidle")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "it scrolls sideways"
    page.get_by_role("button", name="Move the frames").click()
    shown = page.locator("[data-moment=top_s] .time")
    was = shown.inner_text()
    page.get_by_role("button", name="top: later").click()
    expect(shown).not_to_have_text(was)
    page.get_by_role("button", name="Judge it again").click()
    expect(page.get_by_text("moved by hand")).to_be_visible(timeout=60000)
    (row,) = technique.results(store, ids.player)
    assert row.result["corrections"]["moments"][0]["top_s"] == pytest.approx(
        float(shown.inner_text()), abs=0.011
    )
    page.get_by_text("Move points by hand").click()
    page.get_by_label("Still", exact=True).select_option("finish")
    page.get_by_label("Point", exact=True).select_option("Left elbow")
    page.locator("#still").click(position={"x": 120, "y": 120})
    page.locator("#nudge-right").click()
    page.get_by_role("button", name="Judge it with these points").click()
    page.wait_for_url(lambda url: row.id not in url, timeout=60000)
    (again,) = technique.results(store, ids.player)
    assert again.id != row.id and list(again.result["corrections"]["points"][0]) == ["time_s", "left_elbow"]


@pytest.mark.browser
def test_stop_ends_a_watching_and_ticks_need_no_clip(phone, server, store, model, clip, tmp_path):
    model["wait"] = True
    ids = put_lesson(store)
    path = tmp_path / "clip.mp4"
    path.write_bytes(clip)
    page = phone.new_page()
    page.goto(f"{server.url}/players/{ids.player}/technique")
    page.locator("#file").set_input_files(path)
    page.get_by_role("button", name="Send and watch it").click()
    expect(page.get_by_text("You may leave this page")).to_be_visible()
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_role("alert")).to_have_text("It was stopped.")
    page.get_by_label("Not held").check()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("To work on: finish held.")
    page.get_by_role("link", name="Freeze until it stops").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Freeze until it stops")
    assert incoming(store) == []


@pytest.mark.slow
def test_a_rendered_person_is_watched_by_the_real_model(client, store, player, tmp_path):
    from dataclasses import replace

    from render import body_data
    from render.clips import Clip, write
    from render.scene import View
    from render.swing import Swing

    from firstbounce.services.pose_model import model_is_installed

    if not (model_is_installed() and body_data.is_there()):
        pytest.skip("the landmark model or the bodies are not installed: make model bodies")
    view = replace(View(width=480, height=854), width=360, height=640)
    swing = Swing(back=34.0, ratio=0.7, still_before=0.5, hold=1.1, return_time=0.6)
    path = write(Clip(name="one", swings=(swing,), view=view, tail=0.1), tmp_path / "one.mp4")
    made = watched(client, player, path.read_bytes())
    (one,) = numbers_from_tree(client.get(f"/api/technique/{made}").json()["result"])
    assert one.numbers["arc back"].value == pytest.approx(34, abs=5)
    again = corrected(client, made)
    first, second = (
        client.get(f"/api/technique/{which}").json()["result"]["swings"] for which in (made, again)
    )
    assert json.dumps(first) == json.dumps(second)
