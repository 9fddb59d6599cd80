"""Checks of circles, error scores and their precision, each also against SciPy."""

from __future__ import annotations

import math
from collections.abc import Iterator

from firstbounce.checks.case import Case, Seen
from firstbounce.players import scores
from firstbounce.players.circle import circle_chance, circle_radius_m

NOTES = "motor-control course notes: 93, 103, 99, 105, 96 about 100"
RAYLEIGH = "Rayleigh distribution"


def _upper_tail() -> float:
    from scipy.special import ndtr

    return float(1 - ndtr(1.0))


def _rice_difference() -> float:
    """Largest difference from SciPy's Rice distribution over radii and biases."""
    from scipy.stats import rice

    worst = 0.0
    for bias in (0.0, 0.5, 1.0, 2.0):
        for radius in (0.5, 1.2, 2.0, 3.0):
            ours = circle_chance(radius, along_m=1.0, across_m=1.0, bias_along_m=bias)
            worst = max(worst, abs(ours - float(rice.cdf(radius, bias))))
    return worst


def cases() -> Iterator[Case]:
    """Radii for a chance, unequal and biased circles, error scores."""
    for percent, radius in ((50, 1.1774), (70, 1.5518), (85, 1.9479)):
        yield Case(
            what=f"circle for {percent} % of round normal landings, over sigma",
            published=radius,
            tolerance=0.0005,
            source=RAYLEIGH,
            seen=Seen.IDENTITY,
            compute=lambda p: circle_radius_m(p / 100, along_m=1.0, across_m=1.0),
            given=(percent,),
        )
    yield Case(
        what="circle for 70 % with one sigma half the other, over the larger",
        published=1.185,
        tolerance=0.0006,
        source="quadrature of the unequal normal",
        seen=Seen.IDENTITY,
        compute=lambda: circle_radius_m(0.70, along_m=1.0, across_m=0.5),
    )
    yield Case(
        what="chance inside 1.1774 sigma with a bias of one sigma",
        published=0.3524,
        tolerance=0.0005,
        source="Rice distribution",
        seen=Seen.IDENTITY,
        compute=lambda: circle_chance(1.1774, along_m=1.0, across_m=1.0, bias_along_m=1.0),
    )
    yield Case(
        what="largest difference of biased circles from SciPy's Rice distribution",
        published=0.0,
        tolerance=1e-6,
        source="scipy.stats.rice",
        seen=Seen.INDEPENDENT,
        compute=_rice_difference,
    )
    for what, published, ours in (
        ("mean", 1.2533, scores.RAYLEIGH_MEAN),
        ("standard deviation", 0.6551, scores.RAYLEIGH_SD),
        ("coefficient of variation", 0.5227, scores.RAYLEIGH_SD / scores.RAYLEIGH_MEAN),
    ):
        yield Case(
            what=f"{what} of round normal misses, over sigma",
            published=published,
            tolerance=0.0001,
            source=RAYLEIGH,
            seen=Seen.IDENTITY,
            compute=lambda ours: ours,
            given=(ours,),
        )
    yield Case(
        what="share of normal errors beyond one sigma on one side",
        published=0.1587,
        tolerance=0.0001,
        source="normal distribution",
        seen=Seen.IDENTITY,
        compute=_upper_tail,
    )
    outcomes = [93, 103, 99, 105, 96]
    for what, published, tolerance, score in (
        ("constant error", -0.8, 0.005, scores.constant_error),
        ("variable error", 4.40, 0.005, scores.variable_error),
        ("total error", math.sqrt(20), 0.0005, scores.total_error),
    ):
        yield Case(
            what=what,
            published=published,
            tolerance=tolerance,
            source=NOTES,
            seen=Seen.READ,
            compute=lambda score: score(outcomes, 100),
            given=(score,),
        )
    yield Case(
        what="standard error of the mean miss of 30 balls",
        published=9.54,
        tolerance=0.01,
        unit="%",
        source=RAYLEIGH,
        seen=Seen.IDENTITY,
        compute=lambda: 100 * scores.mean_miss_standard_error(30),
    )
