"""The rival world: repeatable, apart from the fitted law, and faced by small versions of the benchmarks."""

from dataclasses import replace

import numpy as np
import pytest

from firstbounce.checks.rival import RivalDay
from firstbounce.checks.rival_laws import FAMILIES, HELD_OUT, draw_laws
from firstbounce.errors import ParameterError
from firstbounce.ground.ground import Ground
from firstbounce.players.clubs import usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.shot.laws import BounceLaw, BounceNumbers
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Level, Point

START, HOLE = Point(0.0, 0.0), Point(0.0, 18.0)


def a_day(seed=3, families=FAMILIES):
    player = player_of_level(Level.TEN_TO_EIGHTEEN, bag=usual_bag(("7i", "PW", "SW")))
    ground = Ground.level((-40.0, 40.0, -10.0, 100.0))
    return RivalDay.draw(np.random.default_rng(seed), player=player, ground=ground, families=families)


def test_the_same_generator_gives_the_same_day_and_balls():
    one, two = a_day(), a_day()
    club, spots = one.player.bag.club("PW"), [Point(0.0, 6.0)] * 3
    balls = [d.balls(np.random.default_rng(1), club, START, spots, HOLE) for d in (one, two)]
    assert one.laws == two.laws and balls[0] == balls[1]


@pytest.mark.parametrize("family", [*FAMILIES, *HELD_OUT])
def test_no_family_is_the_fitted_law(family):
    for seed in range(20):
        drawn = draw_laws(np.random.default_rng(seed), [family])
        assert drawn.family == family
        assert drawn.laws.bounce is not BounceLaw.SETTLING or drawn.laws.bounce_numbers != BounceNumbers()


def test_unknown_family_is_refused():
    with pytest.raises(ParameterError, match="No rival family"):
        draw_laws(np.random.default_rng(0), ["made up"])


@pytest.mark.parametrize("family", [*FAMILIES, *HELD_OUT])
def test_clean_strikes_land_on_their_spots_and_run_on(family):
    day = a_day(families=[family])
    spots = np.tile([0.0, 6.0], (20, 1))
    played = day.clean(np.random.default_rng(2), day.player.bag.club("PW"), START, spots)
    assert np.abs(played.landed[:, :2] - spots).max() < 0.02
    assert (played.finished[:, 1] > played.landed[:, 1]).all()


def test_a_stimp_roll_is_as_long_as_the_reading_says():
    laws = draw_laws(np.random.default_rng(8))
    plain = replace(laws, laws=replace(laws.laws, roll=type(laws.laws.roll).CONSTANT))
    assert plain.green_deceleration == pytest.approx(stimp_to_deceleration(laws.stimp_ft), rel=1e-3)


def test_mishits_come_at_the_player_s_share():
    day = a_day()
    hit = day.strike(np.random.default_rng(4), day.player.bag.club("SW"), START, Point(0.0, 8.0), 3000)
    assert np.mean(hit.kind != 0) == pytest.approx(day.player.mishits.share, abs=0.02)


@pytest.mark.slow
@pytest.mark.parametrize("family", FAMILIES)
def test_mean_run_of_unlogged_clubs_on_forty_days_of_each_family(family):
    from benchmarks.fit_rival import run

    rows, by_day, _ = run(40, 21, [family])
    assert rows[:, 3].mean() > 0.78  # 0.85 less the error of 40 days
    medians = np.median(np.concatenate(by_day), axis=0)
    assert medians[0] < 0.8 * medians[2]


@pytest.mark.slow
def test_coverage_when_the_law_is_right_on_sixty_days():
    from benchmarks.fit_coverage import run, table_of

    table = table_of(run(60, 5, True), fitted=True)
    assert min(np.mean(inside) for inside in table.values()) > 0.76
