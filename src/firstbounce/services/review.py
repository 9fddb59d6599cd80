"""Review the balls of a day: the model when the plan was made against the model after the balls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from firstbounce.errors import CannotEstimate
from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.result import Fit
from firstbounce.planning.worlds import air_today
from firstbounce.review.drawn import pictures_of
from firstbounce.review.review import Review, review
from firstbounce.review.usual import known_player
from firstbounce.services.day import Day
from firstbounce.services.fit import fit_day
from firstbounce.services.pictures import conditions
from firstbounce.technique.by_eye import Ticks, judge_ticks
from firstbounce.technique.marks import Verdict
from firstbounce.units import LengthUnit
from firstbounce.words import Ball, Tally

SEED = 20260514  #: of the bootstrap; the same balls give the same review
MOST_LEARNED = 40  #: balls from which the model after the balls is learned; more add time, little else
Days = Sequence[tuple[Day, LoggedBalls]]
One = TypeVar("One", Ball, Tally)


def review_day(
    day: Day,
    logged: LoggedBalls,
    *,
    before: LoggedBalls | None = None,
    earlier: Days = (),
    station: str | None = None,
    session: str | None = None,
    ticks: Ticks | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """The review of logged balls and tallies.

    before: balls of this day known when the plan was made. earlier: earlier days of the same player with
    their balls; they say what is usual for this player. A station or session that is named keeps its own
    balls and tallies only. CannotEstimate when there is nothing to review.
    """
    if station is not None:
        day.station(station)
        logged = of_station(logged, station)
    if session is not None:
        logged = of_session(logged, session)
    known = known_player([fit_day(*one) for one in earlier], day.player, day.today)
    now = learned(day, logged)
    return review(
        logged.balls,
        logged.tallies,
        then=fit_day(day, before) if before else known,
        now=now,
        usual=known if earlier else None,
        ground=day.ground,
        rng=np.random.default_rng(SEED),
        by_eye=[]
        if ticks is None
        else [j for j in judge_ticks(ticks) if j.verdict is not Verdict.NOT_JUDGED],
        air=air_today(day.today),
        unit=unit,
    )


def of_station(logged: LoggedBalls, station: str) -> LoggedBalls:
    """Balls and tallies hit from one station. CannotEstimate when there are none."""
    return _kept(logged, "station", station, "hit from")


def of_session(logged: LoggedBalls, session: str) -> LoggedBalls:
    """Balls and tallies of one session. CannotEstimate when there are none."""
    return _kept(logged, "session", session, "hit in")


def _kept(logged: LoggedBalls, column: str, wanted: str, words: str) -> LoggedBalls:
    kept = replace(
        logged,
        balls=tuple(ball for ball in logged.balls if getattr(ball, column) == wanted),
        tallies=tuple(tally for tally in logged.tallies if getattr(tally, column) == wanted),
    )
    if not kept.every:
        there = ", ".join(sorted({str(getattr(one, column)) for one in logged.every if getattr(one, column)}))
        raise CannotEstimate(f"No ball was {words} {column} {wanted!r}; there: {there or 'none named'}.")
    return kept


def learned(day: Day, logged: LoggedBalls) -> Fit | None:
    """The model after these balls, from at most MOST_LEARNED taken evenly; None when they say nothing."""
    try:
        fitted = fit_day(day, replace(logged, balls=_evenly(logged.balls), tallies=_evenly(logged.tallies)))
    except CannotEstimate:
        return None
    return fitted if fitted.verdict == "fitted" else None


def _evenly(balls: tuple[One, ...]) -> tuple[One, ...]:
    if len(balls) <= MOST_LEARNED:
        return balls
    return tuple(balls[round(i * (len(balls) - 1) / (MOST_LEARNED - 1))] for i in range(MOST_LEARNED))


def review_pictures(day: Day, seen: Review, unit: LengthUnit = LengthUnit.METRES) -> dict[str, str]:
    """The pictures of a review, name to SVG text."""
    return pictures_of(seen, unit=unit, note=conditions(day))
