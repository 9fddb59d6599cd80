"""Checks of the ramp, green speed, slope, skid and roll, played on the simulator where it can be."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.optimize import brentq

from firstbounce.checks.case import Case, Seen
from firstbounce.checks.scenes import level_green, rolling_speed, rolling_start, slide, tilted_green
from firstbounce.ground.firmness import restitution_from_bounce
from firstbounce.ground.ramp import ramp_rolling_speed
from firstbounce.ground.readings import brede_1990, slope_from_rolls
from firstbounce.shot.laws import NO_AIR, BounceNumbers, Laws
from firstbounce.shot.play import roll, trace
from firstbounce.units import (
    GRAVITY,
    STIMP_RELEASE_SPEED,
    metres_to_feet,
    rpm_to_rad_per_s,
    stimp_to_deceleration,
)
from firstbounce.words import Outcome

BREDE = "Brede, USGA Green Section Record 28(6) (1990) 10; superintendent's worked case, 2014"


def rolled_ft(stimp_ft: float, slope_percent: float, *, up: bool) -> float:
    """How far the simulator rolls a ball off the standard ramp on a plane [ft along the ground]."""
    played = roll(
        (0.0, 0.0),
        (0.0, (1 if up else -1) * STIMP_RELEASE_SPEED * math.cos(math.atan(slope_percent / 100))),
        ground=tilted_green(slope_percent),
        green_deceleration=stimp_to_deceleration(stimp_ft),
    )
    return metres_to_feet(float(np.linalg.norm(played.finished[0])))


def _level_speed(slope_percent: float) -> float:
    return brede_1990(rolled_ft(10, slope_percent, up=True), rolled_ft(10, slope_percent, up=False))


def _slope_where_down_is(times: float) -> float:
    def excess(slope_percent: float) -> float:
        return rolled_ft(10, slope_percent, up=False) - times * rolled_ft(10, slope_percent, up=True)

    return float(brentq(excess, 0.5, 6.0, xtol=1e-3))


def _stops_downhill(slope_percent: float) -> float:
    """1 when a ball set slowly downhill stops on this slope."""
    played = roll(
        (0.0, 0.0),
        (0.0, -0.1),
        ground=tilted_green(slope_percent),
        green_deceleration=stimp_to_deceleration(10),
    )
    return float(played.outcomes()[0] == Outcome.STOPPED)


def _rolling_after_bounces(mu: float, grip: float) -> float:
    """Rolling speed over (5 v - 2 r w)/7 of the first contact, pocket not tilted, any friction."""
    backspin = rpm_to_rad_per_s(2500)
    _, points = trace(
        (0.0, 0.0, 0.0),
        (0.0, 6.0, -5.0),
        (backspin, 0.0, 0.0),
        ground=level_green()._replace(turf_props=_with_friction(mu)),
        green_deceleration=stimp_to_deceleration(10),
        air=NO_AIR,
        laws=Laws(bounce_numbers=BounceNumbers(tilt=0.0, grip_restitution=grip)),
        begin=1,
        step_s=0.005,
    )
    return rolling_speed(points) / ((5 * 6.0 - 2 * 0.021335 * backspin) / 7)


def _with_friction(mu: float) -> np.ndarray:
    from firstbounce.ground.turf import FRICTION

    props = level_green().turf_props.copy()
    props[:, FRICTION] = mu
    return props


def _past_covered_hole() -> float:
    played = roll((0.0, 0.0), (0.0, 1.63), ground=level_green(), green_deceleration=stimp_to_deceleration(10))
    return float(played.finished[0, 1])


def cases() -> Iterator[Case]:
    """The ramp, Stimp and slope, then skid and roll."""
    yield Case(
        what="rolling speed off the ramp: 30 in at 20 deg, V-groove 0.5 in",
        published=1.829,
        tolerance=0.02,
        unit="m/s",
        source="USGA Stimpmeter booklet: geometry, 6.00 ft/s",
        seen=Seen.READ,
        compute=ramp_rolling_speed,
    )
    for stimp, rho in ((4, 0.196), (6, 0.131), (12, 0.065)):
        yield Case(
            what=f"rolling resistance of a Stimp {stimp} green",
            published=rho,
            tolerance=0.01 * rho,
            source="Penner, Can. J. Phys. 80 (2002) 83",
            seen=Seen.MEMORY,
            compute=lambda stimp: 1.4 * stimp_to_deceleration(stimp) / GRAVITY,
            given=(stimp,),
        )
    for down, up, level in ((14, 9, 10 + 11 / 12), (20, 2, 3 + 8 / 12)):
        yield Case(
            what=f"level speed from {down} ft down and {up} ft up",
            published=level,
            tolerance=1 / 12,
            unit="ft",
            source=BREDE,
            seen=Seen.READ,
            compute=brede_1990,
            given=(up, down),
        )
    for slope in (1, 2, 3, 4):
        yield Case(
            what=f"level speed from balls rolled both ways on {slope} %, Stimp 10, simulator",
            published=10.0,
            tolerance=0.1,
            unit="ft",
            source="Brede's identity through the simulator",
            seen=Seen.IDENTITY,
            compute=_level_speed,
            given=(slope,),
        )
    for up, published in ((True, 7.97), (False, 13.42)):
        yield Case(
            what=f"roll {'up' if up else 'down'} 2 % at Stimp 10, simulator",
            published=published,
            tolerance=0.01 * published,
            unit="ft",
            source="constant deceleration and 5/7 of gravity's downhill part",
            seen=Seen.IDENTITY,
            compute=lambda up: rolled_ft(10, 2, up=up),
            given=(up,),
        )
    for times, steepness in ((2, 2.6), (3, 3.9)):
        yield Case(
            what=f"slope at which a ball rolls {times} times as far down as up, Stimp 10",
            published=steepness,
            tolerance=0.1,
            unit="%",
            source="course-rating manual: classes of slope",
            seen=Seen.READ,
            compute=_slope_where_down_is,
            given=(times,),
        )
    yield from _slope_cases()
    yield from _skid_cases()


def _slope_cases() -> Iterator[Case]:
    for slope, stops in ((5.0, 1), (8.0, 0)):
        yield Case(
            what=f"ball set slowly downhill on {slope:g} % at Stimp 10 stops (1) or not (0)",
            published=stops,
            source="Lemons, USGA Green Section Record (2008): greatest slope 5.42 %; theory 7.84 %",
            seen=Seen.READ,
            compute=_stops_downhill,
            given=(slope,),
        )
    yield Case(
        what="level speed from 2.0 m up and 4.0 m down",
        published=2.667,
        tolerance=0.0005,
        unit="m",
        source="Brede 1990, harmonic mean",
        seen=Seen.IDENTITY,
        compute=lambda: brede_1990(2.0, 4.0),
    )
    yield Case(
        what="slope from 2.0 m up and 4.0 m down, ramp at 1.83 m/s",
        published=1.71,
        tolerance=0.005,
        unit="deg",
        source="constant deceleration and 5/7 of gravity's downhill part",
        seen=Seen.IDENTITY,
        compute=lambda: math.degrees(slope_from_rolls(2.0, 4.0)),
    )
    yield Case(
        what="restitution of a drop from 1.50 m that bounces 0.25 m",
        published=0.408,
        tolerance=0.0005,
        source="square root of the heights' ratio",
        seen=Seen.IDENTITY,
        compute=lambda: restitution_from_bounce(0.25),
    )


def _skid_cases() -> Iterator[Case]:
    sliding = "uniform sphere, Coulomb friction 0.4"
    for what, value, unit, tolerance, ours in (
        ("speed", 1.4286, "m/s", 0.007, lambda: rolling_speed(slide(2.0)[1])),
        ("time", 0.146, "s", 0.0015, lambda: rolling_start(slide(2.0)[1]).t_s),
        ("distance", 0.250, "m", 0.0015, lambda: rolling_start(slide(2.0)[1]).y_m),
    ):
        yield Case(
            what=f"{what} at which 2.00 m/s of sliding becomes rolling",
            published=value,
            tolerance=tolerance,
            unit=unit,
            source=sliding,
            seen=Seen.IDENTITY,
            compute=ours,
        )
    yield Case(
        what="roll that follows on a level Stimp 10 green",
        published=1.857,
        tolerance=0.0093,
        unit="m",
        source=sliding,
        seen=Seen.IDENTITY,
        compute=lambda: slide(2.0)[1][-1].y_m - rolling_start(slide(2.0)[1]).y_m,
    )
    yield Case(
        what="rolling speed of 1.5 m/s with 4000 rpm of backspin",
        published=-1.482,
        tolerance=0.0075,
        unit="m/s",
        source=sliding,
        seen=Seen.IDENTITY,
        compute=lambda: rolling_speed(slide(1.5, 4000)[1]),
    )
    for mu, grip in ((0.4, 0.0), (0.15, 0.0), (0.8, 0.3)):
        yield Case(
            what=f"rolling speed after all bounces over (5 v - 2 r w)/7 of the first, friction {mu:g}",
            published=1.0,
            tolerance=0.005,
            source="angular momentum about the contact point; pocket not tilted, no air",
            seen=Seen.IDENTITY,
            compute=_rolling_after_bounces,
            given=(mu, grip),
        )
    yield Case(
        what="how far past a covered hole 1.63 m/s rolls, Stimp 10",
        published=2.42,
        tolerance=0.0242,
        unit="m",
        source="constant deceleration",
        seen=Seen.IDENTITY,
        compute=_past_covered_hole,
    )
