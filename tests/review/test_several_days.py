"""Several days of one player together: plan and reading by the day, habits, scatter and contact by all."""

from __future__ import annotations

import datetime
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner
from review_sets import FIT, GROUND, reviewed, some_balls, some_tallies

from firstbounce.cli.app import app
from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.review.asked import asked_of
from firstbounce.review.questions import Mean, Question, shifted_days, shifted_mean, weighted
from firstbounce.review.review import review_together
from firstbounce.review.split import PARTS
from firstbounce.review.verdict import Call
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.demo import BALLS, GREEN, copy_inputs
from firstbounce.services.review import review_days

DAYS = ("2026-05-02", "2026-05-09", "2026-05-16", "2026-05-23")


def rng():
    return np.random.default_rng(0)


def day(name, balls, tallies=()):
    return asked_of(balls, tallies, then=FIT, ground=GROUND, rng=rng(), day=name)


def together(*days):
    return review_together(days, rng=rng())


def of(seen, question):
    return [answer for answer in seen.answers if answer.question is question]


def test_days_of_the_same_green_add_up_to_the_set():
    balls = some_balls(24)
    one, two = reviewed(balls), together(day(DAYS[0], balls[:10]), day(DAYS[1], balls[10:]))
    for name in ("total", *PARTS, "missed", "from_spot"):
        assert getattr(two.split, name) == pytest.approx(getattr(one.split, name), abs=1e-9)
    assert two.counts == one.counts
    assert two.landing.constant_along.value == pytest.approx(one.landing.constant_along.value)
    assert [s.square_m2.value for s in two.shares] == pytest.approx([s.square_m2.value for s in one.shares])
    assert [tuple(held) for held in two.days] == [(DAYS[0], 10, 0), (DAYS[1], 14, 0)]
    assert [ball["day"] for ball in two.to_dict()["each"]] == [DAYS[0]] * 10 + [DAYS[1]] * 14


def test_a_habit_that_no_day_shows_is_shown_by_all_of_them():
    days = [day(name, some_balls(8, seed=k + 3, long=-0.9, far=14.0)) for k, name in enumerate(DAYS)]
    alone = [one for d in days for one in of(together(d), Question.DISTANCE_BIAS)]
    (pooled,) = of(together(*days), Question.DISTANCE_BIAS)
    assert pooled.n == 32 and not any(answer.called for answer in alone)
    assert pooled.called and pooled.effect == pytest.approx(-0.9, abs=0.3)
    assert pooled.high - pooled.low < min(answer.high - answer.low for answer in alone)


def test_a_wrong_spot_is_that_of_its_day_and_the_words_name_it():
    good, bad = some_balls(12, seed=5, far=14.0), some_balls(12, seed=6, far=11.0)
    seen = together(day(DAYS[0], good), day(DAYS[1], bad))
    called = [answer for answer in of(seen, Question.PLAN) if answer.called]
    assert [answer.day for answer in called] == [1]
    assert seen.verdict.call is Call.CHANGE_PLAN and f"(Gate, PW, {DAYS[1]})" in seen.verdict.reason


def test_one_day_does_not_name_itself_in_its_words():
    assert DAYS[0] not in together(day(DAYS[0], some_balls(12, far=11.0))).verdict.reason


def test_the_spread_is_taken_about_the_middle_of_each_day():
    """Two days that land 3 m apart are two aims, not a scatter of 3 m."""
    early, late = some_balls(12, seed=5), some_balls(12, seed=6, long=3.0)
    apart = of(together(day(DAYS[0], early), day(DAYS[1], late)), Question.DISTANCE_SPREAD)
    mixed = of(reviewed([*early, *late]), Question.DISTANCE_SPREAD)
    assert apart[0].effect < 0.5 < mixed[0].effect


def test_tallies_of_several_days_are_one_answer_of_all():
    days = [
        day(name, (), some_tallies(("long", "further, past", 5), ("in", "within two paces", 1)))
        for name in DAYS[:3]
    ]
    (pooled,) = of(together(*days), Question.DISTANCE_BIAS)
    alone = of(together(days[0]), Question.DISTANCE_BIAS)[0]
    assert pooled.tallied == 18 and pooled.chance < alone.chance


@pytest.mark.parametrize("days", [2, 4, 8])
@pytest.mark.parametrize("between", [0.0, 0.25])
def test_no_habit_is_called_a_habit_in_five_of_a_hundred(days, between):
    """2,000 players without a habit, whose days differ by as much as is usual, or not at all."""
    chance = np.random.default_rng(7)
    called = 0
    for _ in range(2000):
        sets = [chance.normal(between * chance.normal(), 1.0, 8) for _ in range(days)]
        called += shifted_days([weighted(x, np.ones(8)) for x in sets], 0.25)[3] <= 0.05
    assert called / 2000 <= 0.065


def test_days_that_do_not_differ_and_none_expected_are_one_sample():
    """With no day effect weighed in, the pooled mean is that of a two-stage sample with equal variances."""
    means = [Mean(0.3, 1.0, 10.0), Mean(0.3, 1.0, 30.0)]
    assert shifted_days(means, 0.0)[0] == pytest.approx(0.3)
    assert shifted_days(means, 0.0)[3] == pytest.approx(shifted_mean(0.3, (1 / 40) ** 0.5, 38)[3], rel=1e-6)


def test_a_day_without_a_usable_ball_is_said_by_the_one_that_asks():
    with pytest.raises(CannotEstimate, match="None of the 1 balls"):
        day(DAYS[0], [replace(some_balls(1)[0], aim=None)])


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("days")
    copy_inputs(folder)
    loaded = load_day(folder / GREEN)
    return folder, loaded, load_balls(folder / BALLS, loaded)


def later(loaded, days=7, **player):
    file = loaded.file
    today = file.today.model_copy(update={"date": file.today.date + datetime.timedelta(days=days)})
    who = replace(loaded.player, **player) if player else loaded.player
    return replace(loaded, file=file.model_copy(update={"today": today}), player=who)


def test_a_month_is_its_days_in_order(demo):
    _, loaded, logged = demo
    seen = review_days([(later(loaded), logged), (loaded, logged)], station="Gate")
    assert [held.day for held in seen.days] == ["2026-05-14", "2026-05-21"]
    assert seen.days[0].placed == seen.days[1].placed > 5


def test_balls_of_two_players_are_refused(demo):
    _, loaded, logged = demo
    with pytest.raises(ParameterError, match="2 players"):
        review_days([(loaded, logged), (later(loaded, name="Another One"), logged)])


def test_a_station_that_no_day_has_is_said(demo):
    _, loaded, logged = demo
    with pytest.raises(CannotEstimate, match="Nowhere"):
        review_days([(loaded, logged), (later(loaded), logged)], station="Nowhere")


def test_the_command_takes_more_days(demo):
    folder, _, _ = demo
    green, balls = str(folder / "green.toml"), str(folder / "balls.csv")
    (folder / "later.toml").write_text(
        (folder / "green.toml").read_text().replace("2026-05-14", "2026-05-21")
    )
    more = ["--with", str(folder / "later.toml"), balls]
    told = CliRunner().invoke(app, ["review", green, balls, *more])
    assert told.exit_code == 0, told.output
    assert "2 days: 2026-05-14 18 balls, 2026-05-21 18 balls." in told.output
    refused = CliRunner().invoke(app, ["review", green, balls, *more, "--session", "morning"])
    assert refused.exit_code == 2 and "leave out --with" in refused.output
