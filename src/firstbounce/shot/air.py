"""Air: density, viscosity and wind with height. See docs/shot/air.md for sources and ranges."""

from __future__ import annotations

import math

from firstbounce.errors import OutOfRange
from firstbounce.shot.laws import AirSpec

CO2 = 0.0004  #: carbon dioxide in the air, mole fraction of the CIPM-2007 reference [-]


def density_cipm_2007(temperature_c: float, pressure_pa: float, humidity: float) -> float:
    """Density of moist air [kg/m3]; humidity 0..1.

    A. Picard, R. S. Davis, M. Glaeser, K. Fujii, Metrologia 45 (2008) 149, doi 10.1088/0026-1394/45/2/004
    (formula from memory; it reproduces published values). Their range is 15..27 C and 60..110 kPa; used here
    for -20..50 C, where it agrees with the ISO 2533 value and the dry-air tables to 0.1 %.
    """
    _check_weather(temperature_c, pressure_pa, humidity)
    t, p = temperature_c, pressure_pa
    kelvin = t + 273.15
    saturated = math.exp(
        1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin
    )
    vapour = humidity * (1.00062 + 3.14e-8 * p + 5.6e-7 * t**2) * saturated / p
    z = (
        1
        - (p / kelvin)
        * (
            1.58123e-6
            - 2.9331e-8 * t
            + 1.1043e-10 * t**2
            + (5.707e-6 - 2.051e-8 * t) * vapour
            + (1.9898e-4 - 2.376e-6 * t) * vapour**2
        )
        + (p / kelvin) ** 2 * (1.83e-11 - 0.765e-8 * vapour**2)
    )
    dry = (3.483740e-3 + 1.4446e-3 * (CO2 - 0.0004)) * p / (z * kelvin)
    return dry * (1 - 0.3780 * vapour)


def _check_weather(temperature_c: float, pressure_pa: float, humidity: float) -> None:
    if not -20 <= temperature_c <= 50:
        raise OutOfRange(f"Temperature {temperature_c:g} C must lie in -20..50 C; check the unit.")
    if not 50_000 <= pressure_pa <= 110_000:
        raise OutOfRange(f"Pressure {pressure_pa:g} Pa must lie in 50000..110000 Pa; check the unit.")
    if not 0 <= humidity <= 1:
        raise OutOfRange(f"Humidity {humidity:g} must lie in 0..1; give percent divided by 100.")


def viscosity_sutherland(temperature_c: float) -> float:
    """Dynamic viscosity of air [Pa s], -20..50 C (Sutherland's law, constants from memory)."""
    if not -20 <= temperature_c <= 50:
        raise OutOfRange(f"Temperature {temperature_c:g} C must lie in -20..50 C; check the unit.")
    kelvin = temperature_c + 273.15
    return 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)


def wind_log_law(speed_m_s: float, height_m: float, reference_m: float, roughness_m: float) -> float:
    """Wind speed [m/s] at a height, from the speed at a reference height, over ground of a roughness length.

    Neutral log law made finite at the ground: ln(1 + z/z0) instead of ln(z/z0), 0 at z = 0, within
    z0/(z ln(z/z0)) of it above. From head height (1.7 m), not from a forecast's 10 m, when trees are near.
    """
    if height_m < 0 or reference_m <= 0 or roughness_m <= 0:
        raise OutOfRange("Heights over the ground and roughness must be above 0 m.")
    return speed_m_s * math.log1p(height_m / roughness_m) / math.log1p(reference_m / roughness_m)


def air_of_weather(
    *,
    temperature_c: float = 20.0,
    pressure_pa: float = 101_325.0,
    humidity: float = 0.5,
    wind_x: float = 0.0,
    wind_y: float = 0.0,
    reference_height: float = 1.7,
    roughness: float = 0.01,
) -> AirSpec:
    """The air of a day as the kernels need it. Wind blows toward (wind_x, wind_y) [m/s]."""
    density = density_cipm_2007(temperature_c, pressure_pa, humidity)
    return AirSpec(
        density=density,
        viscosity=viscosity_sutherland(temperature_c) / density,
        wind_x=wind_x,
        wind_y=wind_y,
        reference_height=reference_height,
        roughness=roughness,
    )
