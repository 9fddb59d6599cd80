"""Games scored by rule, and what their scores mean for a player."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.players.player import player_of_level
from firstbounce.players.putting import broadie_2018
from firstbounce.players.putts import expected_putts
from firstbounce.practice.chips import chipper
from firstbounce.practice.expected import Expected, expected_score, meaning
from firstbounce.practice.games import MOST_STROKES, RULES, Game, rule_of, score_game
from firstbounce.practice.putting_out import putt, putts_to_hole
from firstbounce.services.practice import find_drill, shipped_drills
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Level


@pytest.fixture(scope="module")
def chippers():
    return {level: chipper(player_of_level(level)) for level in (Level.SCRATCH, Level.TEN_TO_EIGHTEEN)}


@pytest.fixture(scope="module")
def nine(chippers):
    return {
        level: expected_score(Game.NINE, one, np.random.default_rng(1), rounds=1200)
        for level, one in chippers.items()
    }


def law(chances):
    return Expected(
        game=Game.ONE, chances=chances, strokes=None, strokes_low=None, strokes_high=None, basis="typical"
    )


def test_every_game_has_its_drill():
    for game, rule in RULES.items():
        drill = find_drill(shipped_drills(), rule.drill)
        assert (rule.of, rule.passes) == (drill.out_of, drill.passes) and rule_of(game.upper()) is rule


@given(strokes=st.lists(st.integers(1, MOST_STROKES), min_size=9, max_size=9))
def test_up_and_down_nine_counts_holes_in_two(strokes):
    score = score_game(Game.NINE, [str(s) for s in strokes])
    assert score.points == sum(s <= 2 for s in strokes) and score.strokes == sum(strokes) and score.par == 18
    assert score.passed == (score.points >= 3)


def test_worst_of_two_counts_three_or_fewer():
    score = score_game(Game.WORST, ["3", "4", "2", "5", "3", "3"])
    assert (score.points, score.strokes, score.passed) == (4, 20, True)


def test_the_one_that_counts():
    assert score_game(Game.ONE, ["in", "out", "IN", "yes", "no"]).points == 3


def test_call_the_run_is_within_a_fifth_of_the_run():
    calls = ["8/10", "12/10", "7.9/10", "12.1/10", "10/10", "0/10", "6/5", "4/5", "3/4", "5/4"]
    assert score_game(Game.CALL, calls).points == 5


@pytest.mark.parametrize(
    ("game", "entries", "says"),
    [
        (Game.NINE, ["2"] * 8, "9 entries, got 8"),
        (Game.NINE, ["2"] * 8 + ["0"], "Hole 9: strokes must be a whole number 1 to 12, got '0'"),
        (Game.NINE, ["2", "two"] + ["3"] * 7, "Hole 2"),
        (Game.WORST, ["13"] * 6, "Hole 1"),
        (Game.ONE, ["in", "in", "in", "in", "maybe"], "Ball 5: write in or out"),
        (Game.CALL, ["6"] * 10, "Ball 1: write called and paced run"),
        (Game.CALL, ["6/7"] * 9 + ["6/0"], "Ball 10: runs must be above 0"),
        (Game.CALL, ["6/7"] * 9 + ["nan/7"], "Ball 10"),
    ],
)
def test_entries_that_make_no_sense_are_named(game, entries, says):
    with pytest.raises(ParameterError, match=says):
        score_game(game, entries)
    with pytest.raises(ParameterError, match="there are up-and-down nine"):
        rule_of("tag")


@pytest.mark.parametrize("level", [Level.SCRATCH, Level.NINETEEN_TO_TWENTY_EIGHT])
@pytest.mark.parametrize("length", [1.0, 2.4, 6.0])
def test_putts_go_in_as_often_as_the_published_model_says(level, length):
    skill = player_of_level(level).putting
    chance = float(broadie_2018(length, math.radians(skill.angle_deg), skill.distance_share))
    holed = putt(np.full(40_000, length), skill, np.random.default_rng(3)) == 0
    assert holed.mean() == pytest.approx(chance, abs=0.009)


@pytest.mark.parametrize("level", list(Level))
def test_putting_out_costs_what_the_table_of_putts_says(level):
    """Two ways to the same number: putt after putt here, value iteration on a grid there."""
    skill, rng = player_of_level(level).putting, np.random.default_rng(4)
    for length in (1.5, 4.0, 9.0):
        table = float(expected_putts(skill, length, green_deceleration=stimp_to_deceleration(9.0)))
        assert putts_to_hole(np.full(20_000, length), skill, rng).mean() == pytest.approx(table, abs=0.1)


def test_a_better_player_scores_more(nine):
    scratch, club = nine[Level.SCRATCH], nine[Level.TEN_TO_EIGHTEEN]
    assert scratch.mean > club.mean + 1 and scratch.strokes < club.strokes - 2
    for one in nine.values():
        assert sum(one.chances) == pytest.approx(1) and one.low <= one.mean <= one.high
        assert one.strokes_low < one.strokes < one.strokes_high


def test_nine_agrees_with_the_tour_benchmark_for_scratch(nine):
    # Broadie (2012, 2014): tour, 10 yd 2.18 fairway 2.34 rough, 20 yd 2.40 and 2.59 (from memory), so about
    # 2.3 for 5 to 18 m in mixed lies; a scratch player a little more. Ours picks spots well: 2.1 to 2.5.
    assert 2.1 < nine[Level.SCRATCH].strokes / 9 < 2.5


def test_pass_mark_of_the_middle_level_is_in_reach(nine):
    # common practice: 3 of 9 for handicaps 10 to 18
    assert 0.5 < nine[Level.TEN_TO_EIGHTEEN].at_least(3) < 0.95


def test_the_one_that_counts_is_binomial(chippers):
    one = chippers[Level.SCRATCH]
    made = expected_score(Game.ONE, one, np.random.default_rng(1), circle_chance=0.6)
    assert made.mean == pytest.approx(3.0) and made.variance == pytest.approx(1.2)
    assert made.chances[5] == pytest.approx(0.6**5) and (made.low, made.high) == (1, 5)


def test_worst_of_two_is_worse_than_one_ball(chippers):
    club, rng = chippers[Level.TEN_TO_EIGHTEEN], np.random.default_rng(2)
    worst = expected_score(Game.WORST, club, rng, distances_m=[12.0] * 6, rounds=500)
    single = expected_score(Game.NINE, club, rng, distances_m=[12.0] * 9, rounds=500)
    assert worst.strokes / 6 > single.strokes / 9 + 0.3


def test_calls_are_better_the_steadier_the_run(chippers):
    rng = np.random.default_rng(5)
    made = {level: expected_score(Game.CALL, one, rng, rounds=600).mean for level, one in chippers.items()}
    assert made[Level.SCRATCH] > made[Level.TEN_TO_EIGHTEEN] + 0.5


@pytest.mark.parametrize("wrong", [[10.0] * 8, [1.0] * 9, [60.0] * 9])
def test_distances_of_a_game_are_checked(chippers, wrong):
    with pytest.raises(ParameterError, match="9 distances of 2 to 50 m"):
        expected_score(Game.NINE, chippers[Level.SCRATCH], np.random.default_rng(1), distances_m=wrong)


def test_the_meaning_of_a_score():
    made = law((0.05, 0.15, 0.30, 0.30, 0.15, 0.05))
    said = [meaning(score_game(Game.ONE, ["in"] * k + ["out"] * (5 - k)), made) for k in range(6)]
    assert "That is within what luck does." in said[2]
    assert all("games before and as many after" in one for one in said)
    lucky = law((0.5, 0.47, 0.01, 0.01, 0.005, 0.005))
    assert "by luck in 1 in 100 games" in meaning(score_game(Game.ONE, ["in"] * 4 + ["out"]), lucky)
    rare = law((0.01, 0.01, 0.01, 0.01, 0.0, 0.96))
    assert "bad luck in 1 in 33 games" in meaning(score_game(Game.ONE, ["in"] * 2 + ["out"] * 3), rare)


@settings(max_examples=50, deadline=None)
@given(weights=st.lists(st.floats(0.001, 1), min_size=4, max_size=10))
def test_ends_of_a_law_hold_nine_in_ten(weights):
    chances = tuple(w / sum(weights) for w in weights)
    made = law(chances)
    assert made.low <= made.high
    assert sum(chances[made.low : made.high + 1]) >= 0.9 - 1e-9
    assert made.games_to_tell >= 1
