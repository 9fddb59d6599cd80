"""A drill as data: what it is for, what it needs, how it is set up and scored. Read by `drill_file`."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from firstbounce.errors import ParameterError
from firstbounce.pictures.figure import SHOWS
from firstbounce.pictures.setup_signs import KINDS
from firstbounce.practice.lengths import BODY, NAMES, length_of, names_in
from firstbounce.words import Fault


class Stage(StrEnum):
    """How far the player is with a move."""

    NEW = "new move"
    GROOVING = "grooving"
    TESTING = "testing"
    PRESSURE = "pressure"


class Place(StrEnum):
    """Where a drill can be done."""

    GREEN = "green"  #: a practice green with grass around it
    GRASS = "grass"  #: any mown grass
    HOME = "home"  #: a garden or a mat with soft balls


EQUIPMENT = (
    "ball",
    "club",
    "putter",
    "several clubs",
    "soft ball",
    "towel",
    "chalk",
    "tees",
    "marker stick",
    "rope",
    "strips",
    "face spray",
    "metronome",
    "cone",
    "watering can",
)
ALWAYS_THERE = ("ball", "club")  #: nobody comes without
FEATURES = ("slope", "rough", "bare lie", "sand edge")  #: ground that a drill cannot do without
MARKS = KINDS
KNOWN_LENGTHS = dict.fromkeys((*NAMES, *BODY), 1.0)  #: to try an expression before a player is known


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpMark:
    """Something on the ground: x right, y toward the target from the ball; a length or a sum with names."""

    kind: str
    x: float | str = 0.0
    y: float | str = 0.0
    to_x: float | str = 0.0  #: other end of a line or strip
    to_y: float | str = 0.0
    size: float | str = 0.3  #: radius of a circle or patch, depth of a strip or towel [m]
    ground: str = ""  #: what a patch is
    words: str = ""  #: may hold lengths in braces

    def lengths(self) -> tuple[float | str, ...]:
        """All its lengths, as given."""
        return (self.x, self.y, self.to_x, self.to_y, self.size)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One drill. Lengths in metres; texts may hold lengths in braces, such as {carry}."""

    number: int
    name: str
    purpose: str
    faults: tuple[Fault, ...]
    stages: tuple[Stage, ...]
    equipment: tuple[str, ...]
    places: tuple[Place, ...]
    ground: tuple[str, ...] = ()  #: of FEATURES
    set_up: str
    carry_m: tuple[float, float]  #: shortest and longest for which it is meant
    balls: int  #: the usual dose
    minutes: float
    score: str  #: what counts as one success
    out_of: int  #: balls of one score sheet
    passes: int  #: successes that pass
    easier: str
    harder: str
    caution: str
    marks: tuple[SetUpMark, ...] = ()
    circle_share: float = 0.0  #: success the circle is sized for; 0 when there is no circle
    figure: str = ""  #: of pictures.figure.SHOWS, drawn face on
    figure_words: str = ""
    balls_a_try: int = 1  #: balls of one try that counts, such as a pair
    stroke: str = "chip"  #: what happens when a ball is hit: chip, chip and putt, or swing without a ball

    def __post_init__(self) -> None:
        problem = _nonsense(self)
        if problem:
            raise ParameterError(f"Drill {self.name!r}: {problem}.")

    @property
    def needs(self) -> tuple[str, ...]:
        """Equipment that is not there anyway."""
        return tuple(thing for thing in self.equipment if thing not in ALWAYS_THERE)

    @property
    def has_circle(self) -> bool:
        """Whether a rope circle is laid."""
        return self.circle_share > 0

    @property
    def has_strips(self) -> bool:
        """Whether strips are landed on, one after another."""
        return any("strip" in str(mark.size) for mark in self.marks)

    def texts(self) -> dict[str, str]:
        """Every text that may hold lengths, by its key."""
        keys = ("set_up", "score", "easier", "harder", "caution", "figure_words")
        return {key: getattr(self, key) for key in keys}


STROKES = ("chip", "chip and putt", "swing and chip")


def _nonsense(drill: Drill) -> str | None:
    low, high = drill.carry_m
    share = drill.circle_share
    checks = {
        f"number must be 1 or more, got {drill.number}": drill.number >= 1,
        f"out_of must be 1 to 60, got {drill.out_of}": 1 <= drill.out_of <= 60,
        f"passes must be 1 to out_of ({drill.out_of}), got {drill.passes}": 1 <= drill.passes <= drill.out_of,
        f"carry_m needs 0 < shortest <= longest <= 60, got {low:g} and {high:g}": 0 < low <= high <= 60,
        f"balls must be 1 to 60, got {drill.balls}": 1 <= drill.balls <= 60,
        f"balls_a_try must be 1 to 6, got {drill.balls_a_try}": 1 <= drill.balls_a_try <= 6,
        f"minutes must be 1 to 40, got {drill.minutes:g}": 1 <= drill.minutes <= 40,
        f"circle_share must be 0, or 0.1 to 0.95, got {share:g}": share == 0 or 0.1 <= share <= 0.95,
        "it names no fault; give at least one": bool(drill.faults),
        "it has no caution; say at least who must stand where": bool(drill.caution.strip()),
        "it names no place; give green, grass or home": bool(drill.places),
        "it names no stage": bool(drill.stages),
        "it has nothing to draw; give a mark or a figure": bool(drill.marks or drill.figure),
        f"figure {drill.figure!r} is not known; known are {', '.join(SHOWS)}": drill.figure in ("", *SHOWS),
        f"stroke {drill.stroke!r} is not known; known are {', '.join(STROKES)}": drill.stroke in STROKES,
        'the length "circle" needs a circle_share above 0': drill.has_circle
        or not uses_length(drill, "circle"),
    }
    return next((words for words, good in checks.items() if not good), None) or _bad_length(drill)


def uses_length(drill: Drill, name: str) -> bool:
    """Whether a length of that name stands in a text or a mark of the drill."""
    said = [one for text in drill.texts().values() for one in names_in(text)]
    said += [str(length) for mark in drill.marks for length in mark.lengths()]
    said += [one for mark in drill.marks for one in names_in(mark.words)]
    return any(name in expression.split() or name == expression.lstrip("-") for expression in said)


def _bad_length(drill: Drill) -> str | None:
    for key, text in drill.texts().items():
        for expression in names_in(text):
            try:
                length_of(expression, KNOWN_LENGTHS)
            except ParameterError as error:
                return f"{key}: {error}"
    return None
