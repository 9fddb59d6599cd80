import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import CannotEstimate, OutOfRange, ParameterError
from firstbounce.ground.firmness import (
    FirmnessWord,
    Moisture,
    combined_firmness,
    firmness_from_drops,
    firmness_of_word,
    firmness_when,
    restitution_from_bounce,
    restitution_penner_2002,
)
from firstbounce.words import Source


@pytest.mark.parametrize(
    ("speed", "restitution"),
    # derived table of Penner's polynomial (equation from memory, high)
    [(3, 0.406), (5, 0.345), (7, 0.292), (9, 0.246), (12, 0.190), (15, 0.151), (18, 0.128), (20, 0.121)],
)
def test_restitution_of_penner(speed, restitution):
    assert restitution_penner_2002(speed) == pytest.approx(restitution, abs=6e-4)


def test_restitution_beyond_its_range_is_refused():
    assert restitution_penner_2002(25.0) == 0.120
    with pytest.raises(OutOfRange, match="0 to 40 m/s"):
        restitution_penner_2002(-0.1)
    with pytest.raises(OutOfRange, match="0 to 40 m/s"):
        restitution_penner_2002(41.0)


@pytest.mark.parametrize(("bounce", "restitution"), [(0.25, 0.408), (0.10, 0.258)])
def test_restitution_of_a_drop_from_a_metre_and_a_half(bounce, restitution):
    # e = sqrt(h / 1.5), computed; 0.25 m gives 0.408, 0.10 m gives 0.26
    assert restitution_from_bounce(bounce) == pytest.approx(restitution, abs=6e-4)


def test_penner_ground_bounces_a_ball_to_between_16_and_17_cm_and_has_index_1():
    # derived from his restitution: 11 percent of 1.50 m
    reading = firmness_from_drops([0.166])
    assert reading.firmness.value == pytest.approx(1.0, abs=0.003)
    assert reading.speed_into == pytest.approx(5.42, abs=0.01)


@pytest.mark.parametrize(("bounce", "low", "high"), [(0.08, 0.6, 0.8), (0.27, 1.2, 1.6)])
def test_soft_and_firm_drops_fall_in_their_classes(bounce, low, high):
    assert low < firmness_from_drops([bounce]).firmness.value < high


@given(bounces=st.lists(st.floats(0.03, 0.6), min_size=1, max_size=8))
def test_higher_bounces_are_firmer(bounces):
    lower = firmness_from_drops(bounces).firmness.value
    assert firmness_from_drops([1.1 * bounce for bounce in bounces]).firmness.value > lower


def test_more_drops_make_it_surer_but_a_drop_is_no_chip():
    one, five, many = (firmness_from_drops([0.16] * n).firmness for n in (1, 5, 400))
    assert one.sd > five.sd > many.sd >= 0.10
    assert five.n == 5
    assert five.source is Source.MEASURED


def test_errors_of_drops_are_honest():
    rng = np.random.default_rng(9)
    held = []
    for _ in range(300):
        spots = 0.35 * np.exp(0.08 * rng.standard_normal(5))
        reading = firmness_from_drops(1.5 * spots**2)
        held.append(abs(reading.restitution.value - 0.35) < 1.645 * reading.restitution.sd)
    assert 0.84 < np.mean(held) < 0.96


def test_odd_drops_are_remarked():
    assert "differ much" in firmness_from_drops([0.05, 0.30]).remarks[0]
    assert "outside what greens" in firmness_from_drops([0.9]).remarks[0]
    assert firmness_from_drops([0.15, 0.16, 0.17]).remarks == ()


@pytest.mark.parametrize("bounce", [0.0, -0.1, 1.5, 2.0])
def test_impossible_bounces_are_refused(bounce):
    with pytest.raises(ParameterError, match="bounces above 0 and lower"):
        firmness_from_drops([bounce])


def test_a_drop_test_needs_drops_from_a_sensible_height():
    with pytest.raises(CannotEstimate, match="at least one"):
        firmness_from_drops([])
    with pytest.raises(ParameterError, match=r"0\.3 to 3 m"):
        firmness_from_drops([0.1], drop_m=15.0)


def test_words_for_firmness_are_in_order_and_wide():
    soft, medium, firm = (firmness_of_word(word) for word in FirmnessWord)
    assert soft.value < medium.value == 1.0 < firm.value
    assert {soft.sd, medium.sd, firm.sd} == {0.20}
    nobody = firmness_of_word(None)
    assert (nobody.value, nobody.sd, nobody.source) == (1.0, 0.25, Source.PRIOR)


def test_water_softens_words_but_not_what_was_measured_in_it():
    # one course: 70 g at 41 percent water, 98 g at 23 percent (read): drier must be firmer
    by_moisture = [firmness_when(firmness_of_word(None), moisture) for moisture in Moisture]
    assert [e.value for e in by_moisture] == sorted((e.value for e in by_moisture), reverse=True)
    wet = firmness_when(firmness_of_word(None), Moisture.WET)
    assert wet.sd > 0.25
    drop = firmness_from_drops([0.2]).firmness
    assert firmness_when(drop, Moisture.WET) is drop


def test_a_word_and_a_drop_test_join_on_the_logarithm():
    drop, word = firmness_from_drops([0.27] * 5).firmness, firmness_of_word(FirmnessWord.MEDIUM)
    both = combined_firmness([drop, word])
    assert word.value < both.value < drop.value
    weights = np.array([drop.sd, word.sd]) ** -2.0
    assert math.log(both.value) == pytest.approx(weights @ np.log([drop.value, word.value]) / weights.sum())
    assert both.sd >= 0.10
