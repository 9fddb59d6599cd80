"""The compiled kernel against the SciPy referee, phase by phase and whole; the full gate is a benchmark."""

import numpy as np
import pytest
from shot_scenes import A10, chips, ground, hilly

from firstbounce.ground.turf import CODES
from firstbounce.shot.laws import N_SCATTER, SCATTER_SD, AeroLaw, AirSpec, BounceLaw, HoleSpec, Laws, RollLaw
from firstbounce.shot.play import play
from firstbounce.shot.referee import referee
from firstbounce.shot.referee_world import World
from firstbounce.words import TurfKind

PATCHY = ground(
    hilly, kinds=lambda x, y: np.where(y + 0.3 * x > 9, CODES[TurfKind.FRINGE], CODES[TurfKind.GREEN])
)
SIDE = chips(face_to_path=0.08, azimuth=0.1)
BREEZE = AirSpec(wind_x=3, wind_y=-2, roughness=0.02)


def both(i, on=PATCHY, **how):
    z = 0.08 * 0.0
    world = World(ground=on, green_deceleration=A10, **how)
    verdict = referee((0, 0, z), SIDE.velocity[i], SIDE.spin[i], world)
    kernel_how = {k: v for k, v in how.items() if k != "scatter"}
    scatter = how.get("scatter")
    out = play(
        (0, 0, z),
        SIDE.velocity[i],
        SIDE.spin[i],
        ground=on,
        green_deceleration=A10,
        scatter=scatter,
        **kernel_how,
    )
    return verdict, out


@pytest.mark.parametrize("i", [0, 3, 6])
@pytest.mark.parametrize("air", [AirSpec(), BREEZE])
def test_whole_shots(i, air):
    verdict, out = both(i, air=air)
    assert out.outcomes() == [verdict.outcome]
    assert out.n_bounces[0] == verdict.n_bounces
    assert np.linalg.norm(out.landed[0] - verdict.landed) < 3e-4
    assert np.linalg.norm(out.finished[0] - verdict.finished) < 2e-3
    assert out.time[0] == pytest.approx(verdict.time, abs=5e-3)


@pytest.mark.parametrize(
    "laws",
    [
        Laws(bounce=BounceLaw.PENNER_2002, aero=AeroLaw.SMITS_SMITH_1994),
        Laws(bounce=BounceLaw.CROSS_2002, aero=AeroLaw.CONSTANT),
        Laws(roll=RollLaw.SPEED_DEPENDENT, slope_gain=1.2, cl_scale=0.5),
    ],
)
def test_rival_worlds(laws):
    verdict, out = both(4, laws=laws, air=BREEZE, firmness=1.2, ln_run=0.1)
    assert np.linalg.norm(out.finished[0] - verdict.finished) < 2e-3


def test_scatter_and_hole_mean_the_same_to_both():
    draws = np.random.default_rng(3).normal(size=N_SCATTER) * SCATTER_SD
    _, free = both(5, scatter=tuple(draws))
    hole = HoleSpec(float(free.finished[0, 0]), float(free.finished[0, 1]))
    verdict, out = both(5, scatter=tuple(draws), hole=hole)
    assert out.outcomes() == [verdict.outcome]
    assert np.linalg.norm(out.finished[0] - verdict.finished) < 2e-3
