"""How long a fit takes: 30 placed balls, and 30 tallies, warm. `python -m benchmarks.fit_speed`"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable

import numpy as np

from benchmarks.fit_days import START, LoggedDay, logged_day
from firstbounce.fitting.fit import fit
from firstbounce.words import Ball, Circle, Tally, TallyFinish, TallyLanding

ALLOWED_S = 1.0
REPEATS = 5


def tallied(ball: Ball) -> Tally:
    """The ball as a coach would have tallied it, with a circle of 1.2 m."""
    assert ball.aim and ball.landed and ball.hole
    off = ball.landed.y_m - ball.aim.y_m
    in_circle = np.hypot(ball.landed.x_m - ball.aim.x_m, off) < 1.2
    landing = TallyLanding.LONG if off > 0 else TallyLanding.SHORT
    end = ball.finished or ball.hole
    past = end.y_m > ball.hole.y_m
    far = np.hypot(end.x_m - ball.hole.x_m, end.y_m - ball.hole.y_m) > 1.6
    finish = TallyFinish.FURTHER_PAST if past else TallyFinish.FURTHER_SHORT
    return Tally(
        id=ball.id,
        club=ball.club,
        lie=ball.lie,
        start=START,
        hole=ball.hole,
        circle=Circle(centre=ball.aim, radius_m=1.2),
        landing=TallyLanding.IN_CIRCLE if in_circle else landing,
        finish=finish if far else TallyFinish.WITHIN_TWO_PACES,
    )


def seconds(work: Callable[[], object]) -> float:
    """Best of several warm runs [s]."""
    work()
    spent = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def time_fit(logged: LoggedDay, as_tallies: bool) -> float:
    """Seconds for one fit of a day's balls."""
    day = logged.day
    balls = [] if as_tallies else logged.balls
    tallies = [tallied(ball) for ball in logged.balls] if as_tallies else []
    return seconds(lambda: fit(balls, tallies, today=day.today, ground=day.ground, player=day.player))


def main(argv: list[str] | None = None) -> int:
    """Print the times; 1 when 30 placed balls take longer than allowed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--balls", type=int, default=30)
    options = parser.parse_args(argv)
    logged = logged_day(np.random.default_rng(4), n_balls=options.balls)
    placed, ranged = (time_fit(logged, as_tallies) for as_tallies in (False, True))
    met = placed <= ALLOWED_S
    word = "met " if met else "MISSED"
    print(f"{word}  fit of {options.balls} placed balls: {placed:.3f} s, allowed {ALLOWED_S:g}")
    print(f"        fit of {options.balls} tallies:      {ranged:.3f} s")
    return 0 if met else 1


if __name__ == "__main__":
    raise SystemExit(main())
