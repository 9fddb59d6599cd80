"""Checks of air, wind, flight: physics of density, the log profile, drag and lift."""

from __future__ import annotations

import math
from collections.abc import Iterator

from firstbounce.checks.case import Case, Seen
from firstbounce.checks.scenes import level_green
from firstbounce.ground.conditions import pressure_iso_2533
from firstbounce.ground.wind import BEAUFORT, log_wind_ratio
from firstbounce.shot.aero import aero_chip_range, aero_smits_smith_1994
from firstbounce.shot.air import density_cipm_2007
from firstbounce.shot.laws import NO_AIR, AirSpec, Laws, Steps, numbers
from firstbounce.shot.play import play

MPH = 0.44704  #: exact [m/s]


def _dew_point_density() -> float:
    """Density at 20 C, 760 mmHg and a dew point of 10 C: 52.5 percent humidity."""
    return density_cipm_2007(20.0, 101325.0, 0.525)


def _carry_without_air() -> float:
    launch = math.radians(40)
    played = play(
        (0, 0, 0),
        (0, 10 * math.cos(launch), 10 * math.sin(launch)),
        (0, 0, 0),
        ground=level_green(),
        green_deceleration=0.549,
        air=NO_AIR,
    )
    return float(played.landed[0, 1])


def _spin_lost_in_a_second() -> float:
    """Spin [rpm] that a 7-iron shot at 120 mph and 7097 rpm loses in a second, by the rate of the kernels."""
    return 7097 * numbers(Laws(), AirSpec(), None, Steps()).spin_decay * 120 * MPH


def _largest_drag(largest: bool) -> float:
    drags = [aero_chip_range(re, s)[0] for re in range(30_000, 108_001, 2_000) for s in (0.0, 0.2, 0.5, 1.0)]
    return max(drags) if largest else min(drags)


def cases() -> Iterator[Case]:
    """Density, wind, drag, lift and a vacuum flight."""
    yield Case(
        what="air density at 20 C, 101325 Pa, 50 % humidity",
        published=1.1993,
        tolerance=0.0005,
        unit="kg/m3",
        source="CIPM-2007: Picard, Davis, Glaeser and Fujii, Metrologia 45 (2008) 149",
        seen=Seen.MEMORY,
        compute=lambda: density_cipm_2007(20.0, 101325.0, 0.5),
    )
    yield Case(
        what="air density at 20 C, 760 mmHg, dew point 10 C",
        published=1.199,
        tolerance=0.001,
        unit="kg/m3",
        source="table at constructionwork.com",
        seen=Seen.READ,
        compute=_dew_point_density,
    )
    yield Case(
        what="standard atmosphere at 1000 m",
        published=1.1117,
        tolerance=0.0005,
        unit="kg/m3",
        source="ISO 2533, constants from memory",
        seen=Seen.MEMORY,
        compute=lambda: density_cipm_2007(15.0 - 6.5, pressure_iso_2533(1000.0), 0.0),
    )
    yield Case(
        what="wind at 2 m when it is 5 m/s at 10 m, roughness 0.03 m",
        published=3.61,
        tolerance=0.02,
        unit="m/s",
        source="log law with the WMO roughness of open grass",
        seen=Seen.IDENTITY,
        compute=lambda: 5 * log_wind_ratio(2.0, 10.0, 0.03),
    )
    yield Case(
        what="Beaufort 3: least wind",
        published=12 / 3.6,
        tolerance=0.1,
        unit="m/s",
        source="Beaufort scale, 12 to 19 km/h, three copies",
        seen=Seen.READ,
        compute=lambda: BEAUFORT[3].low_m_s,
    )
    yield Case(
        what="Beaufort 3: most wind",
        published=19 / 3.6,
        tolerance=0.15,
        unit="m/s",
        source="Beaufort scale, 12 to 19 km/h, three copies",
        seen=Seen.READ,
        compute=lambda: BEAUFORT[3].high_m_s,
    )
    yield from _aero_cases()


def _aero_cases() -> Iterator[Case]:
    for part, value, name in ((0, 0.258, "drag"), (1, 0.215, "lift")):
        yield Case(
            what=f"{name} coefficient at Re 9e4, spin ratio 0.1",
            published=value,
            tolerance=0.001,
            source="Smits and Smith, Science and Golf II (1994) 340",
            seen=Seen.MEMORY,
            compute=lambda part: aero_smits_smith_1994(9e4, 0.1)[part],
            given=(part,),
        )
    for largest in (False, True):
        yield Case(
            what=f"{'largest' if largest else 'smallest'} drag coefficient for 3e4 < Re < 1.08e5",
            published=(0.24, 0.70),
            source="Jenkins, Arellano, Ross and Snell, World J. Mech. 8 (2018), abstract",
            seen=Seen.READ,
            compute=_largest_drag,
            given=(largest,),
        )
    yield Case(
        what="spin lost in a second at 120 mph and 7097 rpm",
        published=340,
        tolerance=0.06 * 340,
        unit="rpm",
        source="Dewhurst, The Science of the Perfect Swing (2015), after Smits and Smith",
        seen=Seen.READ,
        compute=_spin_lost_in_a_second,
    )
    yield Case(
        what="carry without air, 10 m/s at 40 degrees",
        published=10.039,
        tolerance=0.001,
        unit="m",
        source="parabola",
        seen=Seen.IDENTITY,
        compute=_carry_without_air,
    )
