"""What a player adds from home through a link: tallies of a day, marked "by player", and nothing else."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Sequence
from typing import Annotated

from pydantic import Field, model_validator

from firstbounce.records import balls as log
from firstbounce.records.rows.balls import BallKind, BallRow, Kept, Refused
from firstbounce.records.rows.base import Id, Name, Whole
from firstbounce.records.rows.people import By, LinkRow
from firstbounce.records.rows.sessions import SessionKind, SessionRow
from firstbounce.services import sessions
from firstbounce.services.given import Shape
from firstbounce.services.store import Store
from firstbounce.words import Point, TallyFinish, TallyLanding

MOST_A_DAY = 300  #: tallies of one player; more than anybody should hit
MOST_ROWS_A_DAY = 2 * MOST_A_DAY  #: with those taken back
FULL = f"{MOST_A_DAY} balls of one day are kept; rest, and go on tomorrow"
OLDEST_DAYS = 60  #: of a tally that waited on the player's device


class OwnTally(Shape):
    """A ball that a player tallied, or one of theirs taken back. Lengths along the line to the hole [m]."""

    id: Id
    seq: Whole
    day: datetime.date  #: by the player's device
    club: Name | None = None
    to_spot_m: Annotated[float, Field(ge=0.5, le=60)] | None = None
    spot_to_hole_m: Annotated[float, Field(ge=0, le=60)] | None = None
    circle_radius_m: Annotated[float, Field(ge=0.1, le=10)] | None = None
    landed: TallyLanding | None = None
    finished: TallyFinish | None = None
    takes_back: Id | None = None

    @model_validator(mode="after")
    def _whole(self) -> OwnTally:
        said = (
            self.club,
            self.to_spot_m,
            self.spot_to_hole_m,
            self.circle_radius_m,
            self.landed,
            self.finished,
        )
        if self.takes_back is None and any(one is None for one in said):
            raise ValueError("a tally says club, both lengths, the circle, where it landed and finished")
        return self


def add_tallies(store: Store, link: LinkRow, tallies: Sequence[OwnTally], now: datetime.datetime) -> Kept:
    """Keep tallies once each in the player's home session of their day; say which are refused, and why."""
    kept: list[str] = []
    refused: list[Refused] = []
    for day in dict.fromkeys(one.day for one in tallies):
        of_day = [one for one in tallies if one.day == day]
        if not now.date() - datetime.timedelta(days=OLDEST_DAYS) <= day <= now.date() + datetime.timedelta(1):
            why = f"a tally is of the last {OLDEST_DAYS} days; is the clock of this phone right?"
            refused += [Refused(id=one.id, why=why, again=False) for one in of_day]
            continue
        done = _of_day(store, link, day, of_day, now)
        kept += done.kept
        refused += done.refused
    return Kept(kept=tuple(kept), refused=tuple(refused))


def home_session_id(player_id: str, day: datetime.date) -> str:
    """The id of a player's home session of a day: one, however often and from wherever it is begun."""
    return hashlib.sha256(f"home {player_id} {day.isoformat()}".encode()).hexdigest()[:32]


def _of_day(
    store: Store, link: LinkRow, day: datetime.date, tallies: Sequence[OwnTally], now: datetime.datetime
) -> Kept:
    session_id = home_session_id(link.player_id, day)
    noon = datetime.datetime.combine(day, datetime.time(12), tzinfo=now.tzinfo)
    sessions.start_session(
        store,
        SessionRow(
            id=session_id,
            player_id=link.player_id,
            kind=SessionKind.HOME,
            started=now if day == now.date() else noon,
            logged_by=By.PLAYER,
        ),
    )
    with store.read() as connection:
        room = MOST_ROWS_A_DAY - log.rows_in_session(connection, session_id)
    there = {one.ball.id for one in sessions.session_balls(store, session_id)}
    balls_left = MOST_A_DAY - len(there)
    take: list[BallRow] = []
    full: list[Refused] = []
    for one in tallies:
        if one.id not in there:
            room -= 1
            balls_left += 1 if one.takes_back in there else -1 if one.takes_back is None else 0
            if room < 0 or balls_left < 0:
                full.append(Refused(id=one.id, why=FULL, again=False))
                continue
        take.append(_ball(one, session_id, link, now))
    done = sessions.log_balls(store, take, only_player=link.player_id)
    return Kept(kept=done.kept, refused=(*done.refused, *full))


def _ball(one: OwnTally, session_id: str, link: LinkRow, now: datetime.datetime) -> BallRow:
    if one.takes_back is not None:
        return BallRow(
            id=one.id,
            session_id=session_id,
            kind=BallKind.WITHDRAWN,
            device=link.id,
            seq=one.seq,
            made=now,
            corrects_id=one.takes_back,
        )
    assert one.to_spot_m is not None and one.spot_to_hole_m is not None
    return BallRow(
        id=one.id,
        session_id=session_id,
        kind=BallKind.TALLY,
        device=link.id,
        seq=one.seq,
        made=now,
        club=one.club,
        start_m=Point(0.0, 0.0),
        hole_m=Point(0.0, one.to_spot_m + one.spot_to_hole_m),
        aim_m=Point(0.0, one.to_spot_m),
        circle_radius_m=one.circle_radius_m,
        tally_landed=one.landed,
        tally_finished=one.finished,
    )
