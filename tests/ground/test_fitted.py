import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.ground.fitted import SurfacePrior, surface_from_readings
from firstbounce.ground.ground import Ground
from firstbounce.ground.slopes import (
    HeightReading,
    SlopeReading,
    SlopeWord,
    plane_from_readings,
    reading_of_word,
    slope_of_word,
)
from firstbounce.ground.surface import Bounds, Plane
from firstbounce.words import Point, Source

MAP = Bounds(-10.0, 10.0, 0.0, 20.0)
ORIGIN = Point(0.0, 0.0)


def reading_of(gradient, place, rng, sd_percent):
    """A reading of a true gradient with an equal error in every direction."""
    gx, gy = np.array(gradient) + rng.standard_normal(2) * sd_percent / 100
    return SlopeReading(
        place=Point(*place),
        slope_percent=100 * math.hypot(gx, gy),
        downhill_deg=math.degrees(math.atan2(-gx, -gy)),
        slope_sd_percent=sd_percent,
        across_sd_percent=sd_percent,
    )


def green(seed):
    """A smooth green of another family than the prior: a tilt and waves of 12 to 30 m."""
    rng = np.random.default_rng(seed)
    tilt = 0.015 * rng.standard_normal(2)
    length, way, phase = rng.uniform(12, 30, 4), rng.uniform(0, math.pi, 4), rng.uniform(0, 2 * math.pi, 4)
    kx, ky = 2 * math.pi / length * np.cos(way), 2 * math.pi / length * np.sin(way)
    size = 0.008 * rng.standard_normal(4) * length / (2 * math.pi)

    def gradient(x, y):
        wave = size * np.cos(np.multiply.outer(x, kx) + np.multiply.outer(y, ky) + phase)
        return tilt[0] + wave @ kx, tilt[1] + wave @ ky

    return gradient


def read_green(gradient, n, rng, sd_percent=0.5):
    places = rng.uniform((-9, 1), (9, 19), (n, 2))
    return [reading_of(gradient(*place), place, rng, sd_percent) for place in places]


def test_one_reading_gives_a_plane():
    fitted = surface_from_readings(
        [SlopeReading(place=Point(2, 5), slope_percent=2.0, downhill_deg=90.0)], MAP
    )
    gx, gy = fitted.gradient([-10, 0, 10], [0, 20, 10])
    assert np.ptp(gx) < 1e-10
    assert np.abs(gy).max() < 1e-10
    shrunk = 0.02 * 3.0**2 / (3.0**2 + 0.7**2)  # Bayes: usual slope 0 +- 3 percent, reading 2 +- 0.7
    assert gx[0] == pytest.approx(-shrunk)
    assert max(np.abs(bend).max() for bend in fitted.hessian([-9, 0, 9], [1, 10, 19])) < 1e-10


def test_it_is_surest_where_it_was_read():
    fitted = surface_from_readings(
        [SlopeReading(place=Point(0, 5), slope_percent=2.0, downhill_deg=0.0)], MAP
    )
    away = fitted.slope_sd_at(0.0, np.array([5.0, 6.0, 8.0, 12.0, 19.0]))
    assert (np.diff(away) > 0).all()
    assert away[0] < 0.0075
    assert away[-1] > 0.012


def test_with_nothing_measured_it_is_level_and_wide():
    fitted = surface_from_readings([], MAP)
    assert np.abs(fitted.height([-5, 5], [5, 15])).max() == 0
    assert fitted.slope_sd_at(0.0, 10.0) == pytest.approx(0.03)
    assert fitted.height_sd(0.0, 10.0) < 1e-3
    assert fitted.height_sd(8.0, 18.0) > 0.2


@pytest.mark.parametrize("cell", [1.5, 2.0, 3.0])
def test_the_usual_bend_is_what_was_stated_whatever_the_cell(cell):
    prior = SurfacePrior(bend_percent=1.0, bend_over_m=5.0)
    fitted = surface_from_readings([], MAP, prior=prior, cell_m=cell)
    rng = np.random.default_rng(11)
    changes = []
    for _ in range(400):
        gx, gy = fitted.draw(rng).gradient([-2.5, 2.5, 0, 0], [10, 10, 7.5, 12.5])
        changes.append([gx[1] - gx[0], gx[3] - gx[2], gy[1] - gy[0], gy[3] - gy[2]])
    assert 100 * np.sqrt(np.mean(np.square(changes))) == pytest.approx(1.0, abs=0.06)


def test_draws_spread_as_the_surface_says():
    rng = np.random.default_rng(12)
    fitted = surface_from_readings(read_green(green(1), 6, rng), MAP)
    x, y = np.array([-6.0, 0.0, 7.0]), np.array([3.0, 10.0, 16.0])
    draws = [fitted.draw(rng) for _ in range(500)]
    heights = np.array([draw.height(x, y) for draw in draws])
    slopes = np.array([draw.gradient(x, y) for draw in draws])
    np.testing.assert_allclose(heights.std(axis=0), fitted.height_sd(x, y), rtol=0.12)
    np.testing.assert_allclose(slopes.mean(axis=0), fitted.gradient(x, y), atol=0.0025)
    np.testing.assert_allclose(
        np.sqrt((slopes.std(axis=0) ** 2).mean(axis=0)), fitted.slope_sd_at(x, y), rtol=0.1
    )


def test_the_same_generator_draws_the_same_surface():
    fitted = surface_from_readings([], MAP)
    one, two = (fitted.draw(np.random.default_rng(5)).coeffs for _ in range(2))
    np.testing.assert_array_equal(one, two)


def test_a_known_green_is_recovered_from_many_readings():
    rng = np.random.default_rng(13)
    truth = green(2)
    fitted = surface_from_readings(read_green(truth, 60, rng, sd_percent=0.3), MAP)
    x, y = np.meshgrid(np.linspace(-8, 8, 9), np.linspace(2, 18, 9))
    miss = np.array(fitted.gradient(x, y)) - np.array(truth(x, y))
    assert np.sqrt((miss**2).mean()) < 0.003  # better than one reading, a green slopes 0.02
    assert np.abs(miss).max() < 0.010


def coverage(truths, read, n_places=20):
    """Share of true gradient components inside the 90 percent interval, over many greens."""
    held = []
    for number, truth in enumerate(truths):
        rng = np.random.default_rng(1000 + number)
        fitted = surface_from_readings(read(truth, rng), MAP, cell_m=2.5)
        x, y = rng.uniform((-9, 1), (9, 19), (n_places, 2)).T
        miss = np.array(fitted.gradient(x, y)) - np.array(truth(x, y))
        sd = np.sqrt(np.diagonal(fitted.gradient_cov(x, y), axis1=1, axis2=2)).T
        held.append(np.abs(miss) < 1.645 * sd)
    return float(np.mean(held))


def test_uncertainty_is_calibrated_on_greens_of_the_prior():
    usual = surface_from_readings([], MAP, cell_m=2.5)
    truths = [usual.draw(np.random.default_rng(seed)).gradient for seed in range(150)]
    assert 0.86 < coverage(truths, lambda truth, rng: read_green(truth, 5, rng)) < 0.94


def test_uncertainty_is_honest_on_greens_of_another_family():
    truths = [green(seed) for seed in range(150)]
    assert 0.84 < coverage(truths, lambda truth, rng: read_green(truth, 5, rng)) < 0.99


def test_heights_join_the_same_fit():
    rng = np.random.default_rng(14)
    plane = Plane((0, 0, 7.0), 2.5, 30.0)
    places = [Point(*place) for place in rng.uniform((-9, 1), (9, 19), (8, 2))]
    heights = [HeightReading(place=p, height_m=float(plane.height(*p)), sd_m=0.005) for p in places]
    fitted = surface_from_readings([], MAP, heights=heights)
    assert fitted.height(0, 10) == pytest.approx(float(plane.height(0, 10)), abs=0.03)
    assert np.array(fitted.gradient(0, 10)) == pytest.approx(np.array(plane.steepness), abs=0.003)
    slopes = read_green(lambda x, y: plane.steepness, 5, rng)
    both = surface_from_readings(slopes, MAP, heights=heights)
    assert both.slope_sd_at(0, 10) < fitted.slope_sd_at(0, 10)


def test_a_ground_can_be_drawn_and_keeps_its_turf():
    fitted = surface_from_readings([], MAP)
    ground = Ground(surface=fitted, bounds=MAP)
    other = ground.draw(np.random.default_rng(15))
    assert other.raster is ground.raster
    assert np.abs(other.compiled().coeffs - ground.compiled().coeffs).max() > 0.01
    assert other.compiled().coeffs.shape == ground.compiled().coeffs.shape


def test_large_maps_stay_small_to_solve():
    fitted = surface_from_readings([], Bounds(-60, 60, -60, 60))
    assert fitted.mean.coeffs.size <= 1500
    assert fitted.extent.holds(Bounds(-60, 60, -60, 60))


def test_a_reading_beyond_the_map_is_refused():
    with pytest.raises(ParameterError, match="lies beyond the map"):
        surface_from_readings([SlopeReading(place=Point(0, 50), slope_percent=1, downhill_deg=0)], MAP)
    with pytest.raises(ParameterError, match="lies beyond the map"):
        surface_from_readings([], MAP, heights=[HeightReading(place=Point(0, 50), height_m=0)])


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"slope_percent": -1.0}, "0 to 60 percent"),
        ({"slope_percent": 80.0}, "0 to 60 percent"),
        ({"downhill_deg": float("nan")}, "0 to 60 percent"),
        ({"slope_sd_percent": 0.0}, "above 0 percent"),
        ({"across_sd_percent": -1.0}, "across"),
    ],
)
def test_impossible_slope_readings_are_refused(wrong, message):
    with pytest.raises(ParameterError, match=message):
        SlopeReading(**({"place": ORIGIN, "slope_percent": 2.0, "downhill_deg": 0.0} | wrong))


def test_impossible_heights_and_priors_are_refused():
    with pytest.raises(ParameterError, match="height reading"):
        HeightReading(place=ORIGIN, height_m=float("nan"))
    with pytest.raises(ParameterError, match="above 0"):
        SurfacePrior(bend_percent=0.0)


def test_a_direction_by_eye_adds_doubt_across_the_slope():
    steep = SlopeReading(place=ORIGIN, slope_percent=6.0, downhill_deg=0.0, direction_sd_deg=20.0)
    along, across = 100 * math.sqrt(steep.gradient_cov[1, 1]), 100 * math.sqrt(steep.gradient_cov[0, 0])
    assert along == pytest.approx(0.7)
    assert across == pytest.approx(math.hypot(0.7, 6 * math.sin(math.radians(20))))


@given(
    slope=st.floats(0.5, 8),
    downhill=st.floats(0, 359),
    n=st.integers(1, 5),
)
def test_readings_that_agree_give_their_plane(slope, downhill, n):
    readings = [
        SlopeReading(place=Point(i, 2 * i), slope_percent=slope, downhill_deg=downhill) for i in range(n)
    ]
    plane = plane_from_readings(readings, (0.0, 0.0, 1.0))
    assert plane.steepness == pytest.approx(tuple(readings[0].gradient), abs=1e-12)
    assert plane.slope_sd_at(0, 0) == pytest.approx(
        np.sqrt(np.trace(readings[0].gradient_cov) / 2 / n), rel=1e-6
    )
    assert plane.height(0, 0) == 1.0


def test_a_plane_from_unequal_readings_is_the_weighted_mean():
    good = SlopeReading(
        place=ORIGIN, slope_percent=2.0, downhill_deg=0, slope_sd_percent=0.5, across_sd_percent=0.5
    )
    poor = SlopeReading(
        place=ORIGIN, slope_percent=3.0, downhill_deg=0, slope_sd_percent=1.0, across_sd_percent=1.0
    )
    assert plane_from_readings([good, poor]).steepness[1] == pytest.approx(-(0.02 * 4 + 0.03 * 1) / 5)


def test_readings_that_disagree_make_the_plane_less_certain():
    same = [SlopeReading(place=ORIGIN, slope_percent=2.0, downhill_deg=0.0)] * 2
    apart = [same[0], SlopeReading(place=ORIGIN, slope_percent=4.0, downhill_deg=120.0)]
    assert plane_from_readings(apart).slope_sd_at(0, 0) > 2 * plane_from_readings(same).slope_sd_at(0, 0)


def test_a_plane_draws_planes_as_uncertain_as_it_is():
    rng = np.random.default_rng(16)
    plane = plane_from_readings([SlopeReading(place=ORIGIN, slope_percent=2.0, downhill_deg=90.0)])
    drawn = np.array([plane.draw(rng).steepness for _ in range(2000)])
    np.testing.assert_allclose(np.cov(drawn.T), plane.gradient_cov, atol=4e-6)
    assert drawn.mean(axis=0) == pytest.approx(plane.steepness, abs=5e-4)


def test_no_reading_gives_no_plane():
    with pytest.raises(CannotEstimate, match="at least one slope"):
        plane_from_readings([])


def test_words_for_a_slope_are_wide_and_have_the_right_sign():
    start, hole = Point(0, -5), Point(0, 15)
    for word, sign in zip(SlopeWord, (1, 0, -1), strict=True):
        reading = reading_of_word(word, start, hole)
        assert np.sign(reading.gradient[1]) == sign
        assert abs(reading.gradient[0]) < 1e-15
        assert 100 * math.sqrt(reading.gradient_cov[0, 0]) >= 2.0
        assert reading.place == (0, 5)
    assert slope_of_word(SlopeWord.LEVEL).source is Source.CLASS_WORD
    assert slope_of_word(None).source is Source.PRIOR
    assert slope_of_word(None).sd > slope_of_word(SlopeWord.UPHILL).sd


def test_a_word_needs_a_line():
    with pytest.raises(ParameterError, match="same place"):
        reading_of_word(SlopeWord.UPHILL, ORIGIN, ORIGIN)
