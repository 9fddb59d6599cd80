import numpy as np
import pytest

from firstbounce.errors import CannotEstimate, OutOfRange, ParameterError
from firstbounce.ground.combine import combine
from firstbounce.ground.conditions import GreenToday, SpeedWord, Weather, pressure_iso_2533, speed_of_word
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.readings import stimp_reading
from firstbounce.ground.wind import Wind
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Estimate, Source


def test_with_nothing_measured_everything_is_a_usual_value_and_says_so():
    day = GreenToday()
    assert day.stimp_ft.source is day.firmness.source is Source.PRIOR
    assert day.wind.source is day.weather.source is Source.PRIOR
    assert day.stimp_ft.value - 2 * day.stimp_ft.sd == pytest.approx(6.0)
    assert day.stimp_ft.value + 2 * day.stimp_ft.sd == pytest.approx(12.0)


def test_words_for_speed_are_the_classes_of_the_championship_table():
    # USGA championship: slow 6.5, medium 8.5 (from memory, high), fast 10.5 (read)
    assert [speed_of_word(word).value for word in SpeedWord] == [6.5, 8.5, 10.5]
    assert all(speed_of_word(word).sd >= 1 for word in SpeedWord)


def test_rain_makes_words_slower_and_softer_but_not_readings():
    dry, wet = GreenToday.of_words(SpeedWord.MEDIUM), GreenToday.of_words(SpeedWord.MEDIUM, wet=True)
    assert wet.stimp_ft.value == pytest.approx(dry.stimp_ft.value - 1)
    assert wet.stimp_ft.sd > dry.stimp_ft.sd
    assert wet.firmness.value < dry.firmness.value
    measured = GreenToday(stimp_ft=stimp_reading(9.0), wet=True)
    assert measured.stimp_ft.value == 9.0


def test_a_day_of_words():
    day = GreenToday.of_words(SpeedWord.FAST, FirmnessWord.FIRM, wind=Wind.felt(3.0, 90.0), weather=Weather())
    assert day.stimp_ft.value == 10.5
    assert day.firmness.value == 1.35
    assert day.wind.vector == pytest.approx((-3.0, 0.0))
    assert day.green_deceleration == pytest.approx(stimp_to_deceleration(10.5))


@pytest.mark.parametrize(
    ("altitude", "density"),
    # ISO 2533 standard atmosphere at its own temperatures (derived): density = p / (287.05287 T)
    [(0, 1.2250), (500, 1.1673), (1000, 1.1117), (1500, 1.0581), (2000, 1.0065)],
)
def test_pressure_by_altitude(altitude, density):
    temperature = 288.15 - 0.0065 * altitude
    assert pressure_iso_2533(altitude) / (287.05287 * temperature) == pytest.approx(density, abs=1e-4)
    assert Weather.at_altitude(altitude).pressure_pa == pressure_iso_2533(altitude)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"temperature_c": 59.0}, "degrees C"),
        ({"pressure_pa": 1013.0}, "600 to 1100 hPa"),
        ({"humidity": 60.0}, "0 to 1"),
    ],
)
def test_impossible_weather_is_refused(wrong, message):
    with pytest.raises(ParameterError, match=message):
        Weather(**wrong)


def test_impossible_days_are_refused():
    forty = Estimate(value=40.0, sd=1.0, source=Source.MEASURED)
    with pytest.raises(ParameterError, match="is it in feet"):
        GreenToday(stimp_ft=forty)
    with pytest.raises(ParameterError, match="firmness index"):
        GreenToday(firmness=forty)
    with pytest.raises(OutOfRange, match="altitude"):
        pressure_iso_2533(9000)


def test_readings_that_agree_join_by_inverse_variance():
    a = Estimate(value=1.0, sd=0.1, source=Source.MEASURED, n=2)
    b = Estimate(value=1.1, sd=0.2, source=Source.CLASS_WORD, n=1)
    both = combine([a, b])
    assert both.value == pytest.approx((1.0 * 100 + 1.1 * 25) / 125)
    assert both.sd == pytest.approx(125**-0.5)
    assert (both.n, both.source) == (3, Source.MEASURED)
    assert combine([b, a]).value == pytest.approx(both.value)


def test_joined_readings_are_calibrated():
    rng = np.random.default_rng(10)
    sds = np.array([0.5, 0.8, 1.2])
    inside = 0
    for _ in range(500):
        seen = [
            Estimate(value=float(v), sd=float(s), source=Source.MEASURED)
            for v, s in zip(9 + sds * rng.standard_normal(3), sds, strict=True)
        ]
        both = combine(seen)
        inside += abs(both.value - 9) < 1.645 * both.sd
    assert 0.88 < inside / 500 < 0.96  # growing with disagreement makes it a little wide


def test_what_cannot_be_combined_is_refused():
    with pytest.raises(CannotEstimate, match="no reading"):
        combine([])
    with pytest.raises(ParameterError, match="state its sd"):
        combine([Estimate(value=1.0, sd=0.0, source=Source.MEASURED)])
    with pytest.raises(ParameterError, match="above 0"):
        combine([Estimate(value=-1.0, sd=0.1, source=Source.MEASURED)], of_logarithm=True)
