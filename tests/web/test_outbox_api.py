"""The outbox protocol on the server: once each, in order, refusals by themselves, whatever is sent."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from web_lesson import put_lesson

from firstbounce.services import outbox, sessions
from firstbounce.services.store import new_id

DEVICE = "d" * 32


@pytest.fixture
def ids(store):
    return put_lesson(store)


def ball(ids, seq, **more):
    body = {
        "session_id": ids.session,
        "kind": "placed",
        "club": "SW",
        "start_m": [0, 0],
        "hole_m": [0, 14],
        "landed_m": [0.1 * seq, 8],
    }
    return entry("ball", body | more, seq)


def entry(kind, body, seq=1, row_id=None):
    return {
        "id": row_id or new_id(),
        "v": 1,
        "kind": kind,
        "device": DEVICE,
        "seq": seq,
        "made_at": "2026-05-14T08:30:00.000Z",
        "offset_min": 120,
        "body": body,
    }


def send(client, rows):
    answer = client.post("/api/outbox", json={"v": 1, "rows": rows})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_a_ball_that_is_sent_twice_is_kept_once_and_named_twice(client, store, ids):
    row = ball(ids, 1)
    for _ in range(2):
        assert send(client, [row]) == {"ok": True, "stored": [row["id"]], "refused": []}
    assert send(client, [row, row])["stored"] == [row["id"]]
    (kept,) = sessions.session_balls(store, ids.session)
    assert kept.ball.id == row["id"] and list(kept.ball.landed_m) == [0.1, 8.0]
    assert kept.ball.made.isoformat() == "2026-05-14T10:30:00+02:00"


def test_a_ball_whose_session_comes_later_is_taken_when_sent_again(client, store, ids):
    session = new_id()
    early = ball(ids, 1, session_id=session)
    (refused,) = send(client, [early])["refused"]
    assert refused["id"] == early["id"] and refused["again"] and "session" in refused["error"]
    body = {"player_id": ids.player, "kind": "practice", "station_id": ids.station}
    assert len(send(client, [entry("session", body, row_id=session), early])["stored"]) == 2


@pytest.mark.parametrize(
    "row",
    [
        {"id": "x"},
        {},
        entry("ball", {}),
        entry("ball", {"session_id": "nonsense"}),
        entry("nothing of ours", {}),
        entry("player", {"name": ""}),
        entry("player", {"name": "x" * 81}),
        entry("player", {"name": "Ada", "level": "scratch", "clubs": ["putter", "putter"]}),
        entry("station", {"name": "far", "start_m": [1e9, 0], "hole_m": [0, 1]}),
        entry("reading", {"kind": "stimp", "given": {"stimp_ft": 900}}),
        entry("lesson", {"player_id": "0" * 32}),
        entry("session", {"player_id": "0" * 32, "kind": "lesson"}),
        entry("shape", {"green_id": "0" * 32, "outline": [[0, 0], [1, 1], [2, 2]]}),
        entry("score", {"player_id": "0" * 32, "drill": "x"}),
        entry("note", {"player_id": "0" * 32, "text": "\x00"}),
    ],
)
def test_what_makes_no_sense_is_refused_by_itself(client, store, ids, row):
    good = ball(ids, 5)
    answer = send(client, [row, good])
    assert answer["stored"] == [good["id"]]
    assert len(answer["refused"]) == 1 and answer["refused"][0]["error"]


@given(
    data=st.data(),
    lost=st.lists(st.booleans(), min_size=12, max_size=12),
)
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_loss_repetition_and_cut_keeps_each_ball_once_and_in_order(client, store, ids, data, lost):
    """A phone by the protocol: it forgets what is named, and only that; answers may be lost."""
    session = new_id()
    body = {"player_id": ids.player, "kind": "practice", "station_id": ids.station}
    begin = entry("session", body, row_id=session)
    rows = [ball(ids, k + 1, session_id=session) for k in range(data.draw(st.integers(1, 12)))]
    outbox, made = [begin], 0
    for is_lost in [*lost, False, False, False]:
        add = data.draw(st.integers(0, 4)) if made < len(rows) else 0
        outbox += rows[made : made + add]
        made = min(made + add, len(rows))
        stored = send(client, outbox[: data.draw(st.integers(1, 6))])["stored"] if outbox else []
        if not is_lost:
            outbox = [row for row in outbox if row["id"] not in stored]
    send(client, outbox + rows[made:])
    kept = [one.ball.id for one in sessions.session_balls(store, session)]
    assert kept == [row["id"] for row in rows]


def test_a_file_of_another_version_or_far_too_many_rows_is_refused_whole(client, ids):
    assert client.post("/api/outbox", json={"v": 2, "rows": []}).status_code == 422
    rows = [{} for _ in range(501)]
    assert client.post("/api/outbox", json={"v": 1, "rows": rows}).status_code == 422


def test_a_reading_that_is_taken_back_no_longer_stands(client, store, ids):
    places = {"green_id": ids.green, "day_id": ids.day}
    first = entry("reading", {**places, "kind": "stimp", "given": {"stimp_ft": 10.5}})
    assert send(client, [first])["refused"] == []
    assert "10.5 ft" in client.get(f"/days/{ids.day}", headers={"accept": "text/html"}).text
    back = {
        **places,
        "kind": "stimp",
        "given": {"stimp_ft": 10.5},
        "corrects_id": first["id"],
        "withdrawn": True,
    }
    assert send(client, [entry("reading", back)])["refused"] == []
    assert "10.5 ft" not in client.get(f"/days/{ids.day}", headers={"accept": "text/html"}).text


def test_rain_is_one_tap_for_soft_and_wet(client, ids):
    from firstbounce.services import greens
    from firstbounce.web.pages.today import told

    store = client.app.app.state.store if hasattr(client.app, "app") else client.app.state.store
    rain = told(store, greens.day_row(store, ids.day)).rain
    import json

    rows = [entry(one["kind"], one["body"], seq=k) for k, one in enumerate(json.loads(rain))]
    assert send(client, rows)["refused"] == []
    after = told(store, greens.day_row(store, ids.day))
    assert after.wet and after.firmness.startswith("soft")


def test_a_fault_of_the_program_holds_up_nothing_else(client, store, ids, monkeypatch, caplog):
    """Two entries that the program stumbles over: the others are kept, these stay and go later."""
    log_balls = sessions.log_balls
    bad, secret = ball(ids, 2), "Bea Lind was tired"
    broken = entry("lesson", {"note": secret}, 4)

    def stumbles(store, balls, **more):
        if any(one.id == bad["id"] for one in balls):
            raise RuntimeError(secret)
        return log_balls(store, balls, **more)

    def always(*_):
        raise KeyError(secret)

    rows = [ball(ids, 1), bad, ball(ids, 3), broken, ball(ids, 5)]
    with monkeypatch.context() as patched:
        patched.setattr(sessions, "log_balls", stumbles)
        patched.setitem(outbox._KEEP, "lesson", always)
        told = send(client, rows)
    assert told["stored"] == [rows[k]["id"] for k in (0, 2, 4)]
    assert [(one["id"], one["again"]) for one in told["refused"]] == [(bad["id"], True), (broken["id"], True)]
    assert all("stays on the phone" in one["error"] for one in told["refused"])
    assert "RuntimeError" in caplog.text and secret not in caplog.text
    assert send(client, [bad])["stored"] == [bad["id"]]
    assert len(sessions.session_balls(store, ids.session)) == 4
