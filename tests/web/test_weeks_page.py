"""A player over the last weeks: days of the records together, worked out once, with what changed."""

import datetime
import re
import time
from dataclasses import replace

import pytest

from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow
from firstbounce.services import greens, over_weeks, players, sessions
from firstbounce.services.demo_records import put_demo
from firstbounce.services.players import player_list
from firstbounce.services.store import new_id
from firstbounce.web.reach import now
from firstbounce.words import Level

BROWSER = {"accept": "text/html"}


@pytest.fixture
def player(store):
    """The first player of the demo, with balls of today and the same number a week ago."""
    put_demo(store)
    player = next(line.id for line in player_list(store) if line.name == "Ada Quill")
    put_same(store, player, weeks_ago=1)
    return player


def put_same(store, player, weeks_ago):
    """The balls of the player's last session once more, on an earlier day of the same green."""
    last = sessions.last_session(store, player)
    then = last.started - datetime.timedelta(weeks=weeks_ago)
    day = DayRow(id=new_id(), green_id=last.green_id, date=then.date(), made=then)
    greens.add_day(store, day)
    earlier = replace(last, id=new_id(), day_id=day.id, started=then)
    sessions.start_session(store, earlier)
    balls = [one.ball for one in sessions.session_balls(store, last.id)]
    device = new_id()
    sessions.log_balls(
        store,
        [
            replace(ball, id=new_id(), session_id=earlier.id, device=device, seq=k, made=then)
            for k, ball in enumerate(balls)
        ],
    )


def worked_out(client, player, weeks=8):
    job = client.post(f"/api/players/{player}/weeks?weeks={weeks}").json()["job"]
    deadline = time.monotonic() + 120
    while (told := client.get(f"/api/jobs/{job}").json())["state"] in ("waiting", "working"):
        assert time.monotonic() < deadline
        time.sleep(0.05)
    return told


def words(page):
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_days_of_the_records_are_reviewed_together(client, store, player):
    before = client.get(f"/players/{player}/weeks", headers=BROWSER).text
    assert "The laptop is working it out" in before
    assert "24 balls on 2 days" in words(before)
    told = worked_out(client, player)
    assert told["state"] == "done", told["error"]
    held = told["answer"]["review"]["days"]
    assert [day["placed"] for day in held] == [12, 12] and held[0]["day"] < held[1]["day"]
    page = client.get(f"/players/{player}/weeks", headers=BROWSER).text
    said = told["answer"]["review"]["verdict"]["sentence"]
    assert said in words(page) and page.count("<svg") >= 4
    for measure in told["answer"]["progress"]["measures"]:
        assert measure["sentence"] in words(page) and "over 2 sessions" in measure["sentence"]


def test_days_before_the_weeks_say_what_is_usual_and_are_not_reviewed(client, store, player):
    put_same(store, player, weeks_ago=30)
    wanted = over_weeks.asked(store, player, now().date() - datetime.timedelta(weeks=8))
    assert len(wanted.days) == 2 and len(wanted.earlier) == 1
    told = worked_out(client, player)
    assert sum(day["placed"] for day in told["answer"]["review"]["days"]) == 24
    with_all = worked_out(client, player, weeks=52)["answer"]["review"]
    assert sum(day["placed"] for day in with_all["days"]) == 36


def test_a_new_ball_asks_again(client, store, player):
    worked_out(client, player)
    put_same(store, player, weeks_ago=2)
    assert "The laptop is working it out" in client.get(f"/players/{player}/weeks", headers=BROWSER).text


def test_weeks_without_a_ball_say_what_to_do(client, store):
    nobody = PlayerRow(id=new_id(), name="Nil", level=Level.BEGINNER, made=now())
    players.add_player(store, nobody)
    page = words(client.get(f"/players/{nobody.id}/weeks", headers=BROWSER).text)
    assert "No ball was logged in these weeks" in page
    told = worked_out(client, nobody.id)
    assert told["state"] == "failed" and "log some first" in told["error"]


@pytest.mark.parametrize("weeks", ["0", "105", "many"])
def test_weeks_that_are_none_are_refused(client, player, weeks):
    assert client.post(f"/api/players/{player}/weeks?weeks={weeks}").status_code == 422
