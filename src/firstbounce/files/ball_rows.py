"""One row of `balls.csv` to a ball or a tally, and back."""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import replace
from typing import Any, cast

from firstbounce.files.ball_checks import doubts
from firstbounce.files.ball_columns import Value
from firstbounce.words import Ball, Circle, Lie, Point, Station, Tally, TallyFinish, TallyLanding

PLACING_SD_M = 0.25  #: usual error of a placed point, each way [m]
PACING_SHARE = 0.05  #: error of one person's paced distance (facts: common practice, 5 %) [-]
USUAL_RADIUS_M = 1.0  #: of a tally whose landing was not seen; never used [m]
USUAL_LIE = Lie()

Values = Mapping[
    str, Value | None
]  #: by column name; columns that the file lacks are missing, empty cells None
Lies = dict[Hashable, Lie]  #: lies met so far by what was typed
PAIRS = {base: (f"{base}_x_m", f"{base}_y_m") for base in ("start", "hole", "aim", "landed", "finished")}
LIE_COLUMNS = {
    "kind": "lie",
    "wet": "wet",
    "uphill_deg": "stance_uphill_deg",
    "above_feet_deg": "stance_above_feet_deg",
}


class RowFault(Exception):
    """What is wrong with a row, and in which column."""

    def __init__(self, column: str | None, problem: str) -> None:
        super().__init__(problem)
        self.column = column


def ball_of_row(values: Values, stations: Mapping[str, Station] | None, lies: Lies) -> Ball | Tally:
    """The ball of a row whose cells have been read. Raises RowFault. `lies` is filled and reused."""
    station = _station(values, stations)
    start = _point(values, "start") or (station.start if station else None)
    if start is None:
        raise RowFault("start_x_m", "is empty; give start_x_m and start_y_m, or the name of a station")
    hole = _point(values, "hole") or (station.hole if station else None)
    aim = _point(values, "aim") or (station.landing_spot if station else None)
    lie = lie_of((*map(values.get, LIE_COLUMNS.values()),), station, lies)
    if values.get("tally_landed") is not None or values.get("tally_finished") is not None:
        return _tally(values, lie, start, hole, aim)
    return _ball(values, lie, start, hole, aim)


def row_of_ball(ball: Ball | Tally) -> dict[str, str]:
    """Cells by column; reading them gives the ball back."""
    row = {
        "id": ball.id,
        "club": ball.club,
        "station": ball.station or "",
        "session": ball.session or "",
        "lie": str(ball.lie.kind),
        "wet": "yes" if ball.lie.wet else "no",
        "stance_uphill_deg": _stance(ball.lie.uphill_deg, ball.station),
        "stance_above_feet_deg": _stance(ball.lie.above_feet_deg, ball.station),
        "strike": str(ball.strike or ""),
        "checked": "yes" if any(doubts(ball)) else "",
        **_cells("start", ball.start),
        **_cells("hole", ball.hole),
    }
    return row | (_tally_cells(ball) if isinstance(ball, Tally) else _ball_cells(ball))


def _tally_cells(tally: Tally) -> dict[str, str]:
    return {
        **_cells("aim", tally.circle.centre),
        "circle_radius_m": repr(tally.circle.radius_m),
        "tally_landed": str(tally.landing),
        "tally_finished": str(tally.finish),
    }


def _ball_cells(ball: Ball) -> dict[str, str]:
    return {
        **_cells("aim", ball.aim),
        **_cells("landed", ball.landed),
        **_cells("finished", ball.finished),
        "holed": "yes" if ball.holed else "",
        "hang_time_s": _or_empty(ball.hang_time_s),
        "landed_sd_m": _or_empty(None if ball.landed_sd_m == PLACING_SD_M else ball.landed_sd_m),
        "finished_sd_m": _or_empty(None if ball.finished_sd_m == PLACING_SD_M else ball.finished_sd_m),
    }


def _cells(base: str, point: Point | None) -> dict[str, str]:
    if point is None:
        return {}
    return {f"{base}_x_m": repr(float(point.x_m)), f"{base}_y_m": repr(float(point.y_m))}


def _or_empty(value: float | None) -> str:
    return "" if value is None else repr(float(value))


def _stance(slope_deg: float, station: str | None) -> str:
    """A level stance is written only where a station could fill in another."""
    return repr(float(slope_deg)) if slope_deg or station else ""


def _station(values: Values, stations: Mapping[str, Station] | None) -> Station | None:
    name = values.get("station")
    if name is None or stations is None:
        return None
    station = stations.get(str(name))
    if station is None:
        known = ", ".join(stations) or "none"
        raise RowFault("station", f"{name!r} is not a station of the green file; there: {known}")
    return station


def _point(values: Values, base: str) -> Point | None:
    x_name, y_name = PAIRS[base]
    x, y = values.get(x_name), values.get(y_name)
    if x is None and y is None:
        return None
    if x is None or y is None:
        empty = x_name if x is None else y_name
        raise RowFault(
            empty, f"is empty though its partner is given; give both of {x_name}, {y_name} or none"
        )
    return tuple.__new__(Point, (x, y))  # as Point(x, y), in half the time


def lie_of(typed: tuple[Any, ...], station: Station | None, lies: Lies) -> Lie:
    """The lie of a row from its cells in the order of LIE_COLUMNS, the station filling in; kept in `lies`."""
    key = (station and station.name, typed)
    lie = lies.get(key)
    if lie is None:
        given: dict[str, Any] = {
            key: value for key, value in zip(LIE_COLUMNS, typed, strict=True) if value is not None
        }
        lie = lies[key] = replace(station.lie if station else USUAL_LIE, **given)
    return lie


def _tally(values: Values, lie: Lie, start: Point, hole: Point | None, aim: Point | None) -> Tally:
    for name in ("landed_x_m", "finished_x_m", "carry_m", "run_m", "holed", "hang_time_s"):
        if values.get(name) is not None:
            raise RowFault(name, "a row is a tally or a placed ball; leave this empty, or the tally columns")
    if hole is None:
        raise RowFault("hole_x_m", "a tally needs the hole; give hole_x_m and hole_y_m, or a station")
    if aim is None:
        raise RowFault(
            "aim_x_m", "a tally needs its circle; give aim_x_m and aim_y_m, or a station's landing_spot"
        )
    landing = cast(TallyLanding, values.get("tally_landed") or TallyLanding.NOT_SEEN)
    if values.get("circle_radius_m") is None and landing is not TallyLanding.NOT_SEEN:
        raise RowFault("circle_radius_m", "is empty; a tally of landings needs the radius of its circle")
    return Tally(
        id=str(values["id"]),
        club=str(values["club"]),
        lie=lie,
        start=start,
        hole=hole,
        circle=Circle(centre=aim, radius_m=cast(float, values.get("circle_radius_m") or USUAL_RADIUS_M)),
        landing=landing,
        finish=cast(TallyFinish, values.get("tally_finished") or TallyFinish.NOT_SEEN),
        strike=cast(Any, values.get("strike")),
        station=cast(Any, values.get("station")),
        session=cast(Any, values.get("session")),
    )


def _ball(values: Values, lie: Lie, start: Point, hole: Point | None, aim: Point | None) -> Ball:
    landed, finished = _point(values, "landed"), _point(values, "finished")
    landed_sd = finished_sd = PLACING_SD_M
    if values.get("carry_m") is not None or values.get("run_m") is not None:
        landed, finished = _paced(values, start, aim or hole, landed, finished)
        landed_sd = math.hypot(PLACING_SD_M, PACING_SHARE * math.dist(start, landed))
        if finished is not None:
            finished_sd = math.hypot(PLACING_SD_M, PACING_SHARE * math.dist(start, finished))
    holed = bool(values.get("holed"))
    if holed and finished is not None:
        raise RowFault("holed", "a holed ball has no finish; leave finished (or run_m) empty, or write no")
    if landed is None and finished is None and not holed:
        raise RowFault(
            None, "nothing says where this ball went; give landed, finished, carry_m, holed or a tally"
        )
    return Ball(
        id=str(values["id"]),
        club=str(values["club"]),
        lie=lie,
        start=start,
        hole=hole,
        aim=aim,
        landed=landed,
        finished=finished,
        holed=holed,
        strike=cast(Any, values.get("strike")),
        hang_time_s=cast(Any, values.get("hang_time_s")),
        landed_sd_m=cast(float, values.get("landed_sd_m") or landed_sd),
        finished_sd_m=cast(float, values.get("finished_sd_m") or finished_sd),
        station=cast(Any, values.get("station")),
        session=cast(Any, values.get("session")),
    )


def _paced(
    values: Values, start: Point, towards: Point | None, landed: Point | None, finished: Point | None
) -> tuple[Point, Point | None]:
    """Landed and finished from distances along and across the line from start towards the landing spot."""
    if landed is not None or finished is not None:
        raise RowFault("carry_m", "give places (landed, finished) or paces (carry_m, run_m), not both")
    if values.get("carry_m") is None:
        raise RowFault("carry_m", "is empty; run_m needs it")
    if towards is None or towards == start:
        raise RowFault("aim_x_m", "paced distances need a line; give the landing spot, the hole or a station")
    carry, side = cast(float, values["carry_m"]), cast(float, values.get("carry_side_m") or 0.0)
    landed = _along(start, towards, carry, side)
    if values.get("run_m") is None:
        return landed, None
    total = carry + cast(float, values["run_m"])
    finish_side = cast("float | None", values.get("finish_side_m"))
    if finish_side is None:
        finish_side = side * total / carry if carry > 0 else side
    return landed, _along(start, towards, total, finish_side)


def _along(start: Point, towards: Point, along: float, right: float) -> Point:
    length = math.dist(start, towards)
    ux, uy = (towards.x_m - start.x_m) / length, (towards.y_m - start.y_m) / length
    return Point(start.x_m + along * ux + right * uy, start.y_m + along * uy - right * ux)
