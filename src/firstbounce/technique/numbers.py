"""The numbers of a result with their errors, as records, progress and guides read them back from its JSON.

The JSON is that of `report.watched_tree` (docs/technique.md shows it). `format` grows when a key changes its
meaning; new keys may come at any time and unknown ones are left alone.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from firstbounce.errors import ParameterError
from firstbounce.technique.measures import INTERVAL

FORMAT: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One measure: value with a 90 % interval in its unit, or the reason why there is none.

    at_least: the clip ended first, the true value is `value` or more, and there is no `high`.
    """

    name: str
    unit: str
    value: float | None
    low: float | None
    high: float | None
    at_least: bool = False
    refusal: str = ""
    swings: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingNumbers:
    """One swing: hand of the player (left or right), time of the strike [s], measures, verdicts by item."""

    hand: str
    strike_s: float
    numbers: Mapping[str, Number]
    verdicts: Mapping[str, str]


def numbers_from_tree(tree: Mapping[str, Any]) -> tuple[SwingNumbers, ...]:
    """The swings of a result. ParameterError when it is not one or of a newer format."""
    try:
        if int(tree["format"]) > FORMAT:
            newer = tree["format"]
            raise ParameterError(f"This technique result has format {newer}; {FORMAT} is the newest known.")
        return tuple(_swing(swing) for swing in tree["swings"])
    except (KeyError, TypeError, ValueError, AttributeError) as broken:
        if isinstance(broken, ParameterError):
            raise
        raise ParameterError("This is not a technique result: it needs format and swings.") from broken


def over_swings(swings: Sequence[SwingNumbers], name: str) -> Number | None:
    """The mean of one measure over the swings that have it; None when none has.

    The camera's error is taken as common to all swings, so only the player's own scatter shrinks with their
    number. Swings that give a least value only are left out.
    """
    found = [swing.numbers[name] for swing in swings if name in swing.numbers]
    known = [n for n in found if n.value is not None and n.low is not None and n.high is not None]
    if not known:
        return None
    values = [float(n.value) for n in known if n.value is not None]
    mean = math.fsum(values) / len(values)
    camera = math.fsum(float(n.high or 0) - float(n.low or 0) for n in known) / len(known) / 2
    spread = math.fsum((v - mean) ** 2 for v in values) / max(len(values) - 1, 1) / len(values)
    half = math.hypot(camera, INTERVAL * math.sqrt(spread))
    return Number(
        name=name, unit=known[0].unit, value=mean, low=mean - half, high=mean + half, swings=len(values)
    )


def _swing(tree: Mapping[str, Any]) -> SwingNumbers:
    numbers = [
        Number(
            name=m["name"],
            unit=m["unit"],
            value=m["value"],
            low=m["low"],
            high=m["high"],
            at_least=bool(m["at_least"]),
            refusal=m["refusal"] or "",
        )
        for m in tree["measures"]
    ]
    return SwingNumbers(
        hand=tree["hand"],
        strike_s=float(tree["moments"]["strike_s"]),
        numbers={number.name: number for number in numbers},
        verdicts={one["item"]: one["verdict"] for one in tree["judged"]},
    )
