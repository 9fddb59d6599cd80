"""What a practice session is asked for, and what each stage of learning asks of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from firstbounce.errors import ParameterError
from firstbounce.practice.drill import ALWAYS_THERE, EQUIPMENT, FEATURES, Drill, Place, Stage
from firstbounce.words import Fault


class Order(StrEnum):
    """How the balls of a block follow each other."""

    BLOCKED = "blocked"  #: the same ball again and again
    SERIAL = "serial"  #: a few kinds in turn, three balls of each
    RANDOM = "random"  #: another kind each ball, by lot


class Source(StrEnum):
    """Who named a fault."""

    REVIEW = "review"
    TECHNIQUE = "technique"
    COACH = "coach"


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRule:
    """What a stage asks of its blocks. Common practice; the blocked-serial-random order is the safest default
    (Porter 2008; Porter & Magill 2010, read: abstracts)."""

    orders: tuple[Order, ...]  #: of the first block, the second and all later ones
    success: float | None  #: of all balls, that circles are sized for; None: the drill's own
    own_centre: bool  #: circles about the own centre (consistency), not about the spot
    feedback: str
    focus: str


STAGE_RULES: dict[Stage, StageRule] = {
    Stage.NEW: StageRule(
        orders=(Order.BLOCKED,),
        success=0.8,
        own_centre=True,
        feedback="after every ball at first, then after every second one",
        focus="the body or the club, one thought",
    ),
    Stage.GROOVING: StageRule(
        orders=(Order.BLOCKED, Order.SERIAL),
        success=0.7,
        own_centre=True,
        feedback="only when a ball is outside the circle",
        focus="the club, or the landing spot",
    ),
    Stage.TESTING: StageRule(
        orders=(Order.RANDOM,),
        success=None,
        own_centre=False,
        feedback="none until the end",
        focus="the landing spot and the flight",
    ),
    Stage.PRESSURE: StageRule(
        orders=(Order.SERIAL, Order.RANDOM),
        success=0.55,
        own_centre=False,
        feedback="the score only",
        focus="the target",
    ),
}

#: What can stand in for something that is not there; () is always at hand.
STAND_INS: dict[str, tuple[tuple[str, str], ...]] = {
    "soft ball": (("towel", "a rolled towel"),),
    "rope": (("tees", "a ring of tees"), ("strips", "a ring of flat strips")),
    "cone": (("", "a headcover"),),
    "metronome": (("", "counting aloud"),),
    "strips": (("rope", "pieces of rope"),),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A fault to work on, and who named it."""

    fault: Fault
    source: Source = Source.COACH


class NamesFaults(Protocol):
    """A verdict of a review."""

    @property
    def faults(self) -> tuple[Fault, ...]: ...


class NamesFault(Protocol):
    """A verdict on one item of technique."""

    @property
    def fault(self) -> Fault | None: ...


def wishes_of_review(verdicts: Iterable[NamesFaults]) -> tuple[Wish, ...]:
    """The faults that reviews name, in their order, each once."""
    named = dict.fromkeys(fault for verdict in verdicts for fault in verdict.faults)
    return tuple(Wish(fault=fault, source=Source.REVIEW) for fault in named)


def wishes_of_technique(judged: Iterable[NamesFault]) -> tuple[Wish, ...]:
    """The faults that failed items of technique name, each once."""
    named = dict.fromkeys(one.fault for one in judged if one.fault is not None)
    return tuple(Wish(fault=fault, source=Source.TECHNIQUE) for fault in named)


FEWEST_MINUTES, MOST_MINUTES = 10, 180
FEWEST_BALLS, MOST_BALLS = 6, 300
MOST_PLAYERS = 18  #: six stations of three


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One session asked for. ParameterError names what is out of range."""

    minutes: int
    balls: int  #: that each player hits at most
    wishes: tuple[Wish, ...]  #: the most important first
    stage: Stage = Stage.GROOVING
    equipment: tuple[str, ...] = EQUIPMENT
    place: Place = Place.GREEN
    ground: tuple[str, ...] = ()  #: of FEATURES, there
    carry_m: float | None = None
    players: int = 1
    adults: int = 1  #: who supervise, the coach among them
    youngest: int | None = None  #: age of the youngest player; None: all are adults
    room_paces: float | None = None  #: width along which players can stand; None: enough

    def __post_init__(self) -> None:
        _whole("minutes", self.minutes, FEWEST_MINUTES, MOST_MINUTES)
        _whole("balls", self.balls, FEWEST_BALLS, MOST_BALLS)
        _whole("players", self.players, 1, MOST_PLAYERS)
        _whole("adults", self.adults, 1, 20)
        if self.youngest is not None:
            _whole("youngest", self.youngest, 4, 99)
        if not self.wishes:
            raise ParameterError(f"Name at least one fault to work on: {', '.join(Fault)}.")
        if self.carry_m is not None and not 0.5 <= self.carry_m <= 60:
            raise ParameterError(f"A chip carries 0.5 to 60 m, got {self.carry_m:g} m.")
        if self.room_paces is not None and not 3 <= self.room_paces <= 200:
            raise ParameterError(f"The room must be 3 to 200 paces wide, got {self.room_paces:g}.")
        _known("equipment", self.equipment, EQUIPMENT)
        _known("ground", self.ground, FEATURES)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults, each once, in their order."""
        return tuple(dict.fromkeys(wish.fault for wish in self.wishes))

    def source_of(self, fault: Fault) -> Source:
        """Who named a fault first."""
        return next(wish.source for wish in self.wishes if wish.fault is fault)

    def stand_in(self, thing: str) -> str | None:
        """How a thing is to hand: "" as itself, words for what stands in, None not at all."""
        if thing in (*self.equipment, *ALWAYS_THERE):
            return ""
        for needed, words in STAND_INS.get(thing, ()):
            if not needed or needed in self.equipment:
                return words
        return None

    def lacks(self, drill: Drill) -> tuple[str, ...]:
        """What a drill needs that is neither there nor can be stood in for."""
        things = [thing for thing in drill.needs if self.stand_in(thing) is None]
        lies = [feature for feature in drill.ground if feature not in self.ground]
        place = [] if self.place in drill.places else [f"a place like {drill.places[0]}"]
        return (*place, *lies, *things)


def _whole(name: str, value: int, low: int, high: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ParameterError(f"The number of {name} must be a whole number {low} to {high}, got {value!r}.")


def _known(name: str, given: tuple[str, ...], known: tuple[str, ...]) -> None:
    wrong = [thing for thing in given if thing not in known]
    if wrong:
        raise ParameterError(f"Not known as {name}: {', '.join(wrong)}; known are {', '.join(known)}.")
