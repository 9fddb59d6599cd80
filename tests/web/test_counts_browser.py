"""What the phone says of a session by itself: the same hunch as the laptop, from the third ball on."""

import re
import sys
from pathlib import Path

import pytest

from firstbounce.review.sentences import Telling, hunch_text
from firstbounce.units import LengthUnit
from firstbounce.web.assets import static
from firstbounce.words import Point, Strike

sys.path.insert(0, str(Path(__file__).parents[1] / "review"))
from review_sets import FIT, reviewed, some_balls, some_tallies

SETS = {
    "on the spot": some_balls(12, seed=5, far=13.2),
    "landed long": some_balls(9, seed=6, long=1.4),
    "landed short": some_balls(8, seed=7, long=-1.2),
    "wrong spot, short": some_balls(12, seed=5, far=10.0),
    "wrong spot, long": some_balls(12, seed=5, far=17.0),
    "turned, with mishits": [
        *some_balls(8, seed=6, long=1.4, turn=2.0),
        *some_balls(4, seed=9, long=-5.0, strike=Strike.HEAVY, turn=2.0),
    ],
}


def rows(balls):
    """Balls as the phone keeps them."""

    def place(point: Point | None):
        return None if point is None else list(point)

    return [
        {
            "id": str(k),
            "kind": "placed",
            "start_m": place(ball.start),
            "hole_m": place(ball.hole),
            "aim_m": place(ball.aim),
            "landed_m": place(ball.landed),
            "finished_m": place(ball.finished),
            "holed": ball.holed,
            "strike": None if ball.strike is None else str(ball.strike),
        }
        for k, ball in enumerate(balls)
    ]


def said(page, server, balls, units="metres"):
    page.goto(server.url)
    code = "async ([path, session]) => (await import(path)).tryNext(session)"
    return page.evaluate(code, [static("counts.js"), {"balls": balls, "units": units}])


def laptop(balls, tallies=()):
    """The laptop's hunch on the same balls."""
    seen = reviewed(balls, tallies)
    return hunch_text(
        Telling(
            split=seen.split,
            clean=seen.clean,
            tallied=seen.tallied,
            counts=seen.counts,
            then=FIT,
            now=FIT,
            unit=LengthUnit.METRES,
        )
    )


def way(sentence):
    return re.search("shorter|longer|nearer|further|same", sentence).group()


@pytest.mark.parametrize("name", SETS)
def test_the_phone_and_the_laptop_have_the_same_hunch(phone, server, name):
    told, other = said(phone.new_page(), server, rows(SETS[name])), laptop(SETS[name])
    assert told.startswith("A hunch") and way(told) == way(other), (told, other)
    if way(told) in (
        "shorter",
        "longer",
    ):  # how far a spot moves needs the model of a run
        far, there = (float(re.search(r"([\d.]+) m", words)[1]) for words in (told, other))
        assert far == pytest.approx(there, abs=0.3), (told, other)


@pytest.mark.parametrize("landing", ["long", "short", "in"])
def test_tallies_have_a_hunch_too(phone, server, landing):
    tallies = some_tallies((landing, "within two paces", 3), ("in", "given", 1))
    balls = [
        {"id": str(k), "kind": "tally", "tally_landed": str(t.landing), "tally_finished": str(t.finish)}
        for k, t in enumerate(tallies)
    ]
    assert way(said(phone.new_page(), server, balls)) == way(laptop([], tallies))


def test_before_the_third_clean_ball_nothing_is_said(phone, server):
    assert said(phone.new_page(), server, rows(some_balls(2))) == ""
    assert said(phone.new_page(), server, rows(some_balls(5, strike=Strike.THIN))) == ""


def test_a_ball_that_was_taken_back_or_changed_counts_no_more(phone, server):
    balls = rows(some_balls(3, seed=6, long=1.4))
    gone = {**balls[0], "id": "x", "kind": "withdrawn", "corrects_id": "0"}
    assert said(phone.new_page(), server, [*balls, gone]) == ""
    assert "ft" in said(phone.new_page(), server, balls, units="yards")
