"""One batch prices every landing spot: against brute force on a green that is a formula."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.planning.draws import even_normals, generator
from firstbounce.planning.landing import LandingErrors
from firstbounce.planning.survey import Grid, cheapest_spot, price_spots, sample_mixture, weigh
from firstbounce.players.spread import SPREAD_OF_LEVEL
from firstbounce.words import Level, LieKind

ERRORS = LandingErrors(floor=0.8, share=0.11, direction=np.radians(4))
GRID = Grid(np.linspace(2, 8, 25), np.radians(np.linspace(-8, 8, 9)))


def putts(carry, azimuth, normals, ratio=1.4):
    """Strokes on a level green with the hole 12 m away: the ball runs `ratio` times its carry."""
    run = ratio * np.maximum(carry, 0.2) * np.exp(0.2 * normals)
    x, y = (carry + run) * np.sin(azimuth), (carry + run) * np.cos(azimuth)
    off = np.hypot(x, y - 12)
    return 2 + (1 - np.exp(-((off / 1.6) ** 1.3))) + 0.03 * off + 0.4 * (y < 3)


def surveyed(seed, n=2048):
    normals = even_normals(generator(seed), n, 3)
    sample = sample_mixture(GRID, ERRORS, normals[:, :2])
    return price_spots(putts(sample.carry, sample.azimuth, normals[:, 2]), sample)


def played(carry, azimuth, n=200_000, seed=5):
    normals = generator(seed).standard_normal((n, 3))
    landed, at = ERRORS.land(np.full(n, carry), np.full(n, azimuth), normals[:, :2])
    return float(putts(landed, at, normals[:, 2]).mean())


@pytest.mark.parametrize(("i", "j"), [(4, 4), (12, 4), (20, 4), (12, 1)])
def test_price_of_a_spot_agrees_with_playing_it(i, j):
    priced = surveyed(1)
    brute = played(GRID.carries[i], GRID.azimuths[j])
    assert priced.mean[i, j] == pytest.approx(brute, abs=4 * priced.error[i, j])
    assert priced.error[i, j] < 0.03


def test_cheapest_spot_loses_less_than_a_hundredth_of_a_stroke():
    best = min(played(carry, 0.0, 50_000) for carry in np.linspace(3, 7, 41))
    regrets = [played(*cheapest_spot(GRID, surveyed(seed).mean, ERRORS), 50_000) - best for seed in range(5)]
    assert max(regrets) < 0.01


def test_a_cost_that_is_the_same_everywhere_is_priced_without_error():
    sample = sample_mixture(GRID, ERRORS, even_normals(generator(3), 512, 2))
    priced = price_spots(np.full(512, 2.5), sample)
    assert priced.mean == pytest.approx(np.full(priced.mean.shape, 2.5))
    assert priced.error.max() < 1e-6


def test_weights_average_to_one_and_no_spot_outweighs_the_mixture():
    sample = sample_mixture(GRID, ERRORS, even_normals(generator(4), 4096, 2))
    weight = sample.by_carry[:, :, None] * sample.by_azimuth[:, None, :]
    assert weight.mean(axis=0) == pytest.approx(np.ones((25, 9)), abs=0.05)
    assert weight.max() <= GRID.size


def test_fewer_balls_than_spots_is_refused():
    with pytest.raises(ParameterError, match="at least as many balls"):
        sample_mixture(GRID, ERRORS, np.zeros((10, 2)))


@settings(max_examples=25, deadline=None)
@given(carry=st.floats(3, 7), lean=st.floats(-0.04, 0.04))
def test_a_bowl_is_found_at_its_lowest_point(carry, lean):
    u, v = np.meshgrid(GRID.carries - carry, (GRID.azimuths - lean) / 0.1, indexing="ij")
    low = cheapest_spot(GRID, 0.3 * u**2 + 0.1 * u * v + 0.4 * v**2, ERRORS)
    assert low == pytest.approx((carry, lean), abs=1e-6)


def test_a_slope_without_a_lowest_point_gives_the_cheapest_spot():
    mean = np.repeat(GRID.carries[:, None], 9, axis=1)
    assert cheapest_spot(GRID, mean, ERRORS)[0] == GRID.carries[0]


def test_no_input_is_written_to():
    normals = even_normals(generator(6), 512, 2)
    before = normals.copy()
    sample = sample_mixture(GRID, ERRORS, normals)
    cost = np.ones(512)
    price_spots(cost, sample)
    assert (normals == before).all()
    assert (cost == 1).all()


def test_errors_follow_the_players_spread_and_the_lie():
    spread = SPREAD_OF_LEVEL[Level.TEN_TO_EIGHTEEN]
    errors = LandingErrors.of(spread, LieKind.LIGHT_ROUGH)
    carries = np.array([1.0, 5.0, 20.0])
    assert errors.sd_long(carries) == pytest.approx(spread.along_m(carries, LieKind.LIGHT_ROUGH))
    assert errors.direction == pytest.approx(spread.direction(LieKind.LIGHT_ROUGH))


def test_no_ball_lands_behind_the_player():
    landed, _ = ERRORS.land(np.full(3, 1.0), np.zeros(3), np.array([[-9.0, 0], [0, 0], [1, 1]]))
    assert landed.min() > 0


def test_a_mirrored_batch_gives_mirrored_weights():
    normals = even_normals(generator(8), 1024, 2)
    one = sample_mixture(GRID, ERRORS, normals)
    other = weigh(GRID, ERRORS, one.carry, -one.azimuth)
    assert other.by_azimuth == pytest.approx(one.by_azimuth[:, ::-1])


def test_a_bowl_that_is_lowest_beyond_the_grid_gives_the_cheapest_spot_priced():
    """A low chip from close by: the bowl's bottom once lay at a carry below nothing."""
    sd = float(ERRORS.sd_long(np.asarray(GRID.carries[0])))
    u = (GRID.carries[:, None] - GRID.carries[0]) / sd + 0.5
    v = (GRID.azimuths[None, :] - GRID.azimuths.mean()) / ERRORS.direction
    assert cheapest_spot(GRID, u**2 + v**2, ERRORS)[0] == GRID.carries[0]
