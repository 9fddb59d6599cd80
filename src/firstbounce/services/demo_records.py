"""Invented players on an invented green, for a first look at the pages."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from importlib import resources
from pathlib import Path

from firstbounce.files.balls import LoggedBalls
from firstbounce.records.rows.balls import BallRow
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import (
    DayRow,
    GreenRow,
    HeightRows,
    Reading,
    ReadingKind,
    Shape,
    ShapeArea,
    StationRow,
)
from firstbounce.records.rows.sessions import DrillScoreRow, LessonDrill, LessonRow, SessionKind, SessionRow
from firstbounce.services import greens, lessons, players, sessions
from firstbounce.services.day import Day, load_balls, load_day
from firstbounce.services.demo import BALLS, GREEN
from firstbounce.services.store import Store, new_id
from firstbounce.words import Level, Point

PEOPLE = (
    ("Ada Quill", Level.TEN_TO_EIGHTEEN),
    ("Bram Oster", Level.NINETEEN_TO_TWENTY_EIGHT),
    ("Cleo Varga", Level.SINGLE_FIGURE),
    ("D. F.", Level.BEGINNER),
)
DRILL = "Landing circle"
CIRCLE_M = 1.2


def put_demo(store: Store) -> None:
    """Four invented players, a green open today, and the balls of the demo files for the first player."""
    folder = Path(str(resources.files("firstbounce") / "files" / "demo"))
    day = load_day(folder / GREEN)
    logged = load_balls(folder / BALLS, day)
    now = store.clock()
    people = [PlayerRow(id=new_id(), name=name, level=level, made=now) for name, level in PEOPLE]
    for player in people:
        players.add_player(store, player)
    green_id, day_id = _put_green(store, day, now)
    stations = _put_stations(store, day, green_id, now)
    _put_session(store, people[0], green_id, day_id, stations, logged, now)


def _put_green(store: Store, day: Day, now: datetime.datetime) -> tuple[str, str]:
    file = day.file
    green_id, day_id = new_id(), new_id()
    heights = file.surface.heights
    shape = Shape(
        id=new_id(),
        green_id=green_id,
        made=now,
        outline=_points(file.green.outline),
        fringe_m=file.green.fringe_m,
        around=file.green.around,
        areas=tuple(ShapeArea(kind=area.kind, polygon=_points(area.polygon)) for area in file.area),
        heights=None
        if heights is None
        else HeightRows(x0_m=heights.x0_m, y0_m=heights.y0_m, cell_m=heights.cell_m, rows=heights.rows or ()),
    )
    greens.add_green(store, GreenRow(id=green_id, name=file.green.name or "Practice green", made=now), shape)
    greens.add_day(store, DayRow(id=day_id, green_id=green_id, date=now.date(), made=now))
    rolls, drops = file.today.rolls, file.today.drop_heights_m
    given = {
        ReadingKind.STIMP: {"stimp_ft": file.today.stimp_ft} if file.today.stimp_ft else None,
        ReadingKind.ROLLS: {"up_m": list(rolls.up_m), "down_m": list(rolls.down_m)} if rolls else None,
        ReadingKind.DROPS: {"drop_heights_m": list(drops)} if drops else None,
    }
    for kind, read in given.items():
        if read is not None:
            reading = Reading(id=new_id(), green_id=green_id, day_id=day_id, made=now, kind=kind, given=read)
            greens.add_reading(store, reading)
    return green_id, day_id


def _points(corners: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
    return tuple(Point(*corner) for corner in corners)


def _put_stations(store: Store, day: Day, green_id: str, now: datetime.datetime) -> dict[str, StationRow]:
    made = {}
    for name, one in day.stations.items():
        row = StationRow(
            id=new_id(),
            name=name,
            made=now,
            green_id=green_id,
            start_m=one.start,
            hole_m=one.hole,
            lie=one.lie,
            landing_spot_m=one.landing_spot,
            circle_radius_m=CIRCLE_M if one.landing_spot else None,
        )
        greens.add_station(store, row)
        made[name] = row
    return made


def _put_session(
    store: Store,
    player: PlayerRow,
    green_id: str,
    day_id: str,
    stations: dict[str, StationRow],
    logged: LoggedBalls,
    now: datetime.datetime,
) -> None:
    first = next(iter(stations.values()))
    session = SessionRow(
        id=new_id(),
        player_id=player.id,
        kind=SessionKind.LESSON,
        started=now,
        green_id=green_id,
        day_id=day_id,
        station_id=first.id,
    )
    sessions.start_session(store, session)
    device = new_id()
    balls = [
        BallRow(
            id=new_id(),
            session_id=session.id,
            device=device,
            seq=k,
            made=now,
            station_id=stations[ball.station].id if ball.station in stations else None,
            club=ball.club,
            lie=ball.lie,
            start_m=ball.start,
            hole_m=ball.hole,
            aim_m=ball.aim,
            circle_radius_m=CIRCLE_M if ball.aim else None,
            landed_m=ball.landed,
            finished_m=ball.finished,
            holed=ball.holed,
            strike=ball.strike,
            hang_time_s=ball.hang_time_s,
            landed_sd_m=ball.landed_sd_m,
            finished_sd_m=ball.finished_sd_m,
        )
        for k, ball in enumerate(logged.balls)
    ]
    sessions.log_balls(store, balls)
    last_week = now - datetime.timedelta(days=7)
    score = DrillScoreRow(
        id=new_id(),
        player_id=player.id,
        drill=DRILL,
        made=last_week,
        device=device,
        successes=6,
        out_of=10,
    )
    sessions.log_scores(store, [score])
    lesson = LessonRow(
        id=new_id(),
        player_id=player.id,
        date=last_week.date(),
        made=last_week,
        aim="Land it on the spot",
        drills=(LessonDrill(drill=DRILL, balls=20, minutes=10),),
        homework="The drill, three times before the next lesson",
        next_date=now.date(),
    )
    lessons.close_lesson(store, lesson)
