"""Progress of one player over several days: the files of each day, one yardstick from the first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.pictures.lines import Curve, LinesPicture, lines_view
from firstbounce.planning.worlds import air_today
from firstbounce.review.asked import placing_sd
from firstbounce.review.mishits import is_clean, mishit_chance
from firstbounce.review.progress import Measure, Progress, Series, Session, progress, session_of
from firstbounce.review.split import split
from firstbounce.review.usual import usual_of
from firstbounce.services.day import Day, Days, days_of_one_player
from firstbounce.words import Ball


def progress_over(days: Days) -> Progress:
    """Progress over days of one player, in any order; days and their names come from `today.date`.

    CannotEstimate when no ball can be used; ParameterError for balls of two players.
    """
    ordered = days_of_one_player(days)
    player = ordered[0][0].player
    sessions = []
    for day, logged in ordered:
        expected = prior_fit(player, day.today)
        for name in dict.fromkeys(ball.session for ball in logged.balls):
            balls = [ball for ball in logged.balls if ball.session == name]
            sessions += _session(day, name, balls, expected)
    return progress(sessions, player.name)


def _session(day: Day, name: str | None, balls: Sequence[Ball], expected: Fit) -> list[Session]:
    """The session of these balls; none when none of them can be split."""
    whole, _ = split(balls, then=expected, ground=day.ground, air=air_today(day.today))
    if not len(whole):
        return []
    usual = usual_of(expected, whole)
    placing = placing_sd(whole)[0]
    clean = is_clean(whole, mishit_chance(whole, np.hypot(usual.sd, placing[:, None]), usual.share))
    date = day.file.today.date
    return [session_of(f"{date.isoformat()} {name or ''}".strip(), date, whole, clean, usual)]


_TITLES = {
    Measure.LANDING: (
        "Landings over the weeks",
        "miss of the spot, percent of that expected at the start",
    ),
    Measure.FINISH: ("Finishes over the weeks", "miss of the hole, percent of that expected at the start"),
    Measure.CONTACT: ("Contact over the weeks", "balls in 100 that were not clean"),
}


def progress_pictures(seen: Progress) -> dict[str, str]:
    """One picture a measure, name to SVG text."""
    return {f"progress {one.measure}": progress_picture(one) for one in seen.series if len(one.points) > 1}


def progress_picture(one: Series) -> str:
    """Sessions and the running mean with its band."""
    first = one.points[0].day
    weeks = np.array([(point.day - first).days / 7 for point in one.points])
    scale = 100.0
    title, words = _TITLES[one.measure]

    def values(name: str) -> np.ndarray:
        return scale * np.array([getattr(point, name) for point in one.points])

    return lines_view(
        LinesPicture(
            title=title,
            x_words="weeks since the first session",
            y_words=words,
            curves=(
                Curve(label="each session", x=weeks, y=values("value"), dots=True),
                Curve(
                    label="running mean",
                    x=weeks,
                    y=values("running"),
                    low=values("running_low"),
                    high=values("running_high"),
                    accent=True,
                ),
            ),
            band_words="The band holds the running mean of up to four sessions nine times in ten.",
            note=one.change.sentence,
        )
    )
