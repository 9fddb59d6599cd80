"""A review as plain values, for scripts."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from firstbounce.words import TallyFinish, TallyLanding

if TYPE_CHECKING:
    from firstbounce.review.review import Review
    from firstbounce.review.spread import BallEllipse
    from firstbounce.technique.marks import Judged


def review_dict(review: Review) -> dict[str, Any]:
    """Balls, parts, scores, answers and the verdict. Lengths in metres, along and across the line."""
    return {
        "days": [day._asdict() for day in review.days],
        "balls": len(review.split),
        "clean": int(review.clean.sum()),
        "circle_radius_m": review.circle_m,
        "in_circle": review.in_circle,
        "counts": asdict(review.counts),
        "verdict": _verdict(review),
        "faults": [str(fault) for fault in review.faults],
        "questions": [_question(answer) for answer in review.answers],
        "mean_square_m2": review.mean_square_m2,
        "parts": [_plain(asdict(share)) for share in review.shares],
        "landing": None if review.landing is None else _plain(asdict(review.landing)),
        "finish": None if review.finish is None else _plain(asdict(review.finish)),
        "ellipses": {name: _ellipse(one) for name, one in review.ellipses.items()},
        "each": [_ball(review, i, day) for i, day in enumerate(_day_of_each(review))],
        "probably_mishit": list(review.probably_mishit),
        "left_out": [asdict(one) for one in review.left_out],
        "tallied": _tallied(review),
        "by_eye": [_judged(one) for one in review.by_eye],
        "learned_from": review.learned_from,
    }


def _verdict(review: Review) -> dict[str, Any]:
    said = review.verdict
    return {
        "call": str(said.call),
        "sentence": said.sentence,
        "reason": said.reason,
        "balls": said.n,
        "certainty": said.certainty,
        "faults": [str(fault) for fault in said.faults],
        "to_try": said.to_try,
        "more_balls": said.more_balls,
        "by_coach": None if said.by_coach is None else str(said.by_coach),
        "coach_note": said.coach_note,
    }


def _question(answer: Any) -> dict[str, Any]:
    shown = _plain(asdict(answer) | {"called": answer.called, "certainty": answer.certainty})
    return {name: shown[name] for name in shown if name not in ("day", "group", "own")}


def _ellipse(one: BallEllipse) -> dict[str, Any]:
    return {
        "centre_m": list(one.centre),
        "half_long_m": one.half_long_m,
        "half_short_m": one.half_short_m,
        "turn_deg": math.degrees(one.turn),
    }


def _tallied(review: Review) -> dict[str, Any]:
    """Counts of tallies by word."""
    t = review.tallied
    return {
        "balls": len(t),
        "landed": {str(word): int(t.landed(word).sum()) for word in TallyLanding},
        "finished": {str(word): int(t.finished(word).sum()) for word in TallyFinish},
    }


def _judged(one: Judged) -> dict[str, Any]:
    return {
        "item": str(one.item),
        "verdict": str(one.verdict),
        "judge": str(one.judge),
        "says": one.says,
        "fault": None if one.fault is None else str(one.fault),
        "drills": list(one.drills),
    }


def _day_of_each(review: Review) -> list[str]:
    return [held.day for held in review.days for _ in range(held.placed)]


def _ball(review: Review, i: int, day: str) -> dict[str, Any]:
    s = review.split
    pairs = {f"{name}_m": getattr(s, name)[i] for name in ("total", "plan", "reading", "landing", "run")}
    return {
        "id": s.balls[i].id,
        "day": day,
        "clean": bool(review.clean[i]),
        "mishit_chance": float(review.chance[i]),
        "holed": s.balls[i].holed,
        **{name: _plain([float(v) for v in pair]) for name, pair in pairs.items()},
    }


def _plain(value: Any) -> Any:
    """JSON has no infinity and no nan: both become null."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return str(value) if hasattr(value, "value") else value
