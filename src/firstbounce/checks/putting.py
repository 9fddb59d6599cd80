"""Checks of putting: both published make-rate data sets, expected putts, the strokes benchmark."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np

from firstbounce.checks.case import Case, Seen
from firstbounce.checks.putting_data import BERRY, BROADIE, TOUR_PUTTS
from firstbounce.players.putting import broadie_2018, gelman_nolan_2002, make_chance
from firstbounce.players.putts import expected_putts
from firstbounce.players.recovery import BENCHMARK, BENCHMARK_YD
from firstbounce.players.skill import TOUR_PUTTING
from firstbounce.units import METRES_PER_FOOT, METRES_PER_YARD, stimp_to_deceleration

BERRY_SOURCE = "Berry (1995/96), table read in the Stan example models"
BROADIE_SOURCE = "Broadie (2018), table read in the Stan example models"
STIMP_10 = stimp_to_deceleration(10.0)


def _columns(data: Sequence[tuple[float, int, int]]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    feet, tries, made = np.array(data, dtype=np.float64).T
    return feet * METRES_PER_FOOT, tries, made


@cache
def angle_of_berry_deg() -> float:
    """Maximum-likelihood angle error [deg] of the angle model on the Berry data."""
    from scipy.optimize import minimize_scalar
    from scipy.stats import binom

    length, tries, made = _columns(BERRY)

    def loss(angle: float) -> float:
        return -float(np.sum(binom.logpmf(made, tries, gelman_nolan_2002(length, angle))))

    return math.degrees(
        minimize_scalar(loss, bounds=(0.005, 0.1), method="bounded", options={"xatol": 1e-7}).x
    )


@cache
def fit_of_broadie() -> tuple[float, float, float]:
    """Angle [deg], distance share and extra error of the angle and distance model on the Broadie data."""
    from scipy.optimize import minimize
    from scipy.stats import norm

    length, tries, made = _columns(BROADIE)

    def loss(logs: np.ndarray) -> float:
        angle, distance, extra = np.exp(logs)
        chance = np.clip(broadie_2018(length, angle, distance), 1e-9, 1 - 1e-9)
        sd = np.sqrt(chance * (1 - chance) / tries + extra**2)
        return -float(np.sum(norm.logpdf(made / tries, chance, sd)))

    start = np.log([0.02, 0.1, 0.005])
    fit = minimize(loss, start, method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-8})  # type: ignore[call-overload]
    angle, distance, extra = np.exp(fit.x)

    return math.degrees(angle), float(distance), float(extra)


@cache
def logistic_of_berry() -> tuple[float, float]:
    """Intercept and slope a foot of the logistic curve through the Berry data, by statsmodels."""
    import statsmodels.api as sm

    length, tries, made = _columns(BERRY)
    design = sm.add_constant(length / METRES_PER_FOOT)
    fit = sm.GLM(np.column_stack([made, tries - made]), design, family=sm.families.Binomial()).fit()
    return float(fit.params[0]), float(fit.params[1])


def _tour_chance(feet: float) -> float:
    return float(make_chance(TOUR_PUTTING, feet * METRES_PER_FOOT, green_deceleration=STIMP_10))


def _putts_off(feet: float) -> float:
    return float(expected_putts(TOUR_PUTTING, feet * METRES_PER_FOOT, green_deceleration=STIMP_10))


def _tour_strokes(column: str, yards: float) -> float:
    """Strokes from a lie by our table with tour putting and the leave solved from the benchmark."""
    from firstbounce.players.recovery import tour_leave_m

    leave = tour_leave_m(column, np.array([yards * METRES_PER_YARD]))[0]
    share = (np.arange(400) + 0.5) / 400
    leaves = leave * np.sqrt(-2 * np.log1p(-share)) / math.sqrt(math.pi / 2)
    return 1 + float(expected_putts(TOUR_PUTTING, leaves, green_deceleration=STIMP_10).mean())


def cases() -> Iterator[Case]:
    """Make rates on the level, expected putts, strokes from off the green."""
    yield Case(
        what="angle error of the angle model on the Berry data",
        published=1.527,
        tolerance=0.001,
        unit="deg",
        source=BERRY_SOURCE + "; Gelman and Nolan (2002)",
        seen=Seen.READ,
        compute=angle_of_berry_deg,
    )
    for part, (what, value, tolerance, unit) in enumerate(
        (
            ("angle error", 1.020, 0.001, "deg"),
            ("distance error", 0.0801, 0.0001, ""),
            ("extra error", 0.0028, 0.0001, ""),
        )
    ):
        yield Case(
            what=f"{what} of the angle and distance model on the Broadie data",
            published=value,
            tolerance=tolerance,
            unit=unit,
            source=BROADIE_SOURCE + "; Gelman (2019): 1.0 deg and 8 %",
            seen=Seen.READ,
            compute=lambda part: fit_of_broadie()[part],
            given=(part,),
        )
    for part, (what, value) in enumerate((("intercept", 2.231), ("slope a foot", -0.2557))):
        yield Case(
            what=f"{what} of a logistic curve through the Berry data",
            published=value,
            tolerance=0.002,
            source="Gelman (2019): 2.23 and -0.26; by statsmodels",
            seen=Seen.INDEPENDENT,
            compute=lambda part: logistic_of_berry()[part],
            given=(part,),
        )
    yield from _value_cases()


def _value_cases() -> Iterator[Case]:
    for name, data, tries, made in (("Berry", BERRY, 5988, 3390), ("Broadie", BROADIE, 1253196, 766741)):
        for what, column, total in (("tries", 1, tries), ("made", 2, made)):
            yield Case(
                what=f"total {what} of the {name} data",
                published=total,
                source="sum of the published table",
                seen=Seen.READ,
                compute=lambda data, column: float(sum(row[column] for row in data)),
                given=(data, column),
            )
    for feet, chance in ((5, 0.757), (10, 0.389)):
        yield Case(
            what=f"chance to hole {feet} ft on the level, tour",
            published=chance,
            tolerance=0.001,
            source=BROADIE_SOURCE,
            seen=Seen.READ,
            compute=_tour_chance,
            given=(feet,),
        )
    for feet, putts in TOUR_PUTTS.items():
        yield Case(
            what=f"expected putts from {feet} ft, tour",
            published=putts,
            tolerance=0.05 if feet <= 75 else 0.12,  # the make-rate data end at 75 ft
            source="Broadie, Every Shot Counts (2014); 8 and 33 ft read, others from memory",
            seen=Seen.READ if feet in {8, 33} else Seen.MEMORY,
            compute=_putts_off,
            given=(feet,),
        )
    for lie in ("fairway", "rough", "sand"):
        for yards, strokes in zip(BENCHMARK_YD, BENCHMARK[lie], strict=True):
            if yards in {10, 20, 30, 40, 50}:
                yield Case(
                    what=f"strokes from {yards:g} yd, {lie}, tour",
                    published=strokes,
                    tolerance=0.01,
                    source="Broadie, Interfaces 42 (2012) 146; the leave is solved from it",
                    seen=Seen.MEMORY,
                    compute=_tour_strokes,
                    given=(lie, yards),
                )
