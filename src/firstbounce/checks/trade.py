"""Checks against the trade's carry-to-run rules: common practice bands, no printed source."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from functools import cache

import numpy as np

from firstbounce.checks.case import Case, Seen
from firstbounce.checks.scenes import level_green
from firstbounce.shot.launch import launch
from firstbounce.shot.laws import NO_AIR
from firstbounce.shot.play import play, play_on
from firstbounce.units import stimp_to_deceleration

#: club, loft [deg], shaft lean [deg], club speed of a standard chip [m/s]
CHIPS = (
    ("7i", 34, 6, 5.5),
    ("8i", 38, 6, 6.5),
    ("9i", 42, 6, 7.0),
    ("PW", 46, 6, 7.5),
    ("GW", 50, 5, 8.5),
    ("SW", 56, 4, 10.0),
    ("LW", 60, 3, 11.0),
)
MEDIUM_STIMP_FT = 10.0
BANDS = {"7i": (3.0, 5.0), "PW": (1.5, 2.5), "SW": (0.6, 1.2)}
#: carry and run [m] of the same chips, worked out apart from this program from the same equations, with hops
#: in vacuum after the first landing
WORKED = {"7i": (4.02, 16.5), "PW": (6.88, 12.8), "SW": (8.51, 6.7), "LW": (8.20, 4.4)}


@cache
def carry_and_run(hops_in_vacuum: bool = False) -> dict[str, tuple[float, float]]:
    """Carry and run [m] of a standard chip with each club on a level green of medium speed."""
    _, loft, lean, speed = zip(*CHIPS, strict=True)
    struck = launch(speed, np.radians(np.subtract(loft, lean)), math.radians(-3))
    played = play(
        (0, 0, 0),
        struck.velocity,
        struck.spin,
        ground=level_green(),
        green_deceleration=stimp_to_deceleration(MEDIUM_STIMP_FT),
    )
    finish = played.finished
    if hops_in_vacuum:
        finish = play_on(
            played.landed,
            played.landing_velocity,
            played.landing_spin,
            ground=level_green(),
            green_deceleration=stimp_to_deceleration(MEDIUM_STIMP_FT),
            air=NO_AIR,
        ).finished
    return {
        club: (float(landed), float(finished - landed))
        for (club, *_), landed, finished in zip(CHIPS, played.landed[:, 1], finish[:, 1], strict=True)
    }


def ratio(club: str) -> float:
    """Run over carry."""
    carry, run = carry_and_run()[club]
    return run / carry


def _clubs_out_of_order() -> float:
    ratios = [ratio(club) for club, *_ in CHIPS]
    return float(sum(later >= earlier for earlier, later in itertools.pairwise(ratios)))


def cases() -> Iterator[Case]:
    """Bands and order of run over carry; and the same chips worked out apart."""
    for club, band in BANDS.items():
        yield Case(
            what=f"run over carry, {club} chip, level green of medium speed",
            published=band,
            source="common practice, no printed source",
            seen=Seen.PRACTICE,
            compute=ratio,
            given=(club,),
        )
    yield Case(
        what="clubs whose run over carry is out of the order of lofts, 7i to LW",
        published=0,
        source="common practice, no printed source",
        seen=Seen.PRACTICE,
        compute=_clubs_out_of_order,
    )
    for club, (carry, run) in WORKED.items():
        for part, (name, value) in enumerate((("carry", carry), ("run", run))):
            yield Case(
                what=f"{name} of the {club} chip, hops in vacuum",
                published=value,
                tolerance=max(0.005 * value, 0.05),
                unit="m",
                source="the same equations worked out apart from this program",
                seen=Seen.INDEPENDENT,
                compute=lambda club, part: carry_and_run(hops_in_vacuum=True)[club][part],
                given=(club, part),
            )
