"""A player over the last weeks, from the records: what the balls of all days say, and what changed."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from firstbounce.errors import CannotEstimate
from firstbounce.files.balls import LoggedBalls
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.people import By, PlayerRow
from firstbounce.review.drawn import ONE_BALL
from firstbounce.review.progress import Progress
from firstbounce.review.review import Review
from firstbounce.services import desk, greens, players, sessions
from firstbounce.services.day import Day
from firstbounce.services.day_balls import by_name, stations_of
from firstbounce.services.progress import progress_over, progress_pictures
from firstbounce.services.review import review_days, review_pictures
from firstbounce.services.store import Store

MOST_SESSIONS = 200  #: of a player that are looked through
MOST_DAYS = 12  #: reviewed together; each is fitted by itself
MOST_EARLIER = 4  #: days before them that say what is usual for the player


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksAsked:
    """The weeks before they are worked out. Two with the same key say the same."""

    player: PlayerRow
    days: tuple[str, ...]  #: ids, oldest first
    earlier: tuple[str, ...]
    balls: int  #: logged on these days
    key: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OverWeeks:
    """What the weeks say."""

    review: Review
    progress: Progress
    pictures: dict[str, str]  #: name to SVG text


def asked(store: Store, player_id: str, since: datetime.date) -> WeeksAsked:
    """The days since a date on which the coach logged balls of this player. NotThere: no such player."""
    player = players.player(store, player_id)
    held = sessions.sessions(store, player_id, limit=MOST_SESSIONS, by=By.COACH)
    dates: dict[str, datetime.date] = {}
    for one in held:
        if one.day_id is not None:
            dates.setdefault(one.day_id, one.started.date())
    ordered = sorted(dates, key=lambda day_id: dates[day_id])
    days = tuple(day_id for day_id in ordered if dates[day_id] >= since)[-MOST_DAYS:]
    earlier = tuple(day_id for day_id in ordered if dates[day_id] < since)[-MOST_EARLIER:]
    logged = {day_id: desk.balls_of_day(store, player_id, day_id) for day_id in (*earlier, *days)}
    rests_on = [plain(player), earlier, [[one.ball.id for one in logged[day]] for day in (*earlier, *days)]]
    return WeeksAsked(
        player=player,
        days=days,
        earlier=earlier,
        balls=sum(len(logged[day_id]) for day_id in days),
        key=hashlib.sha256(json.dumps(rests_on, sort_keys=True).encode()).hexdigest(),
    )


def worked_out(
    store: Store, wanted: WeeksAsked, progress: Callable[[float], None] = lambda share: None
) -> OverWeeks:
    """The review of all these days together and the change over them. CannotEstimate without any ball."""
    if not wanted.balls:
        raise CannotEstimate("No ball was logged in these weeks; choose more weeks, or log some first.")
    days = _loaded(store, wanted, wanted.days)
    progress(0.1)
    seen = review_days(days, earlier=_loaded(store, wanted, wanted.earlier), unit=wanted.player.units)
    progress(0.8)
    changed = progress_over(days)
    drawn = review_pictures(seen, [day for day, _ in days], wanted.player.units)
    of_all = {name: svg for name, svg in drawn.items() if name != ONE_BALL}
    return OverWeeks(review=seen, progress=changed, pictures=of_all | progress_pictures(changed))


def _loaded(store: Store, wanted: WeeksAsked, ids: Sequence[str]) -> list[tuple[Day, LoggedBalls]]:
    """Days with the player's balls, stations by their names; a day without balls is left out."""
    loaded = []
    for day_id in ids:
        balls = desk.balls_of_day(store, wanted.player.id, day_id)
        if balls:
            stations = stations_of(store, day_id, balls)
            day = greens.model_day(store, day_id, player=wanted.player, stations=stations)
            loaded.append((day, by_name(sessions.spoken_balls(balls), stations, day.stations)))
    return loaded
