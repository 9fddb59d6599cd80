"""A review of 30 and of 10,000 balls, warm, from log to verdict. `python -m benchmarks.review_speed`"""

from __future__ import annotations

import argparse
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from firstbounce.files.balls import LoggedBalls
from firstbounce.services.day import Day, load_balls, load_day
from firstbounce.services.demo import BALLS, GREEN, copy_inputs
from firstbounce.services.review import review_day
from firstbounce.words import Ball, Point

LIMITS_S = {30: 0.5, 10_000: 2.0}
RUNS = 5


def many(logged: LoggedBalls, n: int) -> LoggedBalls:
    """n balls like those logged, each landed and finished a little elsewhere."""
    rng = np.random.default_rng(3)
    return LoggedBalls(balls=tuple(_like(logged.balls[i % len(logged.balls)], i, rng) for i in range(n)))


def _like(ball: Ball, i: int, rng: np.random.Generator) -> Ball:
    return replace(ball, id=f"b{i}", landed=_near(ball.landed, rng), finished=_near(ball.finished, rng))


def _near(place: Point | None, rng: np.random.Generator) -> Point | None:
    if place is None:
        return None
    x, y = np.asarray(place) + rng.normal(0, 0.4, 2)
    return Point(float(x), float(y))


def seconds(day: Day, logged: LoggedBalls) -> tuple[list[float], float]:
    """Times of RUNS reviews after a first one that is not counted, and processor time of one."""
    review_day(day, logged)
    times, busy = [], time.process_time()
    for _ in range(RUNS):
        start = time.perf_counter()
        review_day(day, logged)
        times.append(time.perf_counter() - start)
    return sorted(times), (time.process_time() - busy) / RUNS


def main(argv: list[str] | None = None) -> int:
    """Print the median times; 1 when a limit is missed."""
    argparse.ArgumentParser(description=__doc__).parse_args(argv)
    met = []
    with tempfile.TemporaryDirectory() as folder:
        copy_inputs(Path(folder))
        day = load_day(Path(folder) / GREEN)
        logged = load_balls(Path(folder) / BALLS, day)
        for n, limit in LIMITS_S.items():
            times, busy = seconds(day, many(logged, n))
            met.append(times[RUNS // 2] <= limit)
            print(
                f"{'met ' if met[-1] else 'MISSED'}  review of {n:,} balls: median {times[RUNS // 2]:.2f} s, "
                f"{times[0]:.2f} to {times[-1]:.2f}, processor {busy:.2f} s; at most {limit:g} s"
            )
    return 0 if all(met) else 1


if __name__ == "__main__":
    raise SystemExit(main())
