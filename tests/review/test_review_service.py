"""The services on the shipped files: what is kept, what is left out, and one message for each fault."""

import shutil
from dataclasses import replace
from importlib import resources

import pytest

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.files.balls import LoggedBalls
from firstbounce.review.verdict import Call
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.progress import progress_over, progress_pictures
from firstbounce.services.review import MOST_LEARNED, learned, of_station, review_day, review_pictures
from firstbounce.technique.by_eye import read_ticks
from firstbounce.words import Fault, Point


@pytest.fixture(scope="module")
def days(tmp_path_factory):
    """The demo's day three times, a month apart."""
    shipped = resources.files("firstbounce") / "files" / "demo"
    made = []
    for month in ("03", "04", "05"):
        folder = tmp_path_factory.mktemp(month)
        for name in ("green.toml", "balls.csv", "heights.csv"):
            (folder / name).write_bytes((shipped / name).read_bytes())
        text = (folder / "green.toml").read_text().replace("2026-05-14", f"2026-{month}-14")
        (folder / "green.toml").write_text(text)
        day = load_day(folder / "green.toml")
        made.append((day, load_balls(folder / "balls.csv", day)))
    yield made
    shutil.rmtree(made[0][0].path.parent)


@pytest.fixture(scope="module")
def seen(days):
    day, logged = days[0]
    return review_day(day, logged, ticks=read_ticks("arms together no"))


def test_every_logged_ball_is_split_tallied_or_named(days, seen):
    _, logged = days[0]
    held = len(seen.split) + len(seen.tallied) + len(seen.left_out)
    assert held == len(logged.every) and seen.learned_from > 0
    assert Fault.DISCONNECTED in seen.faults


def test_a_station_keeps_its_own_balls_and_tallies_only(days):
    day, logged = days[0]
    name = logged.balls[0].station
    elsewhere = [replace(t, id=f"x{t.id}", station="Bench") for t in logged.tallies]
    mixed = LoggedBalls(balls=logged.balls, tallies=(*logged.tallies, *elsewhere))
    kept = of_station(mixed, name)
    assert {one.station for one in kept.every} == {name}
    alone, among = review_day(day, of_station(logged, name)), review_day(day, mixed, station=name)
    assert alone.to_dict() == among.to_dict()
    with pytest.raises(CannotEstimate, match="No ball was hit from station 'Brook'"):
        review_day(day, of_station(logged, name), station="Brook")
    with pytest.raises(CannotEstimate, match="session 'noon'; there: morning"):
        review_day(day, logged, session="noon")
    assert review_day(day, logged, session="morning").to_dict() == review_day(day, logged).to_dict()
    with pytest.raises(ParameterError, match="no station 'Nowhere'"):
        review_day(day, logged, station="Nowhere")


def test_earlier_days_make_the_usual_spread_surer(days, seen):
    day, logged = days[2]
    known = review_day(day, logged, earlier=days[:2])
    assert max(known.usual.ln_sd) < max(seen.usual.ln_sd)


def test_two_greens_in_one_set_are_refused(days):
    day, logged = days[0]
    far = replace(logged.balls[0], id="other green", start=Point(300.0, 300.0))
    with pytest.raises(ParameterError, match=r"other green.*one green at a time|hit from outside the map"):
        review_day(day, LoggedBalls(balls=(*logged.balls, far)))


def test_balls_without_a_plan_are_named_and_the_rest_is_reviewed(days):
    day, logged = days[0]
    bare = tuple(replace(b, aim=None) for b in logged.balls[:2])
    some = review_day(day, LoggedBalls(balls=bare + logged.balls[2:]))
    assert [one.id for one in some.left_out] == [b.id for b in bare]
    assert all(one.reason == "no landing spot was set for it" for one in some.left_out)


def test_one_ball_says_how_many_more(days):
    day, logged = days[0]
    said = review_day(day, LoggedBalls(balls=logged.balls[:1])).verdict
    assert said.call is Call.NOT_ENOUGH and said.more_balls == 2


def test_many_balls_are_learned_from_a_few_taken_evenly(days):
    day, logged = days[0]
    many = LoggedBalls(balls=tuple(replace(b, id=f"{k}-{b.id}") for k in range(40) for b in logged.balls))
    fitted = learned(day, many)
    assert fitted is None or fitted.n_balls <= MOST_LEARNED


def test_pictures_of_a_review_say_what_they_show(days, seen):
    drawn = review_pictures(seen, [days[0][0]])
    assert set(drawn) == {"landings", "finishes", "parts of the set", "parts of one ball"}
    for svg in drawn.values():
        assert svg.startswith("<svg") and 'role="img"' in svg and "Green speed" in svg


def test_progress_over_the_days_and_its_pictures(days):
    found = progress_over(days[::-1])
    assert [p.session[:10] for p in found.series[0].points] == ["2026-03-14", "2026-04-14", "2026-05-14"]
    assert not any(one.change.told for one in found.series)  # the same balls thrice
    assert set(progress_pictures(found)) == {"progress landing", "progress finish", "progress contact"}


def test_progress_of_two_players_is_refused(days):
    day, logged = days[0]
    other = replace(day, player=replace(day.player, name="K. M."))
    with pytest.raises(ParameterError, match="2 players"):
        progress_over([days[1], (other, logged)])
