"""A review as pictures: landings about the spot, finishes about the hole, parts of one ball and a set."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from firstbounce.pictures.misses import (
    PART_STYLES,
    MissArrow,
    MissDots,
    MissEllipse,
    MissesPicture,
    away,
    misses_view,
)
from firstbounce.pictures.text import METRES, YARDS, Measure
from firstbounce.review.review import Review
from firstbounce.review.split import PARTS
from firstbounce.review.spread import BallEllipse
from firstbounce.units import LengthUnit

Floats = NDArray[np.float64]

PART_WORDS = {
    "plan": "wrong spot",
    "reading": "read the green wrong",
    "landing": "missed the spot",
    "run": "ran more or less than expected",
}
PART_LABELS = {"plan": "spot", "reading": "green", "landing": "strike", "run": "run"}
ONE_BALL = "parts of one ball"  #: name of the picture that is of no set
ELLIPSE_WORDS = "one in two of the next balls, by these"


def pictures_of(review: Review, *, unit: LengthUnit, note: str = "") -> dict[str, str]:
    """Name to SVG text; what the balls do not allow is left out."""
    measure = YARDS if unit is LengthUnit.YARDS else METRES
    drawn = {
        "landings": landings_picture(review, measure, note),
        "finishes": finishes_picture(review, measure, note),
        "parts of the set": parts_picture(review, measure, note),
        ONE_BALL: one_ball_picture(review, measure, note),
    }
    return {name: misses_view(picture) for name, picture in drawn.items() if picture is not None}


def landings_picture(review: Review, measure: Measure, note: str = "") -> MissesPicture | None:
    """Where the balls landed against the landing spot."""
    if not len(review.split):
        return None
    missed, clean = review.split.missed, review.clean
    return MissesPicture(
        title="Landings about the spot",
        target="landing spot",
        ring_m=review.circle_m,
        ring_words="7 of 10 usual clean strikes",
        dots=_clouds(missed, clean, "landed"),
        ellipses=_ellipse(review, "spot"),
        arrows=_mean(missed[clean], measure),
        measure=measure,
        note=_note(f"{review.in_circle} of {len(missed)} landed in the circle.", note),
    )


def finishes_picture(review: Review, measure: Measure, note: str = "") -> MissesPicture | None:
    """Where the balls finished against the hole."""
    split = review.split
    rows = split.finished
    if not rows.any():
        return None
    c = review.counts
    return MissesPicture(
        title="Finishes about the hole",
        ring_m=1.8,
        ring_words="two paces",
        dots=_clouds(split.total[rows], review.clean[rows], "finished"),
        ellipses=_ellipse(review, "finish"),
        arrows=_mean(split.total[rows & review.clean], measure),
        measure=measure,
        note=_note(f"{c.close} of {c.finish_seen} finished within two paces, {c.holed} in the hole.", note),
    )


def parts_picture(review: Review, measure: Measure, note: str = "") -> MissesPicture | None:
    """The parts of the set: plan and reading as the way they lead, landing and run as ellipses of balls."""
    if not review.shares:
        return None
    means = {share.part: np.array([share.mean_across, share.mean_along]) for share in review.shares}
    arrows = tuple(
        MissArrow(
            tail=(0.0, 0.0),
            head=_pair(means[name]),
            words=_part(name, means[name], measure),
            label=PART_LABELS[name],
            style=PART_STYLES[PARTS.index(name)],
        )
        for name in ("plan", "reading")
    )
    ellipses = tuple(
        MissEllipse(
            **_numbers(review.ellipses[name]),
            words=_part(name, means[name], measure),
            label=PART_LABELS[name],
            style=PART_STYLES[PARTS.index(name)],
        )
        for name in ("landing", "run")
        if name in review.ellipses
    )
    n = int((review.clean & review.split.finished).sum())
    return MissesPicture(
        title="What the misses are made of",
        arrows=arrows,
        ellipses=ellipses,
        measure=measure,
        note=_note(f"{n} clean balls. An ellipse holds half of the next balls, by that part alone.", note),
    )


def _part(name: str, mean: Floats, measure: Measure) -> str:
    return f"{PART_WORDS[name]}: {away(mean, measure)}"


def one_ball_picture(
    review: Review, measure: Measure, note: str = "", ball_id: str | None = None
) -> MissesPicture | None:
    """The parts of one ball as arrows from hole to finish; the clean ball nearest the middle."""
    split = review.split
    rows = np.flatnonzero(split.finished & review.clean)
    if ball_id is not None:
        rows = np.array([i for i in rows if split.balls[i].id == ball_id], dtype=np.int64)
    if not len(rows):
        return None
    total = split.total[rows]
    chosen = int(rows[np.argmin(np.hypot(*(total - np.median(total, axis=0)).T))])
    return MissesPicture(
        title=f"One miss, part by part: ball {split.balls[chosen].id}",
        arrows=_chain(review, chosen, measure),
        measure=measure,
        note=_note("From the hole to where the ball finished, part by part.", note),
    )


def _chain(review: Review, row: int, measure: Measure) -> tuple[MissArrow, ...]:
    at = np.zeros(2)
    arrows = []
    for part, style in zip(PARTS, PART_STYLES, strict=True):
        step = getattr(review.split, part)[row][::-1]
        there = at + step
        arrows.append(
            MissArrow(
                tail=_pair(at),
                head=_pair(there),
                words=_part(part, step, measure),
                label=PART_LABELS[part],
                style=style,
            )
        )
        at = there
    return tuple(arrows)


def _clouds(misses: Floats, clean: NDArray[np.bool_], verb: str) -> tuple[MissDots, ...]:
    """Clean balls as dots, the others as crosses; misses (n, 2) along and across."""
    swapped = misses[:, ::-1]
    clouds = (
        MissDots(points=swapped[clean], words=f"{verb}, clean"),
        MissDots(points=swapped[~clean], words=f"{verb}, not clean", shape="cross"),
    )
    return tuple(one for one in clouds if len(np.asarray(one.points)))


def _mean(misses: Floats, measure: Measure) -> tuple[MissArrow, ...]:
    """An arrow from the target to the mean of clean balls (n, 2) along and across."""
    if len(misses) < 3:
        return ()
    middle = misses.mean(axis=0)[::-1]
    words = f"on average {away(middle, measure)}"
    return (MissArrow(tail=(0.0, 0.0), head=_pair(middle), words=words, style=PART_STYLES[2]),)


def _ellipse(review: Review, name: str) -> tuple[MissEllipse, ...]:
    one = review.ellipses.get(name)
    return () if one is None else (MissEllipse(**_numbers(one), words=ELLIPSE_WORDS),)


def _numbers(one: BallEllipse) -> dict:
    """Centre, half axes and turn in the picture's frame: right and long, anticlockwise from right."""
    return {
        "centre": (one.centre[1], one.centre[0]),
        "half_long_m": one.half_long_m,
        "half_short_m": one.half_short_m,
        "turn_deg": 90.0 - math.degrees(one.turn),
    }


def _pair(point: Floats) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _note(first: str, note: str) -> str:
    return f"{first} {note}".strip()
