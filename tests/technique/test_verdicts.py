"""Three outcomes: passed, failed, or too close to call when the camera's error leaves it open."""

from dataclasses import replace

import numpy as np
import pytest
from people import chain_of
from render.swing import Swing

from firstbounce.technique.marks import (
    LEAST_CHANCE,
    Item,
    PassMarks,
    Verdict,
    chance_between,
    decided,
    judge_swing,
)
from firstbounce.technique.measures import INTERVAL, Measure, Name
from firstbounce.technique.report import judged_words
from firstbounce.technique.watching import watch_landmarks

MARKS = PassMarks()


@pytest.fixture(scope="module")
def measures():
    """Every measure of a good swing."""
    (seen,) = watch_landmarks(chain_of((Swing(ratio=1.0),)), exact=True).swings
    return seen.measures


def measured(name, value, deviation, **changes):
    half = INTERVAL * deviation
    return Measure(name=name, value=value, low=value - half, high=value + half, **changes)


def verdict(measures, item, *changed):
    found = {**measures, **{measure.name: measure for measure in changed}}
    return next(one for one in judge_swing(found, MARKS) if one.item is item)


def test_the_chance_is_that_of_a_normal_error():
    assert chance_between(5.0, 2.0, -np.inf, 5.0) == pytest.approx(0.5)
    assert chance_between(5.0, 2.0, -np.inf, 7.0) == pytest.approx(0.841345, abs=1e-6)
    assert chance_between(1.0, 0.05, 0.9, 1.1) == pytest.approx(0.9545, abs=1e-4)
    assert chance_between(1.0, 0.0, 0.9, 1.1) == 1.0 and chance_between(1.2, 0.0, 0.9, 1.1) == 0.0


@pytest.mark.parametrize(
    ("ratio", "expected", "sure"),
    [
        (1.00, Verdict.PASSED, True),
        (0.92, Verdict.PASSED, False),
        (0.89, Verdict.CLOSE, False),
        (0.87, Verdict.CLOSE, False),
        (0.85, Verdict.CLOSE, False),
        (0.82, Verdict.FAILED, False),
        (0.75, Verdict.FAILED, True),
        (1.30, Verdict.FAILED, True),
    ],
)
def test_a_ratio_is_weighed_against_its_error(measures, ratio, expected, sure):
    one = verdict(measures, Item.MATCH, measured(Name.RATIO, ratio, 0.04))
    assert (one.verdict, one.sure) == (expected, sure)
    assert bool(one.drills) == bool(one.fault) == (expected is Verdict.FAILED)


def test_a_smaller_error_decides_what_a_larger_one_leaves_open(measures):
    near = [verdict(measures, Item.RECOIL, measured(Name.RECOIL, 5.8, sd)) for sd in (1.5, 0.3)]
    assert [one.verdict for one in near] == [Verdict.CLOSE, Verdict.FAILED]


def test_arms_weigh_both_elbows_together(measures):
    def arms(lead, trail):
        changed = measured(Name.LEAD_ELBOW, lead, 4.0), measured(Name.TRAIL_ELBOW, trail, 4.0)
        return verdict(measures, Item.ARMS, *changed).verdict

    assert arms(0.0, 2.0) is Verdict.PASSED and arms(20.0, 18.0) is Verdict.FAILED
    assert arms(18.0, 0.0) is Verdict.CLOSE


def test_a_hold_that_outlasts_the_clip_passes_and_never_fails(measures):
    def held(value):
        one = replace(measured(Name.HELD, value, 0.03, at_least=True), high=None)
        return verdict(measures, Item.HELD, one).verdict

    assert held(1.5) is Verdict.PASSED and held(0.5) is Verdict.NOT_JUDGED


def test_errors_as_stated_make_few_wrong_verdicts():
    """True ratios on both sides of the mark, errors drawn as stated: one verdict in ten is wrong at most."""
    rng = np.random.default_rng(5)
    truth = rng.uniform(0.75, 1.0, 4000)
    wrong = called = 0
    for true, seen in zip(truth, truth + rng.normal(0, 0.05, truth.shape), strict=True):
        one = decided(Item.MATCH, chance_between(float(seen), 0.05, MARKS.ratio_low, np.inf), "")
        if one.verdict is not Verdict.CLOSE:
            called += 1
            wrong += (one.verdict is Verdict.PASSED) != (true >= MARKS.ratio_low)
    assert called > 2400 and wrong / called < (1 - LEAST_CHANCE) / 2


def test_the_words_name_the_three_outcomes(measures):
    said = [
        judged_words(verdict(measures, Item.MATCH, measured(Name.RATIO, ratio, 0.04)))
        for ratio in (1.0, 0.92, 0.87, 0.75)
    ]
    assert "passed: 1.00" in said[0] and "passed (close): 0.92" in said[1]
    assert "too close to call: 0.87" in said[2] and "failed: 0.75" in said[3] and "; try: " in said[3]
