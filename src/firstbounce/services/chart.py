"""The chart: carry and run of each club for this player on today's green."""

from __future__ import annotations

import math
from collections.abc import Sequence

from firstbounce.fitting.result import Fit
from firstbounce.planning.chart import CARRIES_M, Chart, chart
from firstbounce.services.day import Day

SHORTEST_M, LONGEST_M = 1.0, 40.0  #: carries that a chart chooses by itself


def chart_day(day: Day, fit: Fit | None = None, carries_m: Sequence[float] = ()) -> Chart:
    """Run of every lofted club at each carry, on level ground of today's speed and firmness.

    Learned from balls when a fit of them is given. Without stated carries those that the stations ask for.
    """
    carries = tuple(sorted(set(carries_m))) or carries_that_matter(day)
    return chart(day.player, day.today, fit=fit, carries_m=carries)


def carries_that_matter(day: Day) -> tuple[float, ...]:
    """Quarter, half and three quarters of the way at the nearest and the farthest station, to half metres."""
    if not day.stations:
        return CARRIES_M
    ways = [math.dist(station.start, station.hole) for station in day.stations.values()]
    wanted = {share * way for way in (min(ways), max(ways)) for share in (0.25, 0.5, 0.75)}
    return tuple(sorted({min(max(round(2 * carry) / 2, SHORTEST_M), LONGEST_M) for carry in wanted}))
