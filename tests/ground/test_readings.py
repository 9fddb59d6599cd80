import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.ground.readings import (
    brede_1990,
    combined_stimp,
    slope_from_level,
    slope_from_rise,
    slope_from_rolls,
    speed_from_rolls,
    stimp_of_length,
    stimp_reading,
)
from firstbounce.units import (
    GRAVITY,
    STIMP_RELEASE_SPEED,
    feet_to_metres,
    metres_to_feet,
    stimp_to_deceleration,
)
from firstbounce.words import Estimate, Point, Source

lengths = st.floats(0.3, 30)


@pytest.mark.parametrize(
    ("up", "down", "level", "tolerance"),
    [
        # superintendent's worked cases, 7 June 2014 (read), in feet: 10 ft 11 in and 3 ft 8 in, to an inch
        pytest.param(9.0, 14.0, 10 + 11 / 12, 1 / 12, id="down 14, up 9"),
        pytest.param(2.0, 20.0, 3 + 8 / 12, 1 / 12, id="down 20, up 2"),
        # by hand from the formula
        pytest.param(2.4, 3.2, 2.743, 5e-4, id="2.4 and 3.2"),
        pytest.param(2.0, 4.0, 2.667, 5e-4, id="2.0 and 4.0"),
        pytest.param(1.8, 5.4, 2.700, 5e-4, id="1.8 and 5.4"),
    ],
)
def test_brede_gives_the_published_level_lengths(up, down, level, tolerance):
    assert brede_1990(up, down) == pytest.approx(level, abs=tolerance)


def test_slope_of_a_worked_case():
    # rolls of 2.0 and 4.0 m at 1.83 m/s: 1.71 degrees, 3.0 percent (computed by hand from the derivation)
    slope = slope_from_rolls(2.0, 4.0)
    assert math.degrees(slope) == pytest.approx(1.71, abs=0.005)
    assert 100 * math.tan(slope) == pytest.approx(3.0, abs=0.02)


@pytest.mark.parametrize(("times", "percent"), [(2, 2.6), (3, 3.9)])
def test_course_rating_classes_of_slope_at_stimp_10(times, percent):
    # course-rating manual (read): 2 to 3 times moderately, over 3 times steeply sloped
    level = feet_to_metres(10.0)
    up = level * (1 + times) / (2 * times)
    assert 100 * math.tan(slope_from_rolls(up, times * up)) == pytest.approx(percent, abs=0.1)


def rolls(stimp_ft, slope):
    """Roll lengths up and down [m] of a ball that loses speed steadily."""
    a0, pull = stimp_to_deceleration(stimp_ft), 5 / 7 * GRAVITY * math.sin(slope)
    return STIMP_RELEASE_SPEED**2 / (2 * (a0 + pull)), STIMP_RELEASE_SPEED**2 / (2 * (a0 - pull))


@given(stimp_ft=st.floats(5, 14), percent=st.floats(-4, 4))
def test_brede_undoes_the_slope_for_steady_deceleration(stimp_ft, percent):
    slope = math.atan(percent / 100)
    if stimp_to_deceleration(stimp_ft) > 1.2 * 5 / 7 * GRAVITY * abs(math.sin(slope)):
        up, down = rolls(stimp_ft, slope)
        assert metres_to_feet(brede_1990(up, down)) == pytest.approx(stimp_ft)
        assert slope_from_rolls(up, down) == pytest.approx(slope, abs=1e-12)


@pytest.mark.parametrize(
    ("percent", "up_ft", "down_ft"), [(1, 8.87, 11.46), (2, 7.97, 13.42), (3, 7.23, 16.19), (4, 6.62, 20.40)]
)
def test_rolls_on_a_slope_at_stimp_10(percent, up_ft, down_ft):
    # table of simulated readings, from the same mechanics with 5/7 of the slope; its cosine is rounded away
    up, down = rolls(10.0, math.atan(percent / 100))
    assert (metres_to_feet(up), metres_to_feet(down)) == pytest.approx((up_ft, down_ft), rel=2e-3)


@given(a=lengths, b=lengths)
def test_level_length_lies_between_and_below_the_plain_mean(a, b):
    level = brede_1990(a, b)
    assert min(a, b) * (1 - 1e-12) <= level <= (a + b) / 2 * (1 + 1e-12)
    assert level == pytest.approx(brede_1990(b, a))


def test_rolls_become_speed_and_slope_with_their_errors():
    reading = speed_from_rolls([2.55, 2.60, 2.65], [3.40, 3.50, 3.55])
    assert reading.stimp_ft.value == pytest.approx(metres_to_feet(brede_1990(2.60, 3.50)))
    assert reading.stimp_ft.n == 6
    assert reading.stimp_ft.source is Source.MEASURED
    assert 0.5 <= reading.stimp_ft.sd < 1.0
    assert reading.slope_percent.value == pytest.approx(100 * math.tan(slope_from_rolls(2.60, 3.50)))
    assert 0.1 < reading.slope_percent.sd < 0.6
    assert reading.remarks == ()


def test_errors_of_rolls_are_honest():
    """Rolls with a spread of 5 percent and a release 2 percent off: nine intervals of ten hold the truth."""
    rng = np.random.default_rng(8)
    up, down = rolls(9.0, math.atan(0.015))
    held = []
    for _ in range(400):
        off = (1 + 0.02 * rng.standard_normal()) ** 2
        both = [length * off * (1 + 0.05 * rng.standard_normal(3)) for length in (up, down)]
        reading = speed_from_rolls(*both)
        held.append(
            (
                abs(reading.stimp_ft.value - 9.0) < 1.645 * reading.stimp_ft.sd,
                abs(reading.slope_percent.value - 1.5) < 1.645 * reading.slope_percent.sd,
            )
        )
    speed, slope = np.mean(held, axis=0)
    assert 0.85 < speed < 0.99  # never below 0.5 ft, so a little wide
    assert 0.85 < slope < 0.96


def test_the_error_of_a_fast_sloping_green_is_that_of_simulated_rolls():
    """Medians of three rolls that scatter by 5 percent, a release 2 percent off, 3 and 7 m long."""
    rng = np.random.default_rng(18)
    off = (1 + 0.02 * rng.standard_normal((20_000, 1))) ** 2
    up, down = (
        np.median(length * (1 + 0.05 * rng.standard_normal((20_000, 3))), axis=1, keepdims=True) * off
        for length in (3.0, 7.0)
    )
    simulated = metres_to_feet(2 * up * down / (up + down)).std()
    reading = speed_from_rolls([2.85, 3.0, 3.15], [6.65, 7.0, 7.35])  # 5 percent apart
    assert reading.stimp_ft.sd == pytest.approx(simulated, rel=0.08)


def test_any_release_will_do():
    level, slow = 1.5, math.sqrt(2 * stimp_to_deceleration(9.0) * 1.5)
    reading = speed_from_rolls([level], [level], release_speed=slow)
    assert reading.stimp_ft.value == pytest.approx(9.0)
    assert reading.slope_percent.value == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("up", "down", "remark"),
    [
        ([2.0], [4.5], "Moderately sloped"),
        ([1.0], [4.5], "Steeply sloped"),
        ([3.0], [2.5], "the line falls that way"),
        ([2.5, 2.9], [3.0], "up the line end 0.40 m apart"),
    ],
)
def test_remarks_for_the_coach(up, down, remark):
    assert any(remark in line for line in speed_from_rolls(up, down).remarks)


def test_rolls_one_way_only_are_refused():
    with pytest.raises(CannotEstimate, match="both up and down"):
        speed_from_rolls([2.5, 2.6], [])


@pytest.mark.parametrize("length", [0.0, -1.0, 61.0, float("nan")])
def test_impossible_rolls_are_refused(length):
    with pytest.raises(ParameterError, match="above 0 and at most 60 m"):
        speed_from_rolls([length], [3.0])


def test_a_gauge_reading_is_right_to_about_a_foot():
    assert 2 * stimp_reading(9.5).sd == pytest.approx(1.0)
    assert stimp_of_length(3.048) == pytest.approx(10.0)
    with pytest.raises(ParameterError, match="is it in feet"):
        stimp_reading(40.0)


def test_several_speeds_join_but_never_become_certain():
    one = combined_stimp([stimp_reading(9.0), stimp_reading(10.0)])
    assert one.value == pytest.approx(9.5)
    assert one.sd == pytest.approx(0.5)  # they differ by two sd: the scatter of the two counts
    many = combined_stimp([stimp_reading(9.0)] * 50)
    assert many.sd == 0.3
    assert many.n == 50
    word = Estimate(value=6.5, sd=1.2, source=Source.CLASS_WORD, n=1)
    both = combined_stimp([stimp_reading(9.0), word])
    assert 8.5 < both.value < 9.0
    assert both.source is Source.MEASURED


@given(slope=st.floats(0, 5), zero=st.floats(-3, 3))
def test_turning_a_level_round_takes_out_its_zero_error(slope, zero):
    reading = slope_from_level([slope + zero], [slope - zero])
    assert reading.slope_percent.value == pytest.approx(100 * math.tan(math.radians(slope)), abs=1e-9)
    assert reading.zero_deg == pytest.approx(zero, abs=1e-9)
    assert reading.slope_percent.sd == pytest.approx(0.70, abs=0.01)


def test_a_level_that_was_not_turned_is_less_certain_and_says_so():
    turned, not_turned = slope_from_level([1.5], [1.1]), slope_from_level([1.5])
    assert not_turned.slope_percent.sd > 2.5 * turned.slope_percent.sd
    assert not_turned.zero_deg is None
    assert "Turn the level round" in not_turned.remarks[0]


def test_a_level_without_sign_on_nearly_level_ground_is_noticed():
    assert "no sign" in slope_from_level([1.6], [-1.2]).remarks[0]
    assert "set its zero" in slope_from_level([5.0], [0.5]).remarks[0]


def test_a_level_reading_at_a_place_falls_the_way_it_says():
    reading = slope_from_level([1.5], [1.1]).at(Point(1, 2), 90.0)
    assert reading.gradient[0] == pytest.approx(-math.tan(math.radians(1.3)))
    other = slope_from_level([-1.5], [-1.1]).at(Point(1, 2), 90.0)
    assert other.downhill_deg == 270.0
    assert other.gradient[0] == pytest.approx(+math.tan(math.radians(1.3)))


def test_a_rule_with_ten_millimetres_under_one_end_is_one_percent():
    assert slope_from_rise(10.0).value == pytest.approx(1.0)
    assert slope_from_rise(10.0, rule_m=0.5).value == pytest.approx(2.0)
    with pytest.raises(ParameterError, match="no slope"):
        slope_from_rise(-1.0)


def test_impossible_level_readings_are_refused():
    with pytest.raises(CannotEstimate, match="at least one"):
        slope_from_level([])
    with pytest.raises(ParameterError, match="too steep"):
        slope_from_level([45.0])
