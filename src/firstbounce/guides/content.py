"""What goes into a guide: the answers of plan, chart, review and drills, and the coach's own words."""

from __future__ import annotations

from dataclasses import dataclass, field

from firstbounce.errors import ParameterError
from firstbounce.guides.basis import Basis
from firstbounce.guides.blocks import Paper
from firstbounce.guides.coach import LONGEST_NAME, Coach, checked_text
from firstbounce.guides.lengths import Lengths, date_words
from firstbounce.planning.chart import Chart
from firstbounce.planning.result import Plan
from firstbounce.practice.set_up import SetUp
from firstbounce.words import Level, Station

LONGEST_SENTENCE = 300  #: letters of one thing that the coach writes
MOST_SAW, MOST_DRILLS = 5, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What the coach says: what we saw, one aim, the next goal."""

    saw: tuple[str, ...] = ()
    aim: str = ""
    goal: str = ""

    def __post_init__(self) -> None:
        if len(self.saw) > MOST_SAW:
            raise ParameterError(f"A guide says at most {MOST_SAW} things that we saw, got {len(self.saw)}.")
        for one in self.saw:
            checked_text(one, "what we saw", LONGEST_SENTENCE)
        checked_text(self.aim, "the aim", LONGEST_SENTENCE)
        checked_text(self.goal, "the goal", LONGEST_SENTENCE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A picture with what it shows in words."""

    svg: str
    alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """The plan of one station, drawn from above."""

    plan: Plan
    picture: Drawn
    note: str = ""  #: what green it is planned on, when that is not the player's


@dataclass(frozen=True, slots=True, kw_only=True)
class Charted:
    """The chart, and its bars at one carry."""

    chart: Chart
    picture: Drawn
    bars_carry_m: float  #: carry of the bars


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Everything that a guide may tell. What is missing is left out of the guide."""

    coach: Coach = field(default_factory=Coach)
    lengths: Lengths = field(default_factory=Lengths)
    player: str = ""
    level: Level
    basis: Basis
    lesson: Lesson = field(default_factory=Lesson)
    theme: str = ""
    shot: Shot | None = None
    charted: Charted | None = None
    drills: tuple[SetUp, ...] = ()
    by_level: tuple[tuple[Level, tuple[SetUp, ...]], ...] = ()  #: the same drills for other levels
    station: Station | None = None
    link: str = ""
    paper: Paper = Paper.A4

    def __post_init__(self) -> None:
        checked_text(self.player, "the player's name", LONGEST_NAME)
        checked_text(self.theme, "the theme", LONGEST_NAME)
        if len(self.drills) > MOST_DRILLS:
            raise ParameterError(f"A guide holds at most {MOST_DRILLS} drills, got {len(self.drills)}.")

    def names(self) -> dict[str, str]:
        """What the names in braces of a template stand for."""
        return {
            "player": self.player or "Your guide",
            "coach": self.coach.name or "your coach",
            "date": date_words(self.basis.day),
            "pace": self.lengths.pace_words(),
            "station": self.station.name if self.station else "",
            "level": str(self.level),
            "theme": self.theme or "Chips and pitches",
        }
