"""Review the balls of a day: the model when the plan was made against the model after the balls."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from firstbounce.errors import CannotEstimate
from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.fit import prior_fit
from firstbounce.planning.worlds import air_today
from firstbounce.review.review import Review, review
from firstbounce.services.day import Day
from firstbounce.services.fit import fit_day
from firstbounce.units import LengthUnit

SEED = 20260514  #: of the bootstrap; the same balls give the same review


def review_day(
    day: Day,
    logged: LoggedBalls,
    *,
    before: LoggedBalls | None = None,
    station: str | None = None,
    unit: LengthUnit = LengthUnit.METRES,
) -> Review:
    """The review of logged balls. `before`: balls known when the plan was made; None: the usual values.

    A station that is named keeps its own balls only. CannotEstimate when there is nothing to review.
    """
    if station is not None:
        day.station(station)
        kept = tuple(ball for ball in logged.balls if ball.station == station)
        if not kept:
            raise CannotEstimate(f"No placed ball was hit from station {station!r}.")
        logged = replace(logged, balls=kept)
    then = fit_day(day, before) if before else prior_fit(day.player, day.today)
    now = fit_day(day, logged)
    return review(
        logged.balls,
        then=then,
        now=now,
        ground=day.ground,
        rng=np.random.default_rng(SEED),
        air=air_today(day.today),
        unit=unit,
    )
