"""Bounce: Penner's rows, Haake's two kinds of green, and one suite of laws over every rival."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from firstbounce.shot.bounce import rebound
from firstbounce.shot.laws import BALL_RADIUS, AirSpec, BounceLaw, Laws, Steps, numbers
from firstbounce.units import rad_per_s_to_rpm, rpm_to_rad_per_s

C = numbers(Laws(), AirSpec(), None, Steps())
ALL = list(BounceLaw)
UP = np.array([0.0, 0.0, 1.0])


def bounce(v, w, law=BounceLaw.SETTLING, normal=UP, firmness=1.0, friction=0.40):
    out = rebound(*map(float, (*v, *w, *normal)), int(law), firmness, 1.0, 1.0, friction, C)
    return np.array(out[:3]), np.array(out[3:])


def landing(speed, descent_deg, rpm):
    """A ball that flies along +y with backspin."""
    angle = math.radians(descent_deg)
    return (0, speed * math.cos(angle), -speed * math.sin(angle)), (rpm_to_rad_per_s(rpm), 0, 0)


def energy(v, w):
    return v @ v + 0.4 * BALL_RADIUS**2 * (w @ w)


# Penner, Can. J. Phys. 80 (2002) 931, equations from memory: rows worked by hand from them, mu = 0.40.
PENNER = [
    (18.6, 45.6, 0, 5.610, 3.889, -2883),
    (18.6, 45.6, 4000, 3.148, 3.211, -1740),
    (18.6, 45.6, 8000, 0.948, 2.605, -293),
    (16.0, 48, 6000, 1.257, 2.603, -802),
    (12.0, 45, 3000, 2.554, 2.736, -1340),
    (12.0, 45, 6000, 1.612, 2.569, 590),
    (9.0, 42, 5000, 1.900, 2.319, 1003),
    (7.5, 31, 1500, 2.967, 2.120, -1372),
    (6.0, 30, 1000, 2.638, 1.709, -1227),
    (10.0, 90, 0, 0.0, 2.253, 0),
]
SETTLING = [
    (18.6, 45.6, 4000, 3.148, 3.211, -1740),
    (12, 45, 3000, 2.571, 2.734, -1345),
    (12, 45, 6000, 1.640, 2.570, 596),
    (9, 42, 2500, 2.287, 2.345, -1153),
    (7.5, 31, 1500, 3.356, 1.978, -1243),
    (6, 30, 1000, 2.911, 1.584, -1129),
]


@pytest.mark.parametrize(
    "law, row",
    [(BounceLaw.PENNER_2002, row) for row in PENNER] + [(BounceLaw.SETTLING, row) for row in SETTLING],
)
def test_worked_rows(law, row):
    speed, descent, rpm, forward, up, spin = row
    v, w = bounce(*landing(speed, descent, rpm), law)
    assert v == pytest.approx([0, forward, up], rel=2e-3, abs=2e-3)
    assert rad_per_s_to_rpm(w[0]) == pytest.approx(spin, rel=3e-3, abs=2)


@given(speed=st.floats(12, 20), descent=st.floats(40, 50), spin=st.floats(0, 350))
def test_first_kind_of_green_gives_topspin(speed, descent, spin):
    # Haake 1989, 1994 (abstract read): on the first kind of green the ball leaves with topspin
    v, _ = landing(speed, descent, 0)
    assert bounce(v, (spin, 0, 0), BounceLaw.PENNER_2002)[1][0] < 0


def test_second_kind_of_green_keeps_backspin_above_a_threshold():
    # Haake (abstract read): kept above about 350 rad/s; friction 0.16 derived from that, so 15 %
    v, _ = landing(18.6, 45.6, 0)
    left = [
        bounce(v, (s, 0, 0), BounceLaw.PENNER_2002, friction=0.16)[1][0] for s in (350 / 1.15, 350 * 1.15)
    ]
    assert left[0] < 0 < left[1]


def test_drop_test():
    # derived from Penner's restitution: 16.6 cm from 1.50 m; plausible field band 5 to 20 % (from memory)
    v, _ = bounce((0, 0, -math.sqrt(2 * 9.81 * 1.5)), (0, 0, 0))
    assert v[2] ** 2 / (2 * 9.81) == pytest.approx(0.166, abs=0.002)


@pytest.mark.parametrize("law", ALL)
def test_firmer_green_bounces_higher_and_tilts_less(law):
    v_soft, v_firm = (bounce(*landing(9, 40, 2000), law, firmness=f)[0] for f in (0.7, 1.4))
    assert v_firm[2] > 0 and v_firm @ v_firm > v_soft @ v_soft


GRAZING = np.array([0.0, 6.0, 0.0]), np.array([200.0, 30.0, -40.0])


@pytest.mark.parametrize("law", [BounceLaw.SETTLING, BounceLaw.CROSS_2002])
@pytest.mark.parametrize("into", [1e-2, 1e-4, 1e-6])
def test_a_grazing_ball_is_left_alone_in_the_limit(law, into):
    v, w = GRAZING
    out = bounce(v - into * UP, w, law)
    assert out[0] == pytest.approx(v, abs=3 * into)
    assert out[1] == pytest.approx(w, abs=150 * into)


def test_the_original_tilted_plane_does_not_settle():
    # why the recommended law is another: a ball that grazes at 6 m/s is thrown up by a plane still tilted
    v, w = GRAZING
    assert bounce(v - 1e-9 * UP, w, BounceLaw.PENNER_2002)[0][2] > 0.5


vectors = st.tuples(*[st.floats(-15, 15)] * 3).map(np.array)
spins = st.tuples(*[st.floats(-500, 500)] * 3).map(np.array)
normals = st.tuples(st.floats(-0.4, 0.4), st.floats(-0.4, 0.4)).map(
    lambda g: np.array([-g[0], -g[1], 1.0]) / math.sqrt(1 + g[0] ** 2 + g[1] ** 2)
)


@pytest.mark.parametrize("law", ALL)
class TestEveryLaw:
    """The suite that every bounce law has to pass."""

    @given(v=vectors, w=spins, n=normals, f=st.floats(0.5, 1.8), mu=st.floats(0, 1))
    @settings(max_examples=150)
    def test_energy_never_grows(self, law, v, w, n, f, mu):
        out = bounce(v, w, law, n, f, mu)
        assert energy(*out) <= energy(v, w) * (1 + 1e-9) + 1e-12

    @given(v=vectors, w=spins, n=normals, f=st.floats(0.5, 1.8))
    def test_nothing_leaves_downwards(self, law, v, w, n, f):
        assert bounce(v, w, law, n, f)[0] @ n >= -1e-9

    @given(speed=st.floats(0.1, 20), f=st.floats(0.5, 1.8))
    def test_vertical_drop_stays_vertical(self, law, speed, f):
        v, w = bounce((0, 0, -speed), (0, 0, 0), law, firmness=f)
        assert v[:2] == pytest.approx([0, 0], abs=1e-12)
        assert w == pytest.approx([0, 0, 0], abs=1e-9)
        assert v[2] >= 0

    @given(v=vectors, w=spins, n=normals, angle=st.floats(-3, 3))
    def test_turned_scene_turns_the_answer(self, law, v, w, n, angle):
        # Penner's own plane stays tilted for a grazing ball: there rounding decides between two answers
        assume(law != BounceLaw.PENNER_2002 or abs(v @ n) > 1e-6)
        c, s = math.cos(angle), math.sin(angle)
        turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
        a, b = bounce(v, w, law, n), bounce(v @ turn, w @ turn, law, n @ turn)
        assert b[0] == pytest.approx(a[0] @ turn, abs=1e-7)
        assert b[1] == pytest.approx(a[1] @ turn, abs=1e-5)

    @given(v=vectors, w=spins, n=normals)
    def test_mirror(self, law, v, w, n):
        flip = np.array([-1.0, 1, 1])
        a, b = bounce(v, w, law, n), bounce(v * flip, -w * flip, law, n * flip)
        assert b[0] == pytest.approx(a[0] * flip, abs=1e-7)
        assert b[1] == pytest.approx(-a[1] * flip, abs=1e-5)

    @given(v=vectors, w=spins, mu=st.floats(0, 1))
    def test_friction_keeps_the_angular_momentum_about_the_contact(self, law, v, w, mu):
        # on the tilted plane v_t - (2/5) r w is untouched by any friction: here checked where no tilt is
        if v[2] >= 0:
            return
        flat = numbers(Laws(), AirSpec(), None, Steps())._replace(tilt=0.0, grip_tilt=0.0)
        out = rebound(*map(float, (*v, *w, *UP)), int(law), 1.0, 1.0, 1.0, mu, flat)
        before = np.array([v[0] + 0.4 * BALL_RADIUS * w[1], v[1] - 0.4 * BALL_RADIUS * w[0]])
        after = np.array([out[0] + 0.4 * BALL_RADIUS * out[4], out[1] - 0.4 * BALL_RADIUS * out[3]])
        assert after == pytest.approx(before, abs=1e-9)

    def test_a_ball_that_leaves_already_is_left_alone(self, law):
        v, w = np.array([1.0, 2, 3]), np.array([4.0, 5, 6])
        out = bounce(v, w, law)
        assert (out[0] == v).all() and (out[1] == w).all()
