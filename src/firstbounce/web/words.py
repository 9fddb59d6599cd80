"""Numbers for people: lengths in the coach's unit, paces, chances as counts, days."""

from __future__ import annotations

import datetime

from firstbounce.planning.sentences import club_text
from firstbounce.units import LengthUnit, metres_to_feet, metres_to_yards

__all__ = ["Lengths", "balls", "club_text", "day_text", "out_of_ten", "paces"]


class Lengths:
    """Writes lengths in metres, or in yards with feet for short ones."""

    def __init__(self, unit: LengthUnit) -> None:
        self._yards = unit is LengthUnit.YARDS

    def long(self, length_m: float) -> str:
        """A length with its unit."""
        return f"{metres_to_yards(length_m):.1f} yd" if self._yards else f"{length_m:.1f} m"

    def small(self, length_m: float) -> str:
        """A short length: metres, or feet."""
        return f"{metres_to_feet(length_m):.1f} ft" if self._yards else f"{length_m:.1f} m"

    def span(self, low_m: float, high_m: float) -> str:
        """A range with its unit."""
        low, high = (metres_to_yards(x) if self._yards else x for x in (low_m, high_m))
        return f"{low:.1f} to {high:.1f} {'yd' if self._yards else 'm'}"


def paces(length_m: float, pace_m: float) -> str:
    """Whole paces, halves below three."""
    count = length_m / pace_m
    rounded = round(2 * count) / 2 if count < 3 else float(round(count))
    return f"{rounded:g} {'pace' if rounded == 1 else 'paces'}"


def balls(n: int) -> str:
    """A count of balls."""
    return "1 ball" if n == 1 else f"{n} balls"


def out_of_ten(share: float) -> str:
    """A chance as people say it."""
    tens = round(10 * share)
    return f"{tens} in 10" if 0 < tens < 10 else f"{round(100 * share)} in 100"


def day_text(when: datetime.date) -> str:
    """A day as people write it: 14 May 2026."""
    return f"{when.day} {when:%B %Y}"
