"""Launch: published and worked values, limits, symmetries."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.shot.launch import face_contact, launch, stance_effect
from firstbounce.units import rad_per_s_to_rpm
from firstbounce.words import Lie, LieKind

DEG = math.radians(1)

# Worked by hand from the rigid impact of Penner 2001 (equations from memory): e = 0.80, M = 0.300 kg.
WORKED = [
    (5, 30, 26, 0.40, 0.0, 6.794, 20.22, 766),
    (8, 40, 35, 0.40, 0.0, 9.669, 26.63, 1575),
    (10, 50, 45, 0.40, 0.0, 10.251, 33.20, 2346),
    (10, 50, 45, 0.40, 0.25, 10.371, 30.36, 2933),
    (10, 50, 45, 0.15, 0.0, 10.146, 36.47, 1684),
    (15, 50, 45, 0.40, 0.25, 15.556, 30.36, 4400),
    (20, 60, 55, 0.20, 0.25, 15.919, 43.69, 3493),
]


@pytest.mark.parametrize("speed, spin_loft, loft, mu, grip, ball, angle, rpm", WORKED)
def test_worked_examples(speed, spin_loft, loft, mu, grip, ball, angle, rpm):
    out = launch(speed, loft * DEG, (loft - spin_loft) * DEG, friction=mu, grip=grip, restitution=(0.80, 0.0))
    assert out.speed[0] == pytest.approx(ball, rel=2e-3)
    assert out.launch_angle[0] / DEG == pytest.approx(angle, abs=0.05)
    assert rad_per_s_to_rpm(out.spin_rate[0]) == pytest.approx(rpm, rel=2e-3)


def test_full_pitching_wedge_is_near_the_quoted_tour_average():
    # from memory, soft: club 37.1 m/s gives ball 45.6 m/s, 24 degrees, 9300 rpm
    out = launch(37.1, 35 * DEG, -5 * DEG, friction=0.40, grip=0.30, restitution=(0.80, 0.0))
    assert out.speed[0] == pytest.approx(45.6, rel=0.05)
    assert out.launch_angle[0] / DEG == pytest.approx(24, abs=2)
    assert rad_per_s_to_rpm(out.spin_rate[0]) == pytest.approx(9300, rel=0.10)


@pytest.mark.parametrize("loft", [28, 36, 45, 52, 57])
def test_direction_lies_between_path_and_face_as_measured(loft):
    # Wood, Henrikson, Broadie, Proceedings 2 (2018) 249 (abstract read): 61 to 83 % of the way to the face
    attack = -3.0
    out = launch(9.0, loft * DEG, attack * DEG)
    assert 0.61 <= (out.launch_angle[0] / DEG - attack) / (loft - attack) <= 0.83


def test_light_rough_halves_the_spin_of_an_eight_iron_and_launches_higher():
    # ruling bodies' charts after Golf Digest 2009 (read): 50 % less spin from light rough; band 30 to 70 %
    clean, rough = (face_contact(Lie(kind=kind)) for kind in (LieKind.FAIRWAY, LieKind.LIGHT_ROUGH))
    full = {"grip": 0.25, "restitution": (0.80, 0.0)}
    a = launch(35, 38 * DEG, -4 * DEG, friction=clean.friction, **full)
    b = launch(35, 38 * DEG, -4 * DEG, friction=rough.friction, speed_factor=rough.speed_factor, **full)
    assert 0.3 <= b.spin_rate[0] / a.spin_rate[0] <= 0.7
    assert b.launch_angle[0] > a.launch_angle[0]
    assert b.velocity[0, 1] < a.velocity[0, 1]


@pytest.mark.parametrize("kind", list(LieKind))
def test_wet_never_rubs_more(kind):
    dry, wet = face_contact(Lie(kind=kind)), face_contact(Lie(kind=kind, wet=True))
    assert wet.friction < dry.friction <= 0.40
    assert wet.speed_factor <= dry.speed_factor <= 1


def test_no_friction_leaves_along_the_face_without_spin():
    out = launch(8, 40 * DEG, -3 * DEG, friction=0.0)
    assert out.launch_angle[0] == pytest.approx(40 * DEG)
    assert out.spin_rate[0] == 0


def test_backspin_and_side_spin_have_their_signs():
    straight = launch(8, 40 * DEG, -3 * DEG).spin[0]
    assert straight[0] > 0  # backspin of a ball that flies along +y turns about +x
    assert straight[1:] == pytest.approx([0, 0], abs=1e-9)
    open_face = launch(8, 40 * DEG, -3 * DEG, face_to_path=8 * DEG)
    assert open_face.velocity[0, 0] > 0  # starts right of the path
    assert open_face.spin[0, 2] < 0  # and curves further right


@given(angle=st.floats(-3, 3), face=st.floats(-0.2, 0.2))
def test_turning_the_scene_turns_the_ball(angle, face):
    a = launch(9, 0.8, -0.05, face_to_path=face)
    b = launch(9, 0.8, -0.05, face_to_path=face, azimuth=angle)
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    assert b.velocity == pytest.approx(a.velocity @ turn, abs=1e-9)
    assert b.spin == pytest.approx(a.spin @ turn, abs=1e-7)


@given(face=st.floats(-0.3, 0.3))
def test_mirror(face):
    a, b = (launch(9, 0.8, -0.05, face_to_path=f) for f in (face, -face))
    assert b.velocity == pytest.approx(a.velocity * [-1, 1, 1], abs=1e-12)
    assert b.spin == pytest.approx(a.spin * [1, -1, -1], abs=1e-9)


def test_uphill_stance_launches_higher_with_the_same_spin():
    stance = stance_effect(Lie(uphill_deg=5))
    flat = launch(8, 45 * DEG, -3 * DEG)
    up = launch(8, 45 * DEG + stance.loft, -3 * DEG + stance.attack)
    assert (up.launch_angle - flat.launch_angle)[0] == pytest.approx(5 * DEG)
    assert up.spin_rate == pytest.approx(flat.spin_rate)


def test_ball_above_the_feet_points_the_face_to_the_heel_side():
    lie = Lie(above_feet_deg=6)
    assert stance_effect(lie).face < 0 < stance_effect(lie, right_handed=False).face


@pytest.mark.parametrize(
    "wrong", [{"speed": -1}, {"speed": 200}, {"loft": 45.0}, {"friction": -0.1}, {"attack": math.nan}]
)
def test_nonsense_is_refused(wrong):
    given_values = {"speed": 8.0, "loft": 0.7, "attack": 0.0} | wrong
    with pytest.raises(ParameterError):
        launch(**given_values)


def test_compiled_twin_agrees():
    from firstbounce.shot.laws import BALL_MASS, BALL_RADIUS
    from firstbounce.shot.strike import strike

    row = np.array([0.8, -0.05, 0.1, 0.25, 0.95, 0.1, BALL_MASS / 0.30, 0.86, 0.0029])
    out = launch(9, 0.8, -0.05, face_to_path=0.1, azimuth=0.4, friction=0.25, speed_factor=0.95)
    assert strike(9.0, 0.4, row, BALL_RADIUS) == pytest.approx((*out.velocity[0], *out.spin[0]))
