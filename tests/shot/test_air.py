"""Air: density, viscosity, wind with height; drag and lift of each law."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import OutOfRange
from firstbounce.ground.conditions import pressure_iso_2533
from firstbounce.shot.aero import aero_chip_range, aero_smits_smith_1994
from firstbounce.shot.air import air_of_weather, density_cipm_2007, viscosity_sutherland, wind_log_law
from firstbounce.units import rad_per_s_to_rpm, rpm_to_rad_per_s


@pytest.mark.parametrize(
    "t, p, h, rho, within",
    [
        (20, 101325, 0.50, 1.1993, 0.0005),  # CIPM-2007
        (20, 101325, 0.525, 1.199, 0.001),  # dew point 10 C; table read
        (0, 101325, 0.0, 1.2929, 0.0005),  # table read
        (15, 101325, 0.0, 1.225, 0.001),  # ISO 2533, from memory
        (30, 101325, 0.70, 1.1518, 0.0005),  # CIPM-2007
        (25, 83500, 0.30, 0.9717, 0.0005),  # CIPM-2007, about 1600 m
    ],
)
def test_density(t, p, h, rho, within):
    assert density_cipm_2007(t, p, h) == pytest.approx(rho, abs=within)


@pytest.mark.parametrize("altitude, rho", [(0, 1.2250), (1000, 1.1117), (2000, 1.0065)])
def test_standard_atmosphere(altitude, rho):
    # ISO 2533, from memory; dry air
    t = 15 - 0.0065 * altitude
    assert density_cipm_2007(t, pressure_iso_2533(altitude), 0.0) == pytest.approx(rho, abs=1e-3)


@pytest.mark.parametrize("t, mu", [(0, 1.716e-5), (20, 1.813e-5)])
def test_viscosity(t, mu):
    # Sutherland, from memory
    assert viscosity_sutherland(t) == pytest.approx(mu, rel=2e-3)


def test_wind_falls_toward_the_ground():
    # log law with a WMO roughness of 0.03 m: 5 m/s at 10 m is 3.61 m/s at 2 m
    assert wind_log_law(5, 2, 10, 0.03) == pytest.approx(3.61, abs=0.02)
    assert wind_log_law(5, 0, 1.7, 0.02) == 0
    assert wind_log_law(5, 1.7, 1.7, 0.02) == 5


@pytest.mark.parametrize("t, p, h", [(70, 101325, 0.5), (20, 1013, 0.5), (20, 101325, 50)])
def test_wrong_units_are_refused(t, p, h):
    with pytest.raises(OutOfRange):
        density_cipm_2007(t, p, h)


def test_air_of_a_day():
    air = air_of_weather(temperature_c=20)
    assert air.viscosity == pytest.approx(1.512e-5, rel=2e-3)


@pytest.mark.parametrize(
    "re, s, cd, cl", [(9e4, 0.1, 0.258, 0.215), (7e4, 0.1, 0.239, 0.215), (1.2e5, 0.15, 0.294, 0.253)]
)
def test_smits_smith_1994(re, s, cd, cl):
    # equation from memory: the code does what it says
    assert aero_smits_smith_1994(re, s) == pytest.approx((cd, cl), abs=1e-3)


@pytest.mark.parametrize(
    "re, s, cd, cl",
    [
        (2.82e4, 0, 0.495, 0),
        (2.82e4, 0.6, 0.585, 0.361),
        (4.24e4, 0.3, 0.519, 0.318),
        (8.48e4, 0.1, 0.272, 0.215),
    ],
)
def test_chip_range(re, s, cd, cl):
    assert aero_chip_range(re, s) == pytest.approx((cd, cl), abs=1e-3)


@given(re=st.floats(3e4, 1.08e5), s=st.floats(0, 0.4))
def test_drag_stays_in_the_measured_band(re, s):
    # Jenkins and others, World J. Mech. 8 (2018), abstract read: 0.24 < C_D < 0.70 for real balls
    assert 0.24 < aero_chip_range(re, s)[0] < 0.70


def test_ranges_are_enforced():
    with pytest.raises(OutOfRange, match="smits_smith_1994"):
        aero_smits_smith_1994(3e4, 0.15)
    with pytest.raises(OutOfRange):
        aero_chip_range(5e5, 0.1)


def test_spin_decay_of_a_full_shot():
    # Dewhurst after Smits and Smith (excerpt read): 120 mph, 7097 rpm loses 340 rpm per s
    from firstbounce.shot.laws import AirSpec, Laws, Steps, numbers

    c = numbers(Laws(), AirSpec(), None, Steps())
    lost = c.spin_decay * 120 * 0.44704 * rpm_to_rad_per_s(7097)
    assert rad_per_s_to_rpm(lost) == pytest.approx(340, rel=0.06)
    assert math.isfinite(lost)
