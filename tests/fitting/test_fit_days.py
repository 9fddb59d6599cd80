"""What surrounds the balls of a day: sessions, a slope that nobody knows well, the bends of the run."""

from dataclasses import replace

import numpy as np
import pytest

from firstbounce.fitting.assumptions import Assumptions, lever
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.predict import mean_run
from firstbounce.fitting.slope import slope_of
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Plane
from firstbounce.units import GRAVITY, stimp_to_deceleration

TWO = {"7i": 6, "SW": 6}


def fitted(green, balls, **changes):
    return fit(balls, **({"today": green.today, "ground": green.ground, "player": green.player} | changes))


def test_two_sessions_of_one_day_are_one_day_and_are_said_to_be(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    named = [replace(b, session="morning" if i % 2 else "noon") for i, b in enumerate(balls)]
    alone, both = fitted(green, balls), fitted(green, named)
    assert both.verdict == "fitted" and np.array_equal(both.theta, alone.theta)
    assert alone.remarks == () and "2 sessions (noon, morning)" in both.remarks[0]


def test_sessions_of_different_greens_are_refused_in_one_sentence(green, rng):
    many = {"7i": 8, "SW": 8}
    soft = green.balls(rng, green.truth(ln_firmness=-0.3), many)
    fast = replace(green, today=replace(green.today, stimp_ft=replace(green.today.stimp_ft, value=14.0)))
    far = fast.balls(rng, fast.truth(ln_firmness=0.3), many)
    logged = [replace(b, id=f"a{b.id}", session="May") for b in soft]
    logged += [replace(b, id=f"b{b.id}", session="June") for b in far]
    answer = fitted(green, logged)
    assert answer.verdict == "balls disagree"
    assert any("each session on their own" in remark for remark in answer.remarks)


def test_a_known_slope_adds_nothing_and_an_unsure_one_what_a_roll_feels():
    spots = np.array([[0.0, 5.0], [1.0, 8.0]])
    assert slope_of(Ground.level(), spots, 9.5) == (0.0, 0.0)
    unsure = Plane((0.0, 0.0, 0.0), 0.0, 0.0, ((1e-4, 0.0), (0.0, 1e-4)))  # 1 % each way
    along, across = slope_of(replace(Ground.level(), surface=unsure), spots, 9.5)
    assert along == pytest.approx(5 / 7 * GRAVITY * 0.01 / stimp_to_deceleration(9.5))
    assert across == along / 2  # (1/2) (5/7) g s T^2 / 2 over (1/2) a T^2


def test_an_unsure_slope_widens_what_is_known_of_the_run(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    unsure = replace(green.ground, surface=Plane((0.0, 0.0, 0.0), 0.0, 0.0, ((4e-4, 0.0), (0.0, 4e-4))))
    known, wide = fitted(green, balls), fitted(green, balls, ground=unsure)
    assert wide.verdict == "fitted"
    assert mean_run(wide, "PW", 6.0).ln_sd[0] > 1.02 * mean_run(known, "PW", 6.0).ln_sd[0]


def test_the_laws_in_question_add_run_to_long_shots_with_much_loft(green):
    assumed = Assumptions()
    usual, plain = (
        prior_fit(green.player, green.today, a) for a in (assumed, replace(assumed, law_cross=0.0))
    )
    seen = mean_run(usual, ["7i", "SW"], [6.0, 18.0]).run / mean_run(plain, ["7i", "SW"], [6.0, 18.0]).run
    way = np.log(np.array([6.0, 18.0]) / 7.0)
    assert np.log(seen) == pytest.approx(assumed.law_cross * lever([34.0, 56.0]) * way, abs=0.02)


def test_what_is_known_of_firmness_follows_its_bend(green, rng):
    """Against a plain reweighing of prior draws: no curve, no mode, every ball played in every draw."""
    from firstbounce.fitting.forward import World
    from firstbounce.fitting.layout import FIRMNESS

    balls = green.balls(rng, green.truth(ln_firmness=0.25), {"SW": 4}, scatter=0.1)
    answer = fitted(green, balls)
    layout = answer.layout
    belief = layout.belief(green.today, green.player, Assumptions())
    draws = np.random.default_rng(3).multivariate_normal(belief.mean, belief.covariance, 4000)
    world = World(green.ground.compiled(), green.today, green.player, layout)
    weight = _weights(world, balls, draws, np.exp(answer.ln_scatter[0]))
    firmness = draws[:, FIRMNESS]
    mean = weight @ firmness
    assert answer.theta[FIRMNESS] == pytest.approx(mean, abs=0.05)
    spread = np.sqrt(weight @ (firmness - mean) ** 2)
    assert np.sqrt(answer.covariance[FIRMNESS, FIRMNESS]) == pytest.approx(spread, rel=0.12)


def _weights(world, balls, draws, scatter):
    from firstbounce.fitting.shots import shots_of
    from firstbounce.fitting.weigh import _played

    shots = shots_of(
        world.player,
        [b.club for b in balls],
        [b.start for b in balls],
        [b.landed for b in balls],
        [b.lie for b in balls],
    )
    finish, _ = _played(world, shots, draws)
    seen = np.array([b.finished for b in balls])
    run = np.hypot(*np.moveaxis(finish - shots.spot, 2, 0))
    factor = Assumptions().scatter_factor(56.0)
    sd = np.hypot(np.hypot(0.25, 0.25 * 1.3), scatter * factor * run)
    miss = np.hypot(*np.moveaxis(finish - seen, 2, 0)) / sd
    ln_weight = (-np.log(sd) - 3.0 * np.log1p(miss**2 / 5.0)).sum(axis=1)
    weight = np.exp(ln_weight - ln_weight.max())
    return weight / weight.sum()
