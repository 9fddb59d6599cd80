"""Review the balls of a day or of several: the model when the plan was made against that after the balls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from firstbounce.errors import CannotEstimate
from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.result import Fit
from firstbounce.planning.worlds import air_today
from firstbounce.review.asked import asked_of
from firstbounce.review.drawn import pictures_of
from firstbounce.review.review import Review, review_together
from firstbounce.review.usual import known_player
from firstbounce.services.day import Day, Days, days_of_one_player
from firstbounce.services.fit import fit_day
from firstbounce.services.pictures import conditions
from firstbounce.technique.by_eye import Ticks, judge_ticks
from firstbounce.technique.marks import Judged, Verdict
from firstbounce.units import LengthUnit
from firstbounce.words import Ball, Tally

SEED = 20260514  #: of the bootstrap; the same balls give the same review
MOST_LEARNED = 40  #: balls from which the model after the balls is learned; more add time, little else
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
    now: Fit | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """The review of logged balls and tallies.

    before: balls of this day known when the plan was made. earlier: earlier days of the same player with
    their balls; they say what is usual for this player. A station or session that is named keeps its own
    balls and tallies only. now: the fit of all these balls, where it was made already. CannotEstimate when
    there is nothing to review.
    """
    if station is not None:
        day.station(station)
        logged = of_station(logged, station)
    if session is not None:
        logged = of_session(logged, session)
    known = known_player([fit_day(*one) for one in earlier], day.player, day.today)
    rng = np.random.default_rng(SEED)
    asked = asked_of(
        logged.balls,
        logged.tallies,
        then=fit_day(day, before) if before else known,
        now=learned(day, logged, now if station is None and session is None else None),
        usual=known if earlier else None,
        ground=day.ground,
        rng=rng,
        air=air_today(day.today),
        day=day.file.today.date.isoformat(),
    )
    return review_together([asked], rng=rng, by_eye=_seen(ticks), unit=unit)


def review_days(
    days: Days,
    *,
    earlier: Days = (),
    station: str | None = None,
    ticks: Ticks | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """Several days of one player together: each ball by its own day's models, the player's habits by all.

    Arguments as `review_day`; a day without the named station is left out. CannotEstimate when no day has
    anything to review; ParameterError for balls of two players.
    """
    fits = [fit_day(*one) for one in earlier]
    rng, asked = np.random.default_rng(SEED), []
    for day, logged in days_of_one_player(days):
        try:
            kept = logged if station is None else of_station(logged, station)
            known = known_player(fits, day.player, day.today)
            asked.append(
                asked_of(
                    kept.balls,
                    kept.tallies,
                    then=known,
                    now=learned(day, kept),
                    ground=day.ground,
                    rng=rng,
                    air=air_today(day.today),
                    day=day.file.today.date.isoformat(),
                )
            )
        except CannotEstimate as error:
            nothing = error
    if not asked:
        raise nothing
    return review_together(asked, rng=rng, by_eye=_seen(ticks), unit=unit)


def _seen(ticks: Ticks | None) -> list[Judged]:
    """What the coach saw and judged."""
    judged = [] if ticks is None else judge_ticks(ticks)
    return [one for one in judged if one.verdict is not Verdict.NOT_JUDGED]


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


def learned(day: Day, logged: LoggedBalls, made: Fit | None = None) -> Fit | None:
    """The model after these balls, from at most MOST_LEARNED taken evenly; None when they say nothing.

    made: the fit of all of them, where there is one already.
    """
    some = replace(logged, balls=_evenly(logged.balls), tallies=_evenly(logged.tallies))
    try:
        fitted = made if made is not None and some == logged else fit_day(day, some)
    except CannotEstimate:
        return None
    return fitted if fitted.verdict == "fitted" else None


def _evenly(balls: tuple[One, ...]) -> tuple[One, ...]:
    if len(balls) <= MOST_LEARNED:
        return balls
    return tuple(balls[round(i * (len(balls) - 1) / (MOST_LEARNED - 1))] for i in range(MOST_LEARNED))


def review_pictures(
    seen: Review, days: Sequence[Day], unit: LengthUnit = LengthUnit.METRES
) -> dict[str, str]:
    """The pictures of a review of these days, name to SVG text; one day tells its conditions."""
    note = conditions(days[0]) if len(days) == 1 else f"{len(days)} days together."
    return pictures_of(seen, unit=unit, note=note)
