"""Plain rows of `balls.csv` at once, column by column; a row with anything special is left to `ball_of_row`.

A file may have 100,000 rows. What is built here is what `ball_of_row` would build, and a ball passes without
doubts only when `doubts` would find none; both are held by tests.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain, repeat
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firstbounce.files.ball_checks import doubts, worth_a_look
from firstbounce.files.ball_rows import LIE_COLUMNS, PAIRS, PLACING_SD_M, Lies, lie_of
from firstbounce.words import Ball, Point, Station

Columns = Mapping[str, Sequence[Any]]  #: cells read, by column name; columns that the file lacks are missing
SPECIAL = ("tally_landed", "tally_finished", "carry_m", "run_m")
NOWHERE = (math.nan, math.nan)


def quick_balls(
    columns: Columns, n: int, stations: Mapping[str, Station] | None, lies: Lies, leave: set[int]
) -> list[Ball | None]:
    """The balls of n rows; None for rows in `leave`, and where `ball_of_row` is needed or a doubt stands."""
    leave = leave | _special(columns)
    at = _stations(columns, stations, n, leave)
    start, hole, aim = (
        _filled(_points(columns, base, n, leave), at, part)
        for base, part in (("start", "start"), ("hole", "hole"), ("aim", "landing_spot"))
    )
    landed, finished = (_points(columns, base, n, leave) for base in ("landed", "finished"))
    typed = zip(*(columns.get(name, repeat(None, n)) for name in LIE_COLUMNS.values()), strict=True)
    rows = zip(
        columns["id"],
        columns["club"],
        (lie_of(one, station, lies) for one, station in zip(typed, at, strict=True)),
        start,
        hole,
        aim,
        landed,
        finished,
        *(columns.get(name, repeat(None, n)) for name in ("holed", "strike", "hang_time_s")),
        *(
            columns.get(name, repeat(None, n))
            for name in ("landed_sd_m", "finished_sd_m", "station", "session")
        ),
        strict=True,
    )
    balls = [None if place in leave else _ball(*row) for place, row in enumerate(rows)]
    return _sure(balls, columns.get("checked"), start, hole, landed, finished)


def _ball(
    name: Any, club: Any, lie: Any, start: Any, hole: Any, aim: Any, landed: Any, finished: Any, holed: Any,
    strike: Any, hang_time_s: Any, landed_sd_m: Any, finished_sd_m: Any, station: Any, session: Any,
) -> Ball | None:  # fmt: skip
    if start is None or (finished is not None if holed else finished is None and landed is None):
        return None
    return Ball(
        id=name,
        club=club,
        lie=lie,
        start=start,
        hole=hole,
        aim=aim,
        landed=landed,
        finished=finished,
        holed=bool(holed),
        strike=strike,
        hang_time_s=hang_time_s,
        landed_sd_m=landed_sd_m or PLACING_SD_M,
        finished_sd_m=finished_sd_m or PLACING_SD_M,
        station=station,
        session=session,
    )


def _special(columns: Columns) -> set[int]:
    """Rows with tallies or paces."""
    given = [columns[name] for name in SPECIAL if name in columns]
    used = [cells for cells in given if any(value is not None for value in cells)]
    return {place for cells in used for place, value in enumerate(cells) if value is not None}


def _stations(
    columns: Columns, stations: Mapping[str, Station] | None, n: int, leave: set[int]
) -> list[Station | None]:
    """The station of each row; rows that name an unknown one are added to `leave`."""
    names = columns.get("station")
    if names is None or stations is None:
        return [None] * n
    unknown = set(names) - set(stations) - {None}
    if unknown:
        leave.update(place for place, name in enumerate(names) if name in unknown)
    return [stations.get(name) for name in names]


def _points(columns: Columns, base: str, n: int, leave: set[int]) -> list[Point | None]:
    """The places of one kind; rows with one of two coordinates are added to `leave`."""
    xs, ys = (columns.get(name) for name in PAIRS[base])
    if xs is None or ys is None:
        return [None] * n
    points: Iterable[Any] = map(tuple.__new__, repeat(Point), zip(xs, ys, strict=True))
    if None not in xs and None not in ys:
        return list(points)
    leave.update(place for place, (x, y) in enumerate(zip(xs, ys, strict=True)) if (x is None) != (y is None))
    return [None if point.x_m is None else point for point in points]


def _filled(points: list[Point | None], at: Sequence[Station | None], part: str) -> Sequence[Point | None]:
    """What a row leaves empty, from its station."""
    if None not in points or not any(at):
        return points
    return [
        point or (getattr(station, part) if station else None)
        for point, station in zip(points, at, strict=True)
    ]


def _sure(
    balls: list[Ball | None], checked: Sequence[Any] | None, *places: Sequence[Point | None]
) -> list[Ball | None]:
    """The same with None for balls that are in doubt and were not checked."""
    for place in np.flatnonzero(worth_a_look(*(_table(points) for points in places))).tolist():
        ball = balls[place]
        if ball is not None and not (checked and checked[place]) and any(doubts(ball)):
            balls[place] = None
    return balls


def _table(points: Sequence[Point | None]) -> NDArray[np.float64]:
    """(n, 2) places [m], not a number where there is none."""
    known: Iterable[Any] = points if None not in points else (point or NOWHERE for point in points)
    return np.fromiter(chain.from_iterable(known), dtype=np.float64, count=2 * len(points)).reshape(-1, 2)
