"""A lasting short or left of a player: said, aimed off for, and its doubt part of the spread."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from plan_places import TODAY

from firstbounce.fitting.fit import prior_fit
from firstbounce.planning.habit import aim_off, habit_text
from firstbounce.planning.sentences import length_text
from firstbounce.planning.worlds import player_as_learned
from firstbounce.players.clubs import usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.units import LengthUnit
from firstbounce.words import Level

METRES = partial(length_text, unit=LengthUnit.METRES)


def learned(carry_bias=0.0, direction_bias=0.0, sd=0.03, balls=12):
    """A fit that has seen where balls land."""
    usual = prior_fit(player_of_level(Level.TEN_TO_EIGHTEEN, bag=usual_bag(("PW", "SW"))), TODAY)
    values, covariance = usual.landing.values.copy(), usual.landing.covariance.copy()
    values[3], values[4] = carry_bias, direction_bias
    covariance[3, 3], covariance[4, 4] = sd**2, 0.02**2
    return replace(
        usual, landing=replace(usual.landing, values=values, covariance=covariance, n_landed=balls)
    )


def test_a_clear_habit_is_aimed_off_for_and_said():
    off = aim_off(learned(carry_bias=-0.10, direction_bias=-0.06))
    assert off == pytest.approx((0.10, 0.06))
    said = habit_text(off, 8.0, METRES)
    assert said == "These balls usually land 1 m short and 0.5 m left of the spot meant: aim off by as much."


@pytest.mark.parametrize("fit", [learned(carry_bias=-0.07), learned(carry_bias=-0.2, balls=0)])
def test_a_habit_that_is_not_clear_or_not_seen_changes_nothing(fit):
    assert aim_off(fit) == (0.0, 0.0)
    assert habit_text(aim_off(fit), 8.0, METRES) == ""


def test_a_habit_too_small_to_pace_is_not_worth_a_word():
    assert habit_text((0.02, 0.0), 5.0, METRES) == ""


def test_what_is_not_known_of_the_habit_widens_the_spread():
    sure, unsure = (player_as_learned(learned(sd=sd)).spread for sd in (0.001, 0.06))
    assert unsure.share == pytest.approx(np.hypot(sure.share, 0.06), rel=0.01)
    assert unsure.floor_m == sure.floor_m
    nothing_seen = player_as_learned(learned(sd=0.06, balls=0)).spread
    assert nothing_seen.share == pytest.approx(sure.share, rel=0.01)
