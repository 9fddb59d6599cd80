"""What a plan says when nothing was measured, as frozen records of plain numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from firstbounce.planning.result import Choice, Plan, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughChoice:
    """One club over the whole range of likely greens."""

    choice: Choice
    bad_day_strokes: float  #: expected strokes on the kind of day that only one in ten is worse than
    carry_paces: tuple[int, int]  #: where most strikes land, from and to
    run_paces: tuple[int, int]  #: how far most of them run, from and to

    def to_dict(self) -> dict[str, Any]:
        return {
            "bad_day_strokes": self.bad_day_strokes,
            "carry_paces": list(self.carry_paces),
            "run_paces": list(self.run_paces),
            **self.choice.to_dict(),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing that could be measured, and what knowing it would save."""

    name: str
    worth_strokes: float  #: strokes a ball saved on average by choosing after it is known exactly
    how: str  #: how to take it, one sentence

    def to_dict(self) -> dict[str, Any]:
        return {"name": self.name, "worth_strokes": self.worth_strokes, "how": self.how}


@dataclass(frozen=True, slots=True, kw_only=True)
class TestBalls:
    """Three balls to one landing spot: what they would teach."""

    club: str
    balls: int
    spot_m: tuple[float, float]
    carry_m: float
    worth_strokes: float  #: strokes a ball saved on average by choosing after seeing them
    run_before_m: Span  #: the average run to this spot, as known now
    run_after_m: Span  #: how well it is known after the balls, about the same middle

    def to_dict(self) -> dict[str, Any]:
        return {
            "club": self.club,
            "balls": self.balls,
            "spot_m": list(self.spot_m),
            "carry_m": self.carry_m,
            "worth_strokes": self.worth_strokes,
            "run_before": self.run_before_m.to_dict("m"),
            "run_after": self.run_after_m.to_dict("m"),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughPlan:
    """The choice that holds up over all likely greens, and what would be worth knowing."""

    plan: Plan
    choices: tuple[RoughChoice, ...]  #: in the order of the plan
    pace_m: float
    answer: str  #: what to do, one sentence, in paces
    readings: tuple[Reading, ...]  #: most worthwhile first
    reading_advice: str  #: the one reading that could change the choice, or that none could
    test_balls: TestBalls | None  #: None when the bag holds a putter only
    test_advice: str  #: what three balls would tell, one sentence

    def to_dict(self) -> dict[str, Any]:
        return {
            "answer": self.answer,
            "pace_m": self.pace_m,
            "choices": [choice.to_dict() for choice in self.choices],
            "readings": [reading.to_dict() for reading in self.readings],
            "reading_advice": self.reading_advice,
            "test_balls": None if self.test_balls is None else self.test_balls.to_dict(),
            "test_advice": self.test_advice,
            "certainty": self.plan.certainty,
            "stops_on_green": self.plan.stops_on_green,
            "warning": self.plan.warning,
            "seed": self.plan.seed,
        }
