"""The player's clubs: names as the trade writes them, with lofts.

Usual lofts are a middle-of-the-road set; there is no standard in the trade, so a loft that nobody
measured carries a standard deviation of 2 degrees [common practice; spread of sets from memory].
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from firstbounce.errors import ParameterError
from firstbounce.words import Source

USUAL_LOFT_DEG: dict[str, float] = {
    "hybrid": 24.0,
    "6i": 30.0,
    "7i": 34.0,
    "8i": 38.0,
    "9i": 42.0,
    "PW": 46.0,
    "GW": 50.0,
    "SW": 56.0,
    "LW": 60.0,
    "putter": 3.0,
}
USUAL_LOFT_SD_DEG = 2.0  #: of a loft taken from the table above [deg]
MEASURED_LOFT_SD_DEG = 0.5  #: of a loft read off the club or a loft gauge [deg], a choice
SHORT_GAME_CLUBS = ("7i", "8i", "9i", "PW", "GW", "SW", "LW", "putter")

_WEDGE_WORDS = {
    "PW": ("p", "pw", "pitchingwedge", "pitching"),
    "GW": ("g", "gw", "a", "aw", "gapwedge", "gap", "approachwedge"),
    "SW": ("s", "sw", "sandwedge", "sand", "sandiron"),
    "LW": ("l", "lw", "lobwedge", "lob"),
    "putter": ("pt", "putter", "putt"),
    "hybrid": ("h", "hy", "hybrid", "rescue"),
}
_NUMBER_WORDS = {"five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Club:
    """One club: its name, its loft and how well the loft is known."""

    name: str
    loft_deg: float
    loft_sd_deg: float = MEASURED_LOFT_SD_DEG
    source: Source = Source.MEASURED
    is_putter: bool = False

    def __post_init__(self) -> None:
        low, high = (0.0, 10.0) if self.is_putter else (15.0, 72.0)
        if not low <= self.loft_deg <= high:
            raise ParameterError(
                f"Club {self.name} has a loft of {self.loft_deg:g} degrees; "
                f"allowed are {low:g} to {high:g} degrees."
            )
        if not 0 <= self.loft_sd_deg <= 10:
            raise ParameterError(
                f"Club {self.name}: the sd of the loft must be 0 to 10 degrees, got {self.loft_sd_deg:g}."
            )


@dataclass(frozen=True, slots=True)
class Bag:
    """The clubs a player carries for the short game, in the order they are shown."""

    clubs: tuple[Club, ...]

    def __post_init__(self) -> None:
        names = [tidy_name(club.name) for club in self.clubs]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ParameterError(f"The bag has two clubs called {', '.join(twice)}; give each its own name.")
        if not names:
            raise ParameterError("The bag is empty; give at least one club.")

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all clubs, in order."""
        return tuple(club.name for club in self.clubs)

    @property
    def lofted(self) -> tuple[Club, ...]:
        """The clubs that chip and pitch: all but the putter."""
        return tuple(club for club in self.clubs if not club.is_putter)

    def club(self, name: str) -> Club:
        """The club of that name; "7 iron", "Sand Wedge" and "sw" are understood, and so is "56" (a loft)."""
        wanted = tidy_name(name)
        for club in self.clubs:
            if tidy_name(club.name) == wanted:
                return club
        for club in self.clubs:
            if _is_loft(name, club):
                return club
        raise ParameterError(f"No club called {name!r} in the bag; it holds {', '.join(self.names)}.")

    def __contains__(self, name: object) -> bool:
        try:
            self.club(str(name))
        except ParameterError:
            return False
        return True


def usual_club(name: str) -> Club:
    """A club with its usual loft (sd 2 degrees)."""
    tidy = tidy_name(name)
    if tidy not in USUAL_LOFT_DEG:
        raise ParameterError(f"No usual loft is known for {name!r}; known are {', '.join(USUAL_LOFT_DEG)}.")
    return Club(
        name=tidy,
        loft_deg=USUAL_LOFT_DEG[tidy],
        loft_sd_deg=USUAL_LOFT_SD_DEG,
        source=Source.PRIOR,
        is_putter=tidy == "putter",
    )


def usual_bag(names: tuple[str, ...] = SHORT_GAME_CLUBS) -> Bag:
    """A bag of usual clubs: 7-iron to lob wedge and the putter unless told otherwise."""
    return Bag(tuple(usual_club(name) for name in names))


def tidy_name(name: str) -> str:
    """The trade's short name for any usual way of writing a club; unknown names only lose blanks."""
    plain = re.sub(r"[^a-z0-9]", "", name.lower())
    for word, digit in _NUMBER_WORDS.items():
        plain = plain.replace(word, digit)
    iron = re.fullmatch(r"(?:iron|i)?([3-9])(?:iron|i|h)?", plain)
    if iron:
        return f"{iron[1]}{'h' if plain.endswith('h') else 'i'}"
    for short, words in _WEDGE_WORDS.items():
        if plain in words:
            return short
    return name.strip()


def _is_loft(name: str, club: Club) -> bool:
    loft = re.fullmatch(r"\s*(\d\d(?:\.\d+)?)\s*(?:°|deg|degrees?)?\s*", name)
    return loft is not None and not club.is_putter and abs(float(loft[1]) - club.loft_deg) < 0.5
