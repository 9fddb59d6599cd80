"""Adaptive rules, stick place, circles and the drill catalogue."""

import numpy as np
import pytest

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.practice.adapt import Ladder, threshold, up_down, weighted
from firstbounce.practice.circles import circle_size
from firstbounce.practice.stick import stick_model, stick_prior
from firstbounce.services.practice import drills_of_text, find_drill, shipped_drills
from firstbounce.technique.marks import DRILLS
from firstbounce.words import Fault


@pytest.mark.parametrize(("hits", "rate"), [(1, 0.5), (2, 0.7071), (3, 0.7937), (4, 0.8409)])
def test_rates_of_up_down_rules(hits, rate):
    # Levitt 1971 (read: opening): p = 0.5^(1/k).
    assert up_down(hits).target == pytest.approx(rate, abs=1e-4)


def test_weighted_rule_for_three_in_four_has_steps_of_three_to_one():
    # Kaernbach 1991 (read: abstract).
    rule = weighted(0.75)
    assert rule.target == pytest.approx(0.75)
    assert np.log(rule.easier) / np.log(rule.harder) == pytest.approx(3.0)


@pytest.mark.parametrize("rule", [up_down(1, 1.03), up_down(2, 1.03), up_down(3, 1.03), weighted(0.75, 1.05)])
def test_rules_settle_at_their_rates(rule):
    rng = np.random.default_rng(4)
    size, streak, hits, n = 1.6, 0, 0, 40_000
    far = np.hypot(*rng.normal(size=(2, n)))
    for r in far:
        one = Ladder(rule=rule, size=size, streak=streak).after(bool(r < size))
        size, streak, hits = one.size, one.streak, hits + one.done[0][1]
    assert hits / n == pytest.approx(rule.target, abs=0.012)


def test_circle_with_and_without_bias():
    size = circle_size(0.7, along_m=1.0, across_m=0.5, bias_along_m=0.5)
    assert size.consistency_m == pytest.approx(1.185, abs=0.001)  # computed by quadrature, coaching facts
    assert size.accuracy_m > size.consistency_m


def test_threshold_is_found_in_thirty_balls_mostly():
    rng, good = np.random.default_rng(5), 0
    rule = up_down(2)
    for _ in range(60):
        ladder = Ladder(rule=rule, size=1.95)
        for r in np.hypot(*rng.normal(size=(2, 30))):
            ladder = ladder.after(bool(r < ladder.size))
        good += abs(threshold(ladder.done, rule.target).size / 1.567 - 1) < 0.2
    assert good / 60 > 0.75


def test_stick_learns_and_narrows():
    before = stick_prior().place(10.0)
    model = stick_model([(0.6, 10.0)] * 8)
    after = model.place(10.0)
    assert after.distance_m == pytest.approx(0.6, abs=0.03)
    assert after.high_m / after.low_m < before.high_m / before.low_m and after.n == 8
    with pytest.raises(ParameterError, match="chips carry"):
        model.learn(0.6, 900.0)


def test_every_fault_has_a_drill_and_every_drill_of_technique_exists():
    drills = shipped_drills()
    assert len(drills) == 24 and all(drill.caution for drill in drills)
    assert {fault for drill in drills for fault in drill.faults} == set(Fault)
    for names in DRILLS.values():
        for name in names:
            assert find_drill(drills, name).name == name


def test_a_bad_drill_file_lists_its_faults(tmp_path):
    with pytest.raises(FileFaults) as seen:
        drills_of_text(
            tmp_path / "mine.toml", 'format = 1\n[[drill]]\nname = "x"\nfaults = ["laziness"]\ncolour = 1\n'
        )
    text = str(seen.value)
    assert "laziness" in text and "colour" in text and "caution" in text
