import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.ground.wind import (
    BEAUFORT,
    Wind,
    beaufort_of_wind,
    beaufort_speed_1946,
    log_wind_ratio,
    wind_of_beaufort,
)
from firstbounce.words import Source


@pytest.mark.parametrize(
    ("roughness", "ratios"),
    # table of the log law over 10 m at 0.5, 1, 2, 3 and 5 m (derived; WMO roughness classes, read)
    [(0.03, (0.484, 0.604, 0.723, 0.793, 0.881)), (0.01, (0.566, 0.667, 0.767, 0.826, 0.900))],
)
def test_wind_by_height(roughness, ratios):
    for height, ratio in zip((0.5, 1, 2, 3, 5), ratios, strict=True):
        assert log_wind_ratio(height, 10, roughness) == pytest.approx(ratio, abs=6e-4)


def test_five_metres_a_second_at_ten_metres_is_3_61_at_two():
    assert 5 * log_wind_ratio(2, 10, 0.03) == pytest.approx(3.61, abs=0.02)


@pytest.mark.parametrize(("height", "roughness"), [(0.1, 0.03), (101, 0.03), (2, 0), (5, 3)])
def test_the_log_law_keeps_to_its_range(height, roughness):
    with pytest.raises(OutOfRange):
        log_wind_ratio(height, 10, roughness)


@pytest.mark.parametrize(
    ("force", "low_km_h", "high_km_h"),
    # WMO classes over land in km/h (read)
    [(1, 1, 5), (2, 6, 11), (3, 12, 19), (4, 20, 28), (5, 29, 38), (6, 39, 49), (7, 50, 61)],
)
def test_beaufort_classes_hold_the_published_speeds(force, low_km_h, high_km_h):
    scale = BEAUFORT[force]
    assert (scale.low_m_s * 3.6, scale.high_m_s * 3.6) == pytest.approx((low_km_h, high_km_h), abs=1.0)
    assert beaufort_of_wind(low_km_h / 3.6 + 0.1).force == force
    assert beaufort_of_wind(high_km_h / 3.6 - 0.1).force == force


def test_classes_join_without_gaps():
    for below, above in itertools.pairwise(BEAUFORT):
        assert above.low_m_s == pytest.approx(below.high_m_s + 0.1)


@given(force=st.integers(0, 7))
def test_a_force_turned_to_speed_and_back_is_the_same_force(force):
    assert beaufort_of_wind(wind_of_beaufort(force).value).force == force
    assert Wind.of_beaufort(force).beaufort.force == force


@pytest.mark.parametrize("force", range(1, 8))
def test_the_formula_lies_in_or_near_its_class(force):
    # v = 0.836 B^1.5 (from memory, high)
    scale = BEAUFORT[force]
    assert scale.low_m_s - 0.1 <= beaufort_speed_1946(force) <= scale.high_m_s + 0.1


def test_wind_felt_at_head_height_is_less_than_at_ten_metres():
    assert wind_of_beaufort(4, 1.7).value == pytest.approx(0.695 * wind_of_beaufort(4).value, rel=0.01)
    assert Wind.felt(3.0).beaufort.force == 3


def test_a_word_for_wind_is_right_to_about_a_class():
    breeze = wind_of_beaufort(4)
    assert breeze.sd == pytest.approx(0.3 * breeze.value)
    assert breeze.source is Source.CLASS_WORD
    assert wind_of_beaufort(0).sd == 0.3


@pytest.mark.parametrize(("from_deg", "vector"), [(0, (0, -4)), (90, (-4, 0)), (180, (0, 4)), (270, (4, 0))])
def test_wind_blows_away_from_where_it_comes(from_deg, vector):
    assert Wind(speed_m_s=4.0, from_deg=from_deg).vector == pytest.approx(vector, abs=1e-12)


@given(speed=st.floats(0, 20), turn=st.floats(-360, 360))
def test_wind_keeps_its_speed_in_every_direction(speed, turn):
    assert math.hypot(*Wind(speed_m_s=speed, from_deg=turn).vector) == pytest.approx(speed)


def test_no_wind_is_zero_wind():
    assert Wind().vector == (0.0, 0.0)
    assert Wind().speed_at(10.0) == 0.0
    assert Wind().source is Source.PRIOR


def test_speed_at_other_heights():
    wind = Wind(speed_m_s=3.0, roughness_m=0.03)
    assert wind.speed_at(1.7) == pytest.approx(3.0)
    assert wind.speed_at(10.0) == pytest.approx(3.0 / log_wind_ratio(1.7, 10, 0.03))


def test_impossible_winds_are_refused():
    with pytest.raises(ParameterError, match="metres a second"):
        Wind(speed_m_s=40.0)
    with pytest.raises(ParameterError, match="0 to 7"):
        wind_of_beaufort(8)
    with pytest.raises(OutOfRange, match="gale"):
        beaufort_of_wind(18.0)
    with pytest.raises(ParameterError, match="0 m/s or more"):
        beaufort_of_wind(-1.0)
    with pytest.raises(OutOfRange, match="0 to 12"):
        beaufort_speed_1946(13)
