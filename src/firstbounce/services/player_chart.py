"""The chart of a player from the records: under the green that is open, learned from the balls of its day."""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass

from firstbounce.ground.conditions import GreenToday
from firstbounce.planning.chart import chart
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow
from firstbounce.services import desk, greens, players
from firstbounce.services.pictures import chart_picture
from firstbounce.services.store import Store

CARRIES_M = (3.0, 6.0, 10.0, 15.0)  #: from a chip to a pitch; four bars a club are read on a phone


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartAsked:
    """A chart before it is drawn. Two with the same key are the same picture."""

    player: PlayerRow
    day: DayRow | None  #: None: no green is open, the usual one is taken
    green_name: str
    balls: int  #: of the day, logged so far
    key: str


def asked(store: Store, player_id: str, date: datetime.date) -> ChartAsked:
    """The chart of a player on a date. NotThere when there is no such player."""
    player = players.player(store, player_id)
    day = greens.current_day(store, date)
    rests_on: list[object] = [plain(player)]
    logged: tuple[str, ...] = ()
    if day is not None:
        logged = tuple(one.ball.id for one in desk.balls_of_day(store, player_id, day.id))
        rests_on += [plain(one) for one in greens.readings(store, day.green_id, day.id)]
        rests_on += [one.id for one in greens.shapes(store, day.green_id, limit=1)]
    whole = json.dumps([*rests_on, logged], sort_keys=True)
    return ChartAsked(
        player=player,
        day=day,
        green_name=greens.green(store, day.green_id).name if day else "",
        balls=len(logged),
        key=hashlib.sha256(whole.encode()).hexdigest(),
    )


def drawn(store: Store, wanted: ChartAsked) -> str:
    """The chart as SVG. What goes wrong with the green or its balls is raised as it is everywhere."""
    player, day_row = wanted.player, wanted.day
    if day_row is None:
        today = GreenToday()
        made = chart(players.model_player(player), today, carries_m=CARRIES_M)
        return chart_picture(today, made, player.units)
    day = greens.model_day(store, day_row.id, player=player)
    learned = desk.learned_today(store, player.id, day, day_row.id)
    made = chart(day.player, day.today, fit=learned, carries_m=CARRIES_M)
    return chart_picture(day.today, made, player.units)
