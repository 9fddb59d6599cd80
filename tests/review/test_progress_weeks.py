"""Progress over weeks: sessions of different length and lie on one scale, and luck called luck."""

import datetime
import math
from dataclasses import replace

import numpy as np
import pytest
from review_sets import FIT, GROUND, some_balls

from firstbounce.errors import CannotEstimate
from firstbounce.review.progress import FEWEST_BALLS, Measure, Session, progress, session_of
from firstbounce.review.split import split
from firstbounce.review.usual import usual_of
from firstbounce.words import Lie, LieKind

START = datetime.date(2026, 4, 1)


def made(weeks, n, *, better=1.0, between=0.0, seed=0, mishits=0.1):
    """Sessions a week apart with n balls each; the miss moves evenly to `better` times the first one."""
    rng = np.random.default_rng(seed)
    sessions = []
    for k in range(weeks):
        level = better ** (k / max(weeks - 1, 1)) * math.exp(rng.normal(0, between))
        miss = level * np.hypot(*rng.standard_normal((2, n))) / math.sqrt(math.pi / 2)
        sessions.append(
            Session(
                name=f"week {k}",
                day=START + datetime.timedelta(weeks=k),
                landing=miss,
                finish=level * np.hypot(*rng.standard_normal((2, n))) / math.sqrt(math.pi / 2),
                contact=(rng.random(n) < mishits).astype(float),
                usual_mishits=mishits,
            )
        )
    return sessions


def landing(sessions):
    return progress(sessions, "R. T.").of(Measure.LANDING)


@pytest.mark.parametrize("between", [0.0, 0.1])
@pytest.mark.parametrize("weeks", [2, 4, 8])
def test_without_a_change_one_is_told_in_at_most_five_of_a_hundred(weeks, between):
    told = [
        any(one.change.told for one in progress(made(weeks, 15, between=between, seed=s), "a").series)
        for s in range(400)
    ]
    assert np.mean(told) < 0.05 + 2 * math.sqrt(0.05 * 0.95 / 400)


def test_a_large_change_is_told_with_its_size():
    found = landing(made(8, 30, better=0.5, seed=3))
    assert found.change.told and "nearer to the spot than at the start" in found.change.sentence
    assert found.change.low < found.change.change < found.change.high < 0


def test_a_change_that_may_be_luck_is_called_luck_with_its_range():
    found = landing(made(4, 12, better=0.9, seed=5))
    assert not found.change.told
    assert "no change that can be told from luck" in found.change.sentence
    assert found.change.low < 0 < found.change.high


def test_few_balls_say_how_many_more():
    found = landing(made(2, 8))
    assert f"{FEWEST_BALLS - 16} more balls" in found.change.sentence and not found.change.told


def test_one_session_is_never_progress():
    assert "two sessions are needed" in landing(made(1, 60)).change.sentence


def test_order_of_the_sessions_does_not_matter():
    sessions = made(5, 12, better=0.8, seed=2)
    assert progress(sessions[::-1], "a") == progress(sessions, "a")


def test_the_running_mean_is_surer_than_one_session():
    points = landing(made(6, 15)).points
    for point in points[1:]:
        assert point.running_high - point.running_low < point.high - point.low
    assert points[-1].running_n == 60


def test_reliability_improves_with_balls_and_says_how_many_are_needed():
    few, many = (landing(made(5, n)).reliability for n in (8, 60))
    assert few.typical_error > many.typical_error
    assert few.smallest_change == pytest.approx(1.96 * math.sqrt(2) * few.typical_error, rel=1e-3)
    assert 60 < many.balls_for_a_fifth < 120  # coaching 11.4: 89 for round misses


def session(balls):
    whole, _ = split(balls, then=FIT, ground=GROUND)
    return session_of("x", START, whole, np.ones(len(whole), dtype=bool), usual_of(FIT, whole))


def test_a_player_as_expected_has_a_value_near_one():
    usual = usual_of(FIT, split(some_balls(3), then=FIT, ground=GROUND)[0])
    along, across = usual.sd[0]
    rng = np.random.default_rng(8)
    balls = []
    for ball in some_balls(300):
        x, y = rng.normal(0, np.hypot(across, 0.25)), 6 + rng.normal(0, np.hypot(along, 0.25))
        balls.append(replace(ball, landed=ball.landed._replace(x_m=x, y_m=y)))
    assert session(balls).landing.mean() == pytest.approx(1.0, abs=0.08)


def test_the_same_miss_counts_less_from_a_bad_lie():
    plain = some_balls(5)
    rough = [replace(b, lie=Lie(kind=LieKind.LIGHT_ROUGH)) for b in plain]
    assert (session(rough).landing < session(plain).landing).all()


def test_nothing_to_follow_is_said_plainly():
    empty = replace_all(made(1, 3)[0])
    with pytest.raises(CannotEstimate, match="no balls to follow"):
        progress([empty], "a")


def replace_all(one):
    none = np.empty(0)
    return Session(one.name, one.day, none, none, none, one.usual_mishits)


def test_json_has_sentences_and_days():
    import json

    shape = progress(made(3, 12), "R. T.").to_dict()
    assert json.loads(json.dumps(shape, allow_nan=False)) == shape
    assert [one["measure"] for one in shape["measures"]] == ["landing", "finish", "contact"]
    assert shape["measures"][0]["points"][0]["day"] == "2026-04-01"
