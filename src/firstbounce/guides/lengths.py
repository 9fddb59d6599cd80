"""Numbers in a player's words: lengths in the coach's unit, paces, give or take in steps, dates, balls."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass

from firstbounce.errors import ParameterError
from firstbounce.planning.result import Span
from firstbounce.planning.sentences import length_text, paces_text
from firstbounce.units import METRES_PER_INCH, LengthUnit

USUAL_PACE_M = 0.9  #: one pace of a grown person, unless the coach says another [m]
SHORTEST_PACE_M, LONGEST_PACE_M = 0.4, 1.3  #: nobody paces outside these [m]
GUESS_SHARE = 0.6  #: give or take more than this share of a value is called a rough guess, a choice
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """Says lengths in metres or yards, and in paces of a stated length [m]."""

    unit: LengthUnit = LengthUnit.METRES
    pace_m: float = USUAL_PACE_M

    def __post_init__(self) -> None:
        if not SHORTEST_PACE_M <= self.pace_m <= LONGEST_PACE_M:
            raise ParameterError(
                f"A pace must be {SHORTEST_PACE_M:g} to {LONGEST_PACE_M:g} m long, got {self.pace_m:g} m."
            )

    def far(self, length_m: float) -> str:
        """A carry or a run: halves below 5, whole numbers above, as in every plan."""
        return length_text(length_m, self.unit)

    def near(self, length_m: float) -> str:
        """A length laid out on the ground: to 5 cm below 1 m and 10 cm above, or to an inch."""
        if self.unit is LengthUnit.YARDS:
            return _feet(length_m)
        if length_m < 0.995:
            return f"{5 * round(length_m * 20)} cm"
        return f"{length_m:.1f}".removesuffix(".0") + " m"

    def paces(self, length_m: float) -> str:
        """A length in paces: halves below 3, whole numbers above."""
        return paces_text(length_m, self.pace_m)

    def both(self, length_m: float) -> str:
        """A carry or a run with its paces."""
        return f"{self.far(length_m)} ({self.paces(length_m)})"

    def steps(self, span: Span) -> str:
        """How sure a length [m] is: half of what it likely lies between, in steps."""
        half = (span.high - span.low) / 2
        if half > GUESS_SHARE * abs(span.value) and half > self.pace_m:
            return "a rough guess"
        steps = max(round(half / self.pace_m * 2) / 2, 0.5)
        if steps == 0.5:
            return "give or take half a step"
        whole = math.ceil(steps - 0.25) if steps > 1 else 1
        return f"give or take {whole} step{'' if whole == 1 else 's'}"

    def pace_words(self) -> str:
        """What a pace is."""
        length = f"{self.pace_m:g} m"
        if self.unit is LengthUnit.YARDS:
            length = f"{self.pace_m / METRES_PER_INCH:.0f} inches"
        return f"One pace or step here is {length}."


def _feet(length_m: float) -> str:
    inches = round(length_m / METRES_PER_INCH)
    feet, rest = divmod(inches, 12)
    if not feet:
        return f"{rest} in"
    return f"{feet} ft" if not rest else f"{feet} ft {rest} in"


def date_words(day: datetime.date | None) -> str:
    """A date that nobody can misread; empty for none."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}" if day else ""


def balls_words(balls: int) -> str:
    """A count of balls."""
    return "1 ball" if balls == 1 else f"{balls:,} balls"
