"""The split is exact, and turning or mirroring the station turns or mirrors the answer."""

import math

import numpy as np
import pytest

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.fitting.fit import prior_fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.player import player_of_level
from firstbounce.review.review import review
from firstbounce.review.split import split
from firstbounce.words import Ball, Level, Lie, Point, Strike

GROUND = Ground.level((-40.0, 40.0, -40.0, 40.0))
TODAY = GreenToday.of_words()
FIT = prior_fit(player_of_level(Level.TEN_TO_EIGHTEEN), TODAY)


def some_balls(n, *, seed=1, turn=0.0, mirror=1.0, hole=14.0, strike=Strike.CLEAN):
    """n balls from one station, turned about the start [rad] and mirrored, landings about (0, 6)."""
    rng = np.random.default_rng(seed)
    cos, sin = math.cos(turn), math.sin(turn)

    def put(x, y):
        x = mirror * x
        return Point(cos * x + sin * y, -sin * x + cos * y)

    return [
        Ball(
            id=str(i), club="PW", lie=Lie(), start=Point(0, 0), hole=put(0, hole), aim=put(0, 6),
            landed=put(*(rng.normal(0, 0.5), 6 + rng.normal(0, 0.8))),
            finished=put(*(rng.normal(0, 0.7), 13 + rng.normal(0, 1.2))), strike=strike,
        )
        for i in range(n)
    ]  # fmt: skip


def parts(balls):
    s, _ = split(balls, then=FIT, ground=GROUND)
    return s


def test_the_four_parts_add_up_to_the_miss():
    s = parts(some_balls(30))
    assert np.abs(s.plan + s.reading + s.landing + s.run - s.total).max() < 1e-12


def test_a_turned_station_gives_the_same_parts():
    one, other = parts(some_balls(8)), parts(some_balls(8, turn=1.1))
    for name in ("total", "plan", "landing", "run"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=0.02)


def test_a_mirrored_station_mirrors_the_parts():
    one, other = parts(some_balls(8)), parts(some_balls(8, mirror=-1.0))
    for name in ("total", "landing", "run"):
        assert getattr(one, name) == pytest.approx(getattr(other, name) * [1, -1], abs=0.02)


def test_every_unusable_ball_is_named_with_its_reason():
    good = some_balls(4)
    bad = Ball(id="no spot", club="PW", lie=Lie(), start=Point(0, 0), hole=Point(0, 9), finished=Point(0, 8))
    _, out = split([*good, bad], then=FIT, ground=GROUND)
    assert [(one.id, one.reason) for one in out] == [("no spot", "no landing spot was set for it")]


def test_balls_of_another_green_are_refused():
    far = Ball(
        id="far", club="PW", lie=Lie(), start=Point(100, 100), hole=Point(100, 112), aim=Point(100, 106),
        landed=Point(100, 106), finished=Point(100, 111),
    )  # fmt: skip
    with pytest.raises(ParameterError, match="one green at a time"):
        split([*some_balls(3), far], then=FIT, ground=GROUND)


def test_no_clean_ball_is_said_plainly():
    with pytest.raises(CannotEstimate, match="struck cleanly"):
        review(some_balls(5, strike=Strike.HEAVY), then=FIT, ground=GROUND, rng=np.random.default_rng(0))


def test_one_ball_is_not_enough_and_says_how_many_more():
    said = review(some_balls(1), then=FIT, ground=GROUND, rng=np.random.default_rng(0)).verdict
    assert said.call == "not enough balls yet" and said.more_balls == 2


def test_a_spot_that_leaves_every_ball_short_is_a_wrong_plan():
    said = review(some_balls(12, hole=17.0), then=FIT, ground=GROUND, rng=np.random.default_rng(0)).verdict
    assert said.call == "change the plan" and "longer" in said.sentence and said.n == 12
    assert said.overruled(said.call.KEEP, "he was tired").call == "change the plan"
