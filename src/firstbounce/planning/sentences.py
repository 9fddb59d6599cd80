"""What a plan says in plain coach words. No number here decides anything; it only puts results into words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from firstbounce.planning.result import Certainty, Misses
from firstbounce.units import LengthUnit, metres_to_yards

Say = Callable[[float], str]  #: a length [m] as people say it

SIDE_MATTERS = 0.08  #: strokes by which one side must be dearer before it is worth a word [choice]
SURE, LIKELY = 0.95, 0.75  #: chances from which a choice is called sure, likely [choice]


@dataclass(frozen=True, slots=True)
class Parts:
    """Where the strokes of a choice come from, and how far its clean strikes end from the hole."""

    mishit: float  #: strokes through mishits, share counted
    off_green: float  #: through clean strikes that finish off the green
    putts: float  #: through clean strikes that finish on the green
    leave: float  #: median distance left by clean strikes [m]


def length_text(length: float, unit: LengthUnit) -> str:
    """A length [m] for people: halves below 5, whole numbers above."""
    value = metres_to_yards(length) if unit is LengthUnit.YARDS else length
    rounded = round(value * 2) / 2 if value < 5 else float(round(value))
    if unit is LengthUnit.METRES:
        return f"{rounded:g} m"
    return f"{rounded:g} yard" if rounded == 1 else f"{rounded:g} yards"


def paces_text(length: float, pace: float) -> str:
    """A length [m] in paces of `pace` [m]: halves below 3, whole numbers above."""
    value = length / pace
    rounded = round(value * 2) / 2 if value < 3 else float(round(value))
    if rounded <= 0.5:
        return "half a pace"
    return "1 pace" if rounded == 1 else f"{rounded:g} paces"


def paces_range_text(low: float, high: float, pace: float) -> str:
    """A range of lengths [m] in whole paces, outward."""
    from_, to = max(int(low / pace), 0), max(int(-(-high // pace)), 1)
    return f"{from_} to {to} paces"


def club_text(club: str) -> str:
    """A club as a coach says it inside a sentence."""
    words = {
        "PW": "pitching wedge",
        "GW": "gap wedge",
        "SW": "sand wedge",
        "LW": "lob wedge",
    }
    if club in words:
        return words[club]
    return f"{club[:-1]}-iron" if len(club) == 2 and club[0].isdigit() and club[1] == "i" else club


def landing_text(carry: float, edge: float | None, say: Say) -> str:
    """Where to land it, told from the edge of the green that is `edge` [m] from the start."""
    if edge is None or edge <= 0.3:
        return f"{say(carry)} away"
    past = carry - edge
    if abs(past) < 0.25:
        return "on the edge of the green"
    side = "onto the green" if past > 0 else "short of the green"
    return f"{say(abs(past))} {side}"


def lead(club: str, is_putt: bool, landing: str, run: float, say: Say) -> str:
    """The instruction itself."""
    if is_putt:
        return "Putt it from here"
    if run < 0.75:
        return f"Take the {club_text(club)} and land it {landing}, where it all but stops"
    return f"Take the {club_text(club)}, land it {landing} and let it run about {say(run)}"


def cause(first: Parts, other: Parts, other_club: str, other_is_putt: bool) -> str:
    """Why the first is better than the other: the largest part of the difference."""
    name = "a putt" if other_is_putt else f"the {club_text(other_club)}"
    gains = {
        "mishit": other.mishit - first.mishit,
        "off": other.off_green - first.off_green,
        "putts": other.putts - first.putts,
    }
    largest = max(gains, key=lambda key: gains[key])
    if largest == "mishit":
        return f"a heavy or thin strike costs less than with {name}"
    if largest == "off":
        return f"fewer balls miss the green than with {name}"
    if other.leave - first.leave > 0.1:
        return f"it leaves shorter putts than {name}"
    return f"it leaves easier putts than {name}"


def reason_text(head: str, equals: Sequence[str], why: str) -> str:
    """One sentence: what to do, and why; equal choices are said to be equal."""
    if equals:
        names = _list_text(["the putter" if e == "putter" else f"the {club_text(e)}" for e in equals])
        verb = "is" if len(equals) == 1 else "are"
        return f"{head}; {names} {verb} just as good here, so take the one you trust most."
    return f"{head}: {why}." if why else f"{head}."


def _list_text(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def advice_text(misses: Misses) -> str:
    """Which miss to prefer, when one side is clearly dearer; else nothing."""
    parts = []
    if abs(misses.short - misses.long) >= SIDE_MATTERS:
        parts.append("long rather than short" if misses.short > misses.long else "short rather than long")
    if abs(misses.left - misses.right) >= SIDE_MATTERS:
        parts.append("right rather than left" if misses.left > misses.right else "left rather than right")
    return f"Miss {' and '.join(parts)}." if parts else ""


def certainty_of(chance: float) -> Certainty:
    """How sure a statement is, in the word that people see."""
    if chance >= SURE:
        return "sure"
    return "likely" if chance >= LIKELY else "hunch"


def warning_text(stays: float, head: str) -> str:
    """Nothing stops on the green: say so, and name the least bad."""
    return (
        f"No club can be expected to stop on the green from here: the best of them stays on about"
        f" {round(10 * stays):d} times in ten. Least bad: {head[0].lower()}{head[1:]}."
    )
