"""Lengths as rope, tees and feet show them: paces, clubs, shoes, hands and fingers; no drill needs a tape.

A length of a drill is metres, or a sum of lengths with names: "carry", "0.5 distance", "carry - 2 step",
"1 shoe". Names of what is computed for a player are NAMES, names of what people carry with them are BODY.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from firstbounce.errors import ParameterError
from firstbounce.units import LengthUnit, metres_to_feet, metres_to_yards

PACE_M = 0.9  #: a walking coach's pace when nobody states another [choice]
CLUB_M = 0.9  #: a wedge, grip to sole [m], common practice
SHOE_M = 0.3  #: an adult's golf shoe, outside [m], choice
HAND_M = 0.1  #: a hand across, thumb and all [m], choice
FINGER_M = 0.02  #: a finger across [m], choice
PACED_FROM = 2  #: lengths of this many paces and more are paced, shorter ones laid out
ROPED = ("circle", "strip")  #: lengths laid with a rope or a club however long they are

NAMES = ("carry", "distance", "low", "circle", "stick", "step", "strip")
BODY = ("pace", "club", "shoe", "hand", "finger")
HALF = "½"

_TERM = re.compile(r"\s*([+-])?\s*(\d+(?:\.\d+)?)?\s*([a-z]+)?\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A length as it is laid on the ground."""

    length_m: float  #: after rounding to what can be shown
    steps: str  #: "12 paces", "1 club and 4 hands"
    said: str  #: the same in metres, or in yards or feet

    @property
    def words(self) -> str:
        """Both, such as "12 paces (10.8 m)"."""
        return f"{self.steps} ({self.said})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Yardsticks:
    """What a coach measures with. Lengths [m]; the unit is for the words only."""

    unit: LengthUnit = LengthUnit.METRES
    pace_m: float = PACE_M
    club_m: float = CLUB_M
    shoe_m: float = SHOE_M
    hand_m: float = HAND_M

    def __post_init__(self) -> None:
        bounds = {"pace": (0.3, 1.5), "club": (0.5, 1.3), "shoe": (0.15, 0.45), "hand": (0.05, 0.15)}
        for name, (low, high) in bounds.items():
            length = getattr(self, f"{name}_m")
            if not low <= length <= high:
                raise ParameterError(
                    f"The length of a {name} must be {low:g} to {high:g} m, got {length:g} m."
                )

    def body(self) -> dict[str, float]:
        """Lengths of BODY by name [m]."""
        own = (self.pace_m, self.club_m, self.shoe_m, self.hand_m, FINGER_M)
        return dict(zip(BODY, own, strict=True))

    def laid(self, length_m: float, *, roped: bool = False) -> Laid:
        """The nearest length that can be shown; `roped`: never in paces. ParameterError below 0 m."""
        if not (math.isfinite(length_m) and length_m >= 0):
            raise ParameterError(f"A length to lay out must be 0 m or more, got {length_m:g} m.")
        if not roped and length_m >= PACED_FROM * self.pace_m - 1e-9:
            halves = round(2 * length_m / self.pace_m)
            return self._made(halves * self.pace_m / 2, _halves(halves, "pace"))
        if length_m >= 0.8 * self.hand_m:
            return self._made(*self._laid_out(length_m))
        fingers = max(round(length_m / FINGER_M), 1)
        return self._made(fingers * FINGER_M, _count(fingers, "finger"))

    def _laid_out(self, length_m: float) -> tuple[float, str]:
        """Whole clubs, and the rest in shoes where they fit as well as hands do."""
        clubs = int((length_m + self.hand_m / 2) // self.club_m)
        rest = max(length_m - clubs * self.club_m, 0.0)
        hands, shoes = round(rest / self.hand_m), round(rest / self.shoe_m)
        by_shoe = shoes and abs(rest - shoes * self.shoe_m) < abs(rest - hands * self.hand_m) + 0.015
        part_m = shoes * self.shoe_m if by_shoe else hands * self.hand_m
        if part_m > self.club_m - self.hand_m / 2:
            clubs, part_m = clubs + 1, 0.0
        parts = [_count(clubs, "club")] if clubs else []
        if part_m:
            parts.append(_count(shoes, "shoe") if by_shoe else _count(hands, "hand"))
        return clubs * self.club_m + part_m, " and ".join(parts)

    def _made(self, length_m: float, steps: str) -> Laid:
        return Laid(length_m=length_m, steps=steps, said=self.said(length_m))

    def said(self, length_m: float) -> str:
        """A length in the coach's unit: metres, or yards with feet for short ones."""
        if self.unit is LengthUnit.METRES:
            return f"{length_m:.1f} m" if length_m >= 0.095 else f"{100 * length_m:.0f} cm"
        if length_m >= PACED_FROM * self.pace_m - 1e-9:
            return f"{metres_to_yards(length_m):.1f} yd"
        feet = metres_to_feet(length_m)
        return f"{feet:.1f} ft" if feet >= 1 else f"{12 * feet:.0f} in"


def length_of(expression: float | str, lengths: Mapping[str, float]) -> float:
    """The length [m] of an expression. ParameterError says what in it is not understood."""
    if isinstance(expression, (int, float)):
        return float(expression)
    total, at = 0.0, 0
    while at < len(expression):
        found = _TERM.match(expression, at)
        if not found or not (found[2] or found[3]) or (at and not found[1]):
            raise ParameterError(_not_understood(expression, lengths))
        if found[3] and found[3] not in lengths:
            raise ParameterError(_not_understood(expression, lengths))
        size = float(found[2] or 1) * (lengths[found[3]] if found[3] else 1.0)
        total += -size if found[1] == "-" else size
        at = found.end()
    if not expression.strip():
        raise ParameterError(_not_understood(expression, lengths))
    return total


def _not_understood(expression: str, lengths: Mapping[str, float]) -> str:
    return (
        f'{expression!r} is not a length; give metres, or a sum such as "carry - 2 step" of '
        f"{', '.join(lengths)}"
    )


def fill(text: str, lengths: Mapping[str, float], yardsticks: Yardsticks, *, short: bool = False) -> str:
    """The text with every {length} written as it is laid out; `short` leaves the metres away."""

    def one(found: re.Match[str]) -> str:
        laid = yardsticks.laid(abs(length_of(found[1], lengths)), roped=found[1].strip() in ROPED)
        return laid.steps if short else laid.words

    return re.sub(r"\{([^{}]*)\}", one, text)


def names_in(text: str) -> list[str]:
    """The expressions in braces of a text."""
    return re.findall(r"\{([^{}]*)\}", text)


def _count(n: int, one: str) -> str:
    return f"{n} {one}" if n == 1 else f"{n} {one}s"


def _halves(n: int, one: str) -> str:
    whole = n // 2
    return f"{whole}{HALF} {one}s" if n % 2 else _count(whole, one)
