"""What a plan says, as frozen records of plain numbers. `to_dict` has the unit in every key."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from firstbounce.words import Circle, Point, Station

Certainty = Literal["hunch", "likely", "sure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A value with its 90 % interval; the unit is that of the field that holds it."""

    value: float
    low: float
    high: float

    def to_dict(self, unit: str = "") -> dict[str, float]:
        end = f"_{unit}" if unit else ""
        return {f"value{end}": self.value, f"low{end}": self.low, f"high{end}": self.high}


@dataclass(frozen=True, slots=True, kw_only=True)
class Misses:
    """What a clean strike that lands off the spot costs more than one on it [strokes], by side.

    Short, long, left and right are the balls more than half a spread off on that side; a mishit is the
    average heavy or thin one.
    """

    short: float
    long: float
    left: float
    right: float
    mishit: float

    def to_dict(self) -> dict[str, float]:
        return {
            "short_strokes": self.short,
            "long_strokes": self.long,
            "left_strokes": self.left,
            "right_strokes": self.right,
            "mishit_strokes": self.mishit,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloud:
    """Balls for a picture: where each landed and finished, and whether it was a mishit."""

    landed: tuple[Point, ...]
    finished: tuple[Point, ...]
    mishit: tuple[bool, ...]

    def to_dict(self) -> dict[str, Any]:
        return {
            "landed_m": [list(p) for p in self.landed],
            "finished_m": [list(p) for p in self.finished],
            "mishit": list(self.mishit),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class PathPoint:
    """One moment of the typical ball: time, place, height, and what it is doing there."""

    t_s: float
    x_m: float
    y_m: float
    z_m: float
    phase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One club with its best landing spot (for a putt: where to aim, and its pace)."""

    club: str
    is_putt: bool
    spot: Point  #: landing spot; for a putt the place on the ground to aim over, level with the hole
    circle: Circle | None  #: holds 70 % of this player's clean strikes; None for a putt
    carry_m: Span  #: start to landed, clean strikes; 0 for a putt
    run_m: Span  #: landed to finished along the ground plan, clean strikes, ball by ball
    mean_run_m: Span  #: the average run, and how well it is known
    putt_length_m: float | None  #: the pace of a putt: how far it would roll on the level green
    strokes: Span  #: expected strokes to hole out, this one included, and how well that is known
    behind: float  #: strokes behind the first choice on common draws
    behind_error: float  #: numerical standard error of that difference
    beaten: float  #: chance that the first choice is really the better of the two, given what is known, 0..1
    equal: bool  #: cannot be told from the first choice
    up_and_down: float  #: chance to be in the hole in two strokes or fewer, 0..1
    holed: float  #: chance that this stroke is holed, 0..1
    on_green: float  #: chance that the ball finishes on the green or in the hole, 0..1
    leave_m: float  #: median distance left to the hole
    mishit_share: float
    misses: Misses
    advice: str  #: which miss to prefer, one sentence; empty when no side is better
    cloud: Cloud
    path: tuple[PathPoint, ...]
    draws: int  #: balls played for it

    def to_dict(self) -> dict[str, Any]:
        return {
            "club": self.club,
            "is_putt": self.is_putt,
            "spot_m": list(self.spot),
            "circle": None
            if self.circle is None
            else {"centre_m": list(self.circle.centre), "radius_m": self.circle.radius_m, "share": 0.7},
            "carry": self.carry_m.to_dict("m"),
            "run": self.run_m.to_dict("m"),
            "mean_run": self.mean_run_m.to_dict("m"),
            "putt_length_m": self.putt_length_m,
            "strokes": self.strokes.to_dict(),
            "behind_strokes": self.behind,
            "behind_error_strokes": self.behind_error,
            "first_choice_better_chance": self.beaten,
            "equal_to_first": self.equal,
            "up_and_down_chance": self.up_and_down,
            "holed_chance": self.holed,
            "on_green_chance": self.on_green,
            "leave_m": self.leave_m,
            "mishit_share": self.mishit_share,
            "misses": self.misses.to_dict(),
            "advice": self.advice,
            "cloud": self.cloud.to_dict(),
            "path": [
                {"t_s": p.t_s, "x_m": p.x_m, "y_m": p.y_m, "z_m": p.z_m, "phase": p.phase} for p in self.path
            ],
            "draws": self.draws,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Choices ranked by expected strokes, the first one best, and why."""

    station: Station
    player: str
    choices: tuple[Choice, ...]
    reason: str  #: one sentence in coach words
    certainty: Certainty  #: how sure it is that no other club is better
    stops_on_green: bool  #: False: no choice can be expected to stop on the green
    warning: str  #: what to say when nothing stops on the green; empty otherwise
    learned_from: int  #: balls of this player that the plan rests on
    seed: int
    left_out: tuple[str, ...] = field(default=())  #: clubs that cannot be used here, and why
    habit: str = ""  #: where this player's balls usually land, and how to aim off; empty when not clear
    aim_off: tuple[float, float] = (0.0, 0.0)  #: farther, over the carry [-], and to the right [rad]

    @property
    def first(self) -> Choice:
        return self.choices[0]

    @property
    def equal_choices(self) -> tuple[Choice, ...]:
        """The first choice and those that cannot be told from it."""
        return tuple(choice for choice in self.choices if choice.equal)

    def to_dict(self) -> dict[str, Any]:
        return {
            "station": {
                "name": self.station.name,
                "start_m": list(self.station.start),
                "hole_m": list(self.station.hole),
                "lie": self.station.lie.kind.value,
                "wet": self.station.lie.wet,
            },
            "player": self.player,
            "choices": [choice.to_dict() for choice in self.choices],
            "reason": self.reason,
            "certainty": self.certainty,
            "stops_on_green": self.stops_on_green,
            "warning": self.warning,
            "learned_from_balls": self.learned_from,
            "seed": self.seed,
            "left_out": list(self.left_out),
            "habit": self.habit,
            "aim_off": {"farther_share": self.aim_off[0], "right_rad": self.aim_off[1]},
        }
