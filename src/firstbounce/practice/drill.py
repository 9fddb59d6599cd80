"""A drill as data: checked when it is made, so that a faulty file gives a list of its faults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from firstbounce.errors import FileFault, ParameterError
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
FEATURES = ("slope", "rough", "bare lie", "sand edge")  #: ground that a drill cannot do without
MARKS = ("ball", "hole", "spot", "circle", "stick", "tee", "line", "strip", "towel", "patch", "stand")
NAMES = ("carry", "half carry", "circle", "stick", "distance")  #: lengths that are computed for the player


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpMark:
    """Something on the ground: x right, y toward the target from the ball; a length or the name of one."""

    kind: str
    x: float | str = 0.0
    y: float | str = 0.0
    to_x: float | str = 0.0  #: other end of a line or strip
    to_y: float | str = 0.0
    size: float | str = 0.3  #: radius of a circle or patch, width of a strip or towel [m]
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One drill. Lengths in metres."""

    number: int
    name: str
    purpose: str
    faults: tuple[Fault, ...]
    stages: tuple[Stage, ...]
    equipment: tuple[str, ...]
    places: tuple[Place, ...]
    ground: tuple[str, ...] = ()  #: of FEATURES
    set_up: str  #: may hold {carry}, {circle}, {stick}, {distance}
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
    hits_balls: bool = True

    def __post_init__(self) -> None:
        problem = _nonsense(self)
        if problem:
            raise ParameterError(f"Drill {self.name!r}: {problem}.")


def _nonsense(drill: Drill) -> str | None:
    checks = {
        f"passes must be 1 to out_of ({drill.out_of}), got {drill.passes}": 1 <= drill.passes <= drill.out_of,
        f"carry_m needs 0 < shortest <= longest <= 60, got {drill.carry_m}": 0
        < drill.carry_m[0]
        <= drill.carry_m[1]
        <= 60,
        f"balls must be 1 to 60, got {drill.balls}": 1 <= drill.balls <= 60,
        f"minutes must be 1 to 40, got {drill.minutes:g}": 1 <= drill.minutes <= 40,
        f"circle_share must be 0 to 0.95, got {drill.circle_share:g}": 0 <= drill.circle_share <= 0.95,
        "it names no fault; give at least one": bool(drill.faults),
        "it has no caution; say at least who must stand where": bool(drill.caution.strip()),
        "it names no place; give green, grass or home": bool(drill.places),
        "it names no stage": bool(drill.stages),
    }
    return next((words for words, good in checks.items() if not good), None)


@dataclass(slots=True)
class _Reading:
    """One table of a drill file: values taken, faults noted."""

    table: Mapping[str, Any]
    where: str
    faults: list[FileFault] = field(default_factory=list)

    def fault(self, key: str, problem: str) -> None:
        self.faults.append(FileFault(line=None, column=f"{self.where}.{key}", problem=problem))

    def take(self, key: str, kind: type | tuple[type, ...], usual: Any = None) -> Any:
        value = self.table.get(key, usual)
        if value is None:
            self.fault(key, f"is missing; it must be {_kind_words(kind)}")
            return None
        if not isinstance(value, kind) or isinstance(value, bool) != (kind is bool):
            self.fault(key, f"must be {_kind_words(kind)}, got {value!r}")
            return None
        return value

    def text(self, key: str) -> str:
        value = self.take(key, str) or ""
        if key in self.table and not value.strip():
            self.fault(key, "is empty; say it in a few words")
        return value

    def words(self, key: str, allowed: tuple[str, ...], usual: list[str] | None = None) -> tuple[str, ...]:
        value = self.take(key, list, usual) or []
        wrong = [word for word in value if word not in allowed]
        for word in wrong:
            self.fault(key, f"{word!r} is not known; allowed are {', '.join(allowed)}")
        return tuple(word for word in value if word not in wrong)


def _kind_words(kind: type | tuple[type, ...]) -> str:
    said = {
        str: "text",
        int: "a whole number",
        list: "a list",
        (int, float): "a number",
        bool: "true or false",
    }
    return said.get(kind, "a value")  # type: ignore[call-overload,no-any-return]


KEYS = (*(Drill.__dataclass_fields__.keys() - {"marks"}), "mark")


def drill_of_table(table: Mapping[str, Any], where: str) -> tuple[Drill | None, list[FileFault]]:
    """A drill from one table of a drill file, or its faults (never both)."""
    reading = _Reading(table, where)
    for key in table:
        if key not in KEYS:
            reading.fault(key, f"this key is not known; known are {', '.join(sorted(KEYS))}")
    values = _values(reading)
    marks = [_mark(reading, i, one) for i, one in enumerate(reading.take("mark", list, []) or [])]
    if reading.faults:
        return None, reading.faults
    try:
        return Drill(marks=tuple(mark for mark in marks if mark), **values), []
    except ParameterError as error:
        return None, [FileFault(line=None, column=where, problem=str(error))]


def _values(reading: _Reading) -> dict[str, Any]:
    span = reading.take("carry_m", list) or [1.0, 1.0]
    if len(span) != 2 or not all(isinstance(end, (int, float)) for end in span):
        reading.fault("carry_m", f"must be two numbers, shortest and longest carry [m], got {span!r}")
        span = [1.0, 1.0]
    return {
        "number": reading.take("number", int),
        "carry_m": (float(span[0]), float(span[1])),
        "faults": tuple(Fault(word) for word in reading.words("faults", tuple(Fault))),
        "stages": tuple(Stage(word) for word in reading.words("stages", tuple(Stage))),
        "places": tuple(Place(word) for word in reading.words("places", tuple(Place))),
        "equipment": reading.words("equipment", EQUIPMENT),
        "ground": reading.words("ground", FEATURES, []),
        "minutes": reading.take("minutes", (int, float)),
        "circle_share": reading.take("circle_share", (int, float), 0.0),
        "hits_balls": reading.take("hits_balls", bool, True),
        **{key: reading.take(key, int) for key in ("balls", "out_of", "passes")},
        **{
            key: reading.text(key)
            for key in ("name", "purpose", "set_up", "score", "easier", "harder", "caution")
        },
    }


def _mark(reading: _Reading, i: int, table: Any) -> SetUpMark | None:
    key = f"mark[{i}]"
    if not isinstance(table, dict):
        reading.fault(key, "must be a table with kind, x and y")
        return None
    known = ("kind", "x", "y", "to_x", "to_y", "size", "words")
    before = len(reading.faults)
    for name, value in table.items():
        if name not in known:
            reading.fault(f"{key}.{name}", f"this key is not known; known are {', '.join(known)}")
        elif name not in ("kind", "words") and not _is_length(value):
            reading.fault(f"{key}.{name}", f"must be metres or one of {', '.join(NAMES)}, got {value!r}")
    if table.get("kind") not in MARKS:
        reading.fault(f"{key}.kind", f"{table.get('kind')!r} is not known; known are {', '.join(MARKS)}")
    return SetUpMark(**table) if len(reading.faults) == before else None


def _is_length(value: Any) -> bool:
    if isinstance(value, str):
        return value.lstrip("-") in NAMES
    return isinstance(value, (int, float)) and not isinstance(value, bool)
