"""A green of a day from above, with its height lines, before any ball is on it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from firstbounce.pictures.green import green_view
from firstbounce.services.day import Day
from firstbounce.services.pictures import conditions, green_around, measure_of
from firstbounce.units import LengthUnit
from firstbounce.words import Point, Station


@lru_cache(maxsize=16)
def green_picture(day: Day, unit: LengthUnit) -> str:
    """The green with its areas and height lines, as SVG; ball and hole stand at its near and far end."""
    corners = np.array(day.file.green.outline)
    low, high = corners.min(axis=0), corners.max(axis=0)
    middle = float((low[0] + high[0]) / 2)
    depth = float(high[1] - low[1])
    near, far = Point(middle, float(low[1] - 2.0)), Point(middle, float(low[1] + 0.6 * depth))
    station = next(iter(day.stations.values()), Station(name=day.file.green.name, start=near, hole=far))
    day = replace(day, stations={station.name: station})  # a slope known as a word runs along this line
    return green_view(
        green_around(day, station, title=station.name, measure=measure_of(unit), note=conditions(day))
    )
