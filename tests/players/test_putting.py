"""One putt: both published data sets, the level limit, and slope against integrated motion."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.integrate import solve_ivp
from scipy.optimize import minimize, minimize_scalar

from firstbounce.checks.putting_data import BERRY, BROADIE, NINETY_MAKES, SCRATCH_MAKES
from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.players.putt_kernels import Putter, errors, offset_at_hole
from firstbounce.players.putting import (
    AIM_PAST,
    broadie_2018,
    gelman_nolan_2002,
    make_chance,
    putter_numbers,
    slope_number,
)
from firstbounce.players.skill import (
    NINETY_PUTTING,
    PUTTING_OF_LEVEL,
    SCRATCH_PUTTING,
    TOUR_PUTTING,
    PuttingSkill,
    putting_of_handicap,
)
from firstbounce.units import METRES_PER_FOOT, stimp_to_deceleration
from firstbounce.words import Level

TEN = stimp_to_deceleration(10)
levels = st.sampled_from(list(Level))
lengths = st.floats(0.3, 20)


def columns(data):
    feet, tries, made = np.array(data, float).T
    return feet * METRES_PER_FOOT, tries, made


@pytest.mark.parametrize(("data", "tries", "made"), [(BERRY, 5988, 3390), (BROADIE, 1253196, 766741)])
def test_the_data_are_complete(data, tries, made):
    assert columns(data)[1].sum() == tries
    assert columns(data)[2].sum() == made


def test_angle_model_fitted_to_berry():
    # Gelman & Nolan (2002): about 0.03 rad; maximum likelihood in our notes 0.02665 rad = 1.527 degrees.
    length, tries, made = columns(BERRY)

    def loss(angle):
        return -stats.binom.logpmf(made, tries, gelman_nolan_2002(length, angle)).sum()

    angle = minimize_scalar(loss, bounds=(0.005, 0.1), method="bounded", options={"xatol": 1e-7}).x
    assert angle == pytest.approx(0.02665, abs=1e-5)
    assert math.degrees(angle) == pytest.approx(1.527, abs=1e-3)


def test_angle_and_distance_model_fitted_to_broadie():
    # Stan case study (Gelman 2019), read: 1.0 degrees and "8 %"; refit in our notes 1.020, 0.0801, 0.0028.
    length, tries, made = columns(BROADIE)
    share = made / tries

    def loss(log_parameters):
        angle, distance, extra = np.exp(log_parameters)
        chance = np.clip(broadie_2018(length, angle, distance), 1e-9, 1 - 1e-9)
        sd = np.sqrt(chance * (1 - chance) / tries + extra**2)
        return -stats.norm.logpdf(share, chance, sd).sum()

    fit = minimize(
        loss, np.log([0.02, 0.1, 0.005]), method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-8}
    )
    angle, distance, extra = np.exp(fit.x)
    assert math.degrees(angle) == pytest.approx(1.020, abs=1e-3)
    assert distance == pytest.approx(0.0801, abs=1e-4)
    assert extra == pytest.approx(0.0028, abs=1e-4)


@pytest.mark.parametrize(
    ("feet", "chance"),
    # Worked values of the model with 1.020 degrees and 0.0801.
    [(2, 0.997), (3, 0.954), (4, 0.862), (5, 0.757), (6, 0.658), (8, 0.501), (10, 0.389), (15, 0.225),
     (20, 0.144), (30, 0.071), (40, 0.042), (50, 0.027)],
)  # fmt: skip
def test_tour_chances_on_the_level(feet, chance):
    assert make_chance(TOUR_PUTTING, feet * METRES_PER_FOOT, green_deceleration=TEN) == pytest.approx(
        chance, abs=1e-3
    )


@pytest.mark.parametrize(
    ("skill", "data"), [(SCRATCH_PUTTING, SCRATCH_MAKES), (NINETY_PUTTING, NINETY_MAKES)]
)
def test_scratch_and_90_golfer_follow_their_one_putt_shares(skill, data):
    # Broadie (2014), inputs from memory (medium); rms residual 1.3 to 1.4 points in our notes.
    ours = np.array(
        [100 * make_chance(skill, feet * METRES_PER_FOOT, green_deceleration=TEN) for feet in data]
    )
    assert np.sqrt(np.mean((ours - list(data.values())) ** 2)) < 1.6


def test_handicap_2_8_has_the_distance_error_of_karlsen_and_nilsson():
    # Karlsen & Nilsson (2008), read: 43 players of mean handicap 2.8, 10.6 % over 40 different putts.
    assert putting_of_handicap(2.8).distance_share == pytest.approx(0.106, abs=0.005)


@settings(deadline=None, max_examples=60)
@given(level=levels, length=lengths, stimp=st.floats(5, 14))
def test_level_limit_is_the_published_model_at_every_green_speed(level, length, stimp):
    skill = PUTTING_OF_LEVEL[level]
    ours = make_chance(skill, length, green_deceleration=stimp_to_deceleration(stimp))
    published = broadie_2018(length, math.radians(skill.angle_deg), skill.distance_share)
    assert ours == pytest.approx(float(published), abs=2e-5)


@settings(deadline=None, max_examples=60)
@given(level=levels, length=lengths, slope=st.floats(-0.03, 0.03), across=st.floats(-0.03, 0.03))
def test_a_chance_is_a_chance_and_sides_are_alike(level, length, slope, across):
    skill = PUTTING_OF_LEVEL[level]
    right = make_chance(skill, length, green_deceleration=TEN, slope=slope, slope_across=across)
    left = make_chance(skill, length, green_deceleration=TEN, slope=slope, slope_across=-across)
    assert 0 <= right <= 1
    assert right == left


@settings(deadline=None, max_examples=60)
@given(level=levels, length=st.floats(0.3, 10), slope=st.floats(-0.03, 0.03), across=st.floats(0, 0.03))
def test_a_longer_putt_is_never_easier(level, length, slope, across):
    skill = PUTTING_OF_LEVEL[level]
    near, far = (
        make_chance(skill, each, green_deceleration=TEN, slope=slope, slope_across=across)
        for each in (length, 1.05 * length)
    )
    assert far <= near + 2e-5


def test_putts_across_a_slope_are_harder():
    chances = [
        make_chance(NINETY_PUTTING, 2.0, green_deceleration=TEN, slope_across=across)
        for across in (0, 0.01, 0.02, 0.03)
    ]
    assert chances == sorted(chances, reverse=True)


def rolled(speed, direction, a0, along, across):
    """Where a ball goes on a plane, by SciPy: braked by a0 along its path, pulled by slope."""

    def motion(_, q):
        v = math.hypot(q[2], q[3])
        return [q[2], q[3], -a0 * q[2] / v - a0 * along, -a0 * q[3] / v + a0 * across]

    def stops(_, q):
        return math.hypot(q[2], q[3]) - 2e-3

    stops.terminal = True
    start = [0, 0, speed * math.cos(direction), speed * math.sin(direction)]
    return solve_ivp(motion, (0, 60), start, events=stops, rtol=1e-9, atol=1e-11, dense_output=True)


@pytest.mark.parametrize("along", [-0.5, -0.2, 0.0, 0.3, 0.8])
@pytest.mark.parametrize("past", [0.0, 0.4])
def test_break_at_the_hole_is_that_of_a_rolled_ball(along, past):
    # A small pull across; the closed form is first order in it.
    length, across = 4.0, 0.004
    roll = length + past
    run = rolled(math.sqrt(2 * TEN * (1 + along) * roll), 0.0, TEN, along, across)
    x, y = run.sol(np.linspace(0, run.t[-1], 4000))[:2]
    at_hole = np.interp(min(length, x.max()), x, y)
    assert offset_at_hole(length, roll, 1 + along, across) == pytest.approx(at_hole, rel=0.02)


@pytest.mark.parametrize("along", [-0.5, -0.2, 0.0, 0.3, 0.8])
def test_a_start_off_the_line_is_bent_back_downhill(along):
    # Technique's angle error grows by 2 ratio / (1 + ratio) at the point where the ball dies.
    ratio, length, off = 1 + along, 3.0, 0.003
    run = rolled(math.sqrt(2 * TEN * ratio * length), off, TEN, along, 0.0)
    only_technique = PuttingSkill(angle_deg=1.0, distance_share=0.05, reading_share=0.0)
    _, angle = errors(length, along, 0.0, Putter(*putter_numbers(only_technique)))
    assert run.y[1, -1] / length / off == pytest.approx(angle / math.radians(1.0), rel=0.01)


@pytest.mark.parametrize("along", [-0.5, -0.2, 0.0, 0.3, 0.8])
def test_a_misread_slope_costs_more_downhill(along):
    # Reading's angle error grows by 2 / (1 + ratio), the break of a dying ball for the same slope across.
    skill = PuttingSkill(angle_deg=1.0, distance_share=0.05, reading_share=1.0)
    _, angle = errors(3.0, along, 0.0, Putter(*putter_numbers(skill)))
    breaks = offset_at_hole(3.0, 3.0, 1 + along, 1e-3) / offset_at_hole(3.0, 3.0, 1.0, 1e-3)
    assert angle / math.radians(1.0) == pytest.approx(breaks, rel=1e-9)


def test_roll_errors_on_a_slope():
    # On the level 8.01 % of (length + 1 ft); technique is the same on any slope, reading goes with 1/ratio.
    putter = Putter(*putter_numbers(TOUR_PUTTING))
    level = 0.0801 * (5 + AIM_PAST)
    assert errors(5.0, 0.0, 0.0, putter)[0] == pytest.approx(level)
    down = level * math.sqrt(0.34 + 0.66 / 0.5**2)
    assert errors(5.0, -0.5, 0.0, putter)[0] == pytest.approx(down)


def test_slope_number_of_stimp_10():
    # 5/7 g sin(slope) over a0: 2 % at Stimp 10 is a quarter of the green's braking.
    assert slope_number(0.02, TEN) == pytest.approx(0.2552, abs=2e-4)
    with pytest.raises(ParameterError, match="above 0"):
        slope_number(0.02, 0.0)


def test_ranges_are_enforced():
    with pytest.raises(OutOfRange, match="at least 33 mm"):
        gelman_nolan_2002(0.01, 0.02)
    with pytest.raises(ParameterError, match="Putting needs"):
        PuttingSkill(angle_deg=0, distance_share=0.1)
    with pytest.raises(ParameterError, match="0 to 54"):
        putting_of_handicap(60)
