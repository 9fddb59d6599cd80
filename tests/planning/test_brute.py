"""The planner against brute force on the real ground, and the scene's own parts."""

import numpy as np
import pytest
from plan_places import TODAY, place, quick_plan

from firstbounce.fitting.fit import prior_fit
from firstbounce.ground.surface import HeightGrid, Plane
from firstbounce.planning.contest import play_units
from firstbounce.planning.draws import generator
from firstbounce.planning.luck import Fortune, clean_luck, missed_luck
from firstbounce.planning.scene import Luck
from firstbounce.planning.search import Spot, best_putt, best_spot
from firstbounce.planning.worlds import SURFACES, drawn_grounds, scene_of
from firstbounce.players.clubs import usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.shot.laws import N_SCATTER
from firstbounce.words import Level, LieKind, TurfKind


def scene(where=None, *, clubs=("PW", "SW", "putter"), seed=1):
    station, ground = where or place()
    player = player_of_level(Level.TEN_TO_EIGHTEEN, bag=usual_bag(clubs))
    known = prior_fit(player, TODAY)
    return scene_of(station, fit=known, today=TODAY, ground=ground, rng=generator(seed))


def mean_cost(on, spot, units, seed):
    fortune = Fortune.draw(generator(seed), units, on.run_tail)
    return float(play_units(on, spot, fortune, 0, units).cost.mean())


@pytest.mark.slow
@pytest.mark.parametrize("club", ["PW", "SW"])
def test_no_spot_of_a_grid_beats_the_one_found(club):
    on = scene(place(slope_percent=2, downhill_deg=60))
    chosen = on.player.bag.club(club)
    found = best_spot(on, chosen, clean_luck(generator(2), 2048, 5.0), missed_luck(generator(3), 96, 5.0))
    grid = [
        Spot(chosen, carry, on.bearing + np.radians(turn), 0.0, 0)
        for carry in np.linspace(2.5, 11, 18)
        for turn in (-6, -4, -2, 0, 2)
    ]
    rough = [mean_cost(on, spot, 128, 4) for spot in grid]
    best = [grid[k] for k in np.argsort(rough)[:6]]
    lowest = min(mean_cost(on, spot, 2048, 5) for spot in best)
    assert mean_cost(on, found, 2048, 5) < lowest + 0.01


def test_a_clean_strike_lands_where_it_is_meant_to():
    on = scene()
    carry, turn = np.array([3.0, 7.0, 11.0]), np.array([-0.1, 0.0, 0.2])
    still = Luck(np.zeros((3, N_SCATTER)), np.zeros(3))
    balls = on.clean(on.player.bag.club("SW"), carry, turn, np.zeros(3, dtype=np.int64), still)
    assert balls.landed == pytest.approx(on.places(carry, turn), abs=2e-3)


def test_a_longer_unexplained_run_runs_longer():
    on = scene()
    ahead = np.array([-2.0, 0.0, 2.0])
    luck = Luck(np.zeros((3, N_SCATTER)), ahead)
    same = np.zeros(3, dtype=np.int64)
    balls = on.clean(on.player.bag.club("PW"), np.full(3, 6.0), np.zeros(3), same, luck)
    assert (np.diff(balls.run) > 0).all()


def test_a_putt_with_the_right_pace_reaches_the_hole():
    where = place(0.5, (0.0, 8.0), lie=LieKind.FRINGE, around=TurfKind.FAIRWAY)
    on = scene(where)
    found = best_putt(on, on.player.bag.club("putter"), clean_luck(generator(2), 1024, 5.0))
    still = Luck(np.zeros((1, N_SCATTER)), np.zeros(1))
    balls = on.putts(np.array([found.carry]), np.array([found.azimuth]), np.zeros(1, dtype=np.int64), still)
    assert balls.holed[0] or np.hypot(*(balls.finished[0] - (0.0, 8.0))) < 1.0


def test_longer_grass_takes_its_share_of_a_putt():
    on_green = scene(place(-3.0, (0.0, 8.0), lie=LieKind.GREEN, around=TurfKind.FAIRWAY))
    half_way = scene(place(4.0, (0.0, 8.0), lie=LieKind.FAIRWAY, around=TurfKind.FAIRWAY))
    assert on_green.rough_share == 0
    assert 0.5 < half_way.rough_share < 0.8


def test_mishits_cost_more_than_clean_strikes():
    on = scene()
    spot = Spot(on.player.bag.club("SW"), 7.0, 0.0, 0.0, 0)
    units = play_units(on, spot, Fortune.draw(generator(2), 512, on.run_tail), 0, 512)
    assert units.mishit.cost.mean() > units.clean.cost.mean() + 0.2
    clean_weight, mishit_weight = units.weights
    assert clean_weight.sum() + mishit_weight.sum() == pytest.approx(1)
    assert units.cost.mean() == pytest.approx(
        clean_weight @ units.clean.cost + mishit_weight @ units.mishit.cost
    )


def test_the_edge_of_the_green_is_found():
    on = scene(place(4.0))
    assert on.edge(0.0) == pytest.approx(4.0, abs=0.1)
    assert scene(place(-3.0, (0.0, 8.0), lie=LieKind.GREEN)).edge(0.0) is None


def test_a_known_slope_needs_one_surface_and_an_unknown_one_several():
    _, ground = place()
    assert drawn_grounds(ground, (0.0, 12.0), generator(1)) == (ground,)
    doubt = ground.with_surface(Plane((0, 0, 0), 2.0, 90.0, ((1e-4, 2e-5), (2e-5, 4e-4))))
    drawn = drawn_grounds(doubt, (0.0, 12.0), generator(1))
    gradients = np.array([one.surface.steepness for one in drawn])
    assert len(drawn) == SURFACES
    assert gradients.mean(axis=0) == pytest.approx(doubt.surface.steepness)
    assert np.cov(gradients.T, bias=True) == pytest.approx(np.array([[1e-4, 2e-5], [2e-5, 4e-4]]))


def test_a_height_grid_is_taken_as_known():
    _, ground = place()
    y, x = np.mgrid[-12:51, -30:31]
    grid = ground.with_surface(HeightGrid(-30.0, -12.0, 1.0, 0.02 * y + 0.0 * x))
    assert len(drawn_grounds(grid, (0.0, 12.0), generator(1))) == 1


def test_an_unsure_slope_widens_the_interval():
    station, ground = place()
    sure = quick_plan((station, ground), clubs=("PW",), seed=1).first.strokes
    doubt = ground.with_surface(Plane((0, 0, 0), 0.0, 0.0, ((4e-4, 0.0), (0.0, 4e-4))))
    unsure = quick_plan((station, doubt), clubs=("PW",), seed=1).first.strokes
    assert unsure.value > sure.value


def test_a_thin_strike_of_a_very_full_swing_can_be_played():
    on = scene(clubs=("LW",))
    n = 64
    on.unknowns.loft_deg["LW"][:] = 12.0
    spot = Spot(on.player.bag.club("LW"), 30.0, 0.0, 0.0, 0)
    units = play_units(on, spot, Fortune.draw(generator(2), n, on.run_tail), 0, n)
    assert np.isfinite(units.cost).all()
