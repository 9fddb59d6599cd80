"""The race on common draws: sure when it can be, equal when it cannot tell."""

import numpy as np
import pytest

from firstbounce.planning.draws import generator
from firstbounce.planning.race import INDIFFERENCE, run_race

LUCK = generator(1).standard_normal((4096, 2))


def racers(offsets, own=0.1):
    """Costs that share most of their luck; each choice has a little of its own."""
    private = generator(2).standard_normal((4096, len(offsets)))

    def play(choice, start, end):
        return 2.5 + offsets[choice] + 0.4 * LUCK[start:end, 0] + own * private[start:end, choice]

    return play


def test_the_cheapest_wins_and_the_rest_are_in_order():
    standings = run_race(racers([0.3, 0.0, 0.1, 0.05]), 4, [256, 1024])
    assert [s.index for s in standings] == [1, 3, 2, 0]
    assert [s.equal for s in standings] == [True, False, False, False]


def test_clear_losers_leave_early():
    standings = run_race(racers([0.0, 0.004, 0.5]), 3, [128, 2048, 4096])
    assert {s.index: s.draws for s in standings} == {0: 4096, 1: 4096, 2: 128}


def test_differences_too_small_to_matter_are_equal():
    standings = run_race(racers([0.0, INDIFFERENCE / 2], own=0.01), 2, [4096])
    assert standings[1].equal
    assert standings[1].behind == pytest.approx(INDIFFERENCE / 2, abs=0.002)


def test_differences_that_cannot_be_seen_are_equal():
    standings = run_race(racers([0.0, 0.03], own=2.0), 2, [256])
    assert standings[1].equal


def test_pairing_sharpens_the_difference():
    standings = run_race(racers([0.0, 0.05], own=0.05), 2, [512])
    unpaired = 0.4 * np.sqrt(2 / 512)
    assert standings[1].behind_error < unpaired / 3


def test_one_choice_is_its_own_winner():
    (only,) = run_race(racers([0.0]), 1, [64, 128])
    assert only.index == 0
    assert only.draws == 64
    assert only.behind == 0
