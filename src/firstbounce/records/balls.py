"""The log of balls: append-only, each id once; a correction is a new row that points at the old one."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, Select, and_, exists, func, select, update

from firstbounce.errors import NotThere
from firstbounce.records.codec import moment_columns, row_of, values_of
from firstbounce.records.queries import erased, found, in_chunks, put
from firstbounce.records.rows.balls import BallKind, BallRow, Kept, KeptBall, Refused, Tallied
from firstbounce.records.rows.people import By
from firstbounce.records.tables import BALL, PLAN, PLAYER, SESSION, STATION
from firstbounce.words import TallyLanding

NOT_YET = "is not in the records yet; send it first"
TAKEN = "this id belongs to another ball; a new ball needs a new id"
GONE = "its player was erased from the records"
LATER = BALL.alias("later")


def keep_balls(
    connection: Connection,
    balls: Sequence[BallRow],
    *,
    now: datetime.datetime,
    only_player: str | None = None,
) -> Kept:
    """Keep every ball that is new and can be kept; name those that are here and those that are not, and why.

    `only_player`: the balls come through that player's link: tallies of their own sessions only.
    """
    desk = _Desk(connection, balls, only_player)
    for ball in balls:
        desk.take(ball)
    logged_by = By.PLAYER if only_player else By.COACH
    put(connection, BALL, [_columns(ball, desk, logged_by, now) for ball in desk.new.values()])
    _count(connection, desk)
    kept = [ball.id for ball in balls if ball.id in desk.kept]
    return Kept(kept=tuple(dict.fromkeys(kept)), refused=tuple(desk.refused.values()))


def session_balls(connection: Connection, session_id: str) -> tuple[KeptBall, ...]:
    """The balls of a session that stand, in the order logged; a corrected ball keeps its turn."""
    asked = select(BALL).where(BALL.c.session_id == session_id).order_by(BALL.c.arrival)
    last: dict[str, Mapping[Any, Any]] = {}
    for row in connection.execute(asked).mappings():
        last[row["root_id"]] = row
    return tuple(_kept(row) for row in last.values() if row["kind"] != BallKind.WITHDRAWN)


def player_balls(
    connection: Connection, player_id: str, *, before: int | None = None, limit: int = 50
) -> tuple[KeptBall, ...]:
    """The balls of a player that stand, newest first, in pages; `before`: arrival of the last one seen."""
    asked = _standing().where(BALL.c.player_id == player_id)
    if before is not None:
        asked = asked.where(BALL.c.arrival < before)
    asked = asked.order_by(BALL.c.arrival.desc()).limit(limit)
    return tuple(_kept(row) for row in connection.execute(asked).mappings())


def rows_in_session(connection: Connection, session_id: str) -> int:
    """How many rows a session has, corrections and balls taken back with them."""
    asked = select(func.count()).select_from(BALL).where(BALL.c.session_id == session_id)
    return int(connection.execute(asked).scalar_one())


def tallied_at_home(
    connection: Connection, player_id: str, since: datetime.datetime | None = None
) -> Tallied:
    """What the player tallied at home, counted; `since`: in sessions that began then or later."""
    home = select(SESSION.c.id).where(
        SESSION.c.player_id == player_id, SESSION.c.kind == "home", SESSION.c.logged_by == By.PLAYER
    )
    if since is not None:
        home = home.where(SESSION.c.started_utc >= moment_columns("since", since)["since_utc"])
    asked = (
        _standing()
        .where(BALL.c.session_id.in_(home))
        .with_only_columns(BALL.c.tally_landed, func.count())
        .group_by(BALL.c.tally_landed)
    )
    counted = {str(landed): int(n) for landed, n in connection.execute(asked)}
    return Tallied(
        balls=sum(counted.values()),
        seen=sum(n for landed, n in counted.items() if landed != TallyLanding.NOT_SEEN),
        in_circle=counted.get(str(TallyLanding.IN_CIRCLE), 0),
    )


def ball_history(connection: Connection, ball_id: str) -> tuple[KeptBall, ...]:
    """A ball and every correction of it, oldest first. NotThere when there is none."""
    root = connection.execute(select(BALL.c.root_id).where(BALL.c.id == ball_id)).scalar()
    if root is None:
        raise NotThere(f"There is no ball with the id {ball_id!r}.")
    asked = select(BALL).where(BALL.c.root_id == root).order_by(BALL.c.arrival)
    return tuple(_kept(row) for row in connection.execute(asked).mappings())


def _standing() -> Select[Any]:
    superseded = exists().where(and_(LATER.c.root_id == BALL.c.root_id, LATER.c.arrival > BALL.c.arrival))
    return select(BALL).where(~superseded, BALL.c.kind != BallKind.WITHDRAWN)


def _kept(row: Mapping[Any, Any]) -> KeptBall:
    return row_of(KeptBall, row, ball=row_of(BallRow, row))


def _columns(ball: BallRow, desk: _Desk, logged_by: By, now: datetime.datetime) -> dict[str, Any]:
    return values_of(ball) | {
        "player_id": desk.sessions[ball.session_id]["player_id"],
        "root_id": desk.root_of[ball.id],
        "logged_by": logged_by,
        **moment_columns("received", now),
    }


@dataclass(slots=True)
class _Desk:
    """Decides ball by ball; what the records know of the whole batch is asked once."""

    connection: Connection
    batch: Sequence[BallRow]
    only_player: str | None
    sessions: dict[str, Mapping[Any, Any]] = field(init=False)
    gone: set[str] = field(init=False)
    here: dict[str, Mapping[Any, Any]] = field(init=False)  #: balls of the batch, and those corrected, by id
    plans: dict[str, Mapping[Any, Any]] = field(init=False)
    stations: dict[str, Mapping[Any, Any]] = field(init=False)
    new: dict[str, BallRow] = field(default_factory=dict)
    kept: set[str] = field(default_factory=set)
    root_of: dict[str, str] = field(default_factory=dict)
    refused: dict[str, Refused] = field(default_factory=dict)

    def __post_init__(self) -> None:
        batch, connection = self.batch, self.connection
        self.sessions = _by_id(connection, SESSION, (ball.session_id for ball in batch))
        _lock(connection, {row["player_id"] for row in self.sessions.values()})
        self.gone = erased(connection, {ball.session_id for ball in batch} - set(self.sessions))
        self.here = _by_id(connection, BALL, [*(b.id for b in batch), *(b.corrects_id for b in batch)])
        self.plans = _by_id(connection, PLAN, (ball.plan_id for ball in batch))
        self.stations = _by_id(connection, STATION, (ball.station_id for ball in batch))

    def take(self, ball: BallRow) -> None:
        """Keep the ball or say why not."""
        before = self.here.get(ball.id) or self._new_one(ball.id)
        if before is not None:
            same = (before["device"], before["seq"], before["session_id"]) == (
                ball.device,
                ball.seq,
                ball.session_id,
            )
            if same:
                self.kept.add(ball.id)
            else:
                self._refuse(ball, TAKEN, again=False)
            return
        problem = self._missing(ball)
        if problem:
            self._refuse(ball, problem, again=problem.endswith(NOT_YET))
            return
        self.new[ball.id] = ball
        self.kept.add(ball.id)
        self.root_of[ball.id] = self._root(ball)

    def _missing(self, ball: BallRow) -> str | None:
        session = self.sessions.get(ball.session_id)
        if session is None:
            return GONE if ball.session_id in self.gone else f"its session {NOT_YET}"
        if self.only_player and (
            session["player_id"] != self.only_player
            or session["logged_by"] != By.PLAYER
            or not _by_hand(ball)
        ):
            return "a player's link adds tallies to sessions of their own, nothing else"
        return self._bad_reference(ball, session["player_id"])

    def _bad_reference(self, ball: BallRow, player_id: str) -> str | None:
        if ball.station_id and ball.station_id not in self.stations:
            return f"its station {NOT_YET}"
        if ball.plan_id and ball.plan_id not in self.plans:
            return f"its plan {NOT_YET}"
        if ball.plan_id and self.plans[ball.plan_id]["player_id"] != player_id:
            return "its plan is another player's"
        return self._bad_correction(ball) if ball.corrects_id else None

    def _bad_correction(self, ball: BallRow) -> str | None:
        assert ball.corrects_id
        corrected = self.here.get(ball.corrects_id) or self._new_one(ball.corrects_id)
        if corrected is None:
            return f"the ball it corrects {NOT_YET}"
        if corrected["session_id"] != ball.session_id:
            return "it corrects a ball of another session"
        if self.only_player and corrected.get("logged_by", By.PLAYER) != By.PLAYER:
            return "a player's link corrects only what the player logged"
        return None

    def _new_one(self, ball_id: str) -> Mapping[Any, Any] | None:
        """A ball of this batch that was taken before this one."""
        ball = self.new.get(ball_id)
        if ball is None:
            return None
        return {"device": ball.device, "seq": ball.seq, "session_id": ball.session_id}

    def _root(self, ball: BallRow) -> str:
        if ball.corrects_id is None:
            return ball.id
        corrected = self.here.get(ball.corrects_id)
        return corrected["root_id"] if corrected else self.root_of[ball.corrects_id]

    def _refuse(self, ball: BallRow, why: str, *, again: bool) -> None:
        self.refused[ball.id] = Refused(id=ball.id, why=why, again=again)


def _by_hand(ball: BallRow) -> bool:
    return ball.kind in (BallKind.TALLY, BallKind.WITHDRAWN)


def _by_id(connection: Connection, table: Any, ids: Iterable[str | None]) -> dict[str, Mapping[Any, Any]]:
    wanted = ("id", "player_id", "session_id", "device", "seq", "root_id", "logged_by")
    columns = [table.c[name] for name in wanted if name in table.c]
    return {
        row["id"]: row
        for part in in_chunks(row_id for row_id in ids if row_id is not None)
        for row in connection.execute(select(*columns).where(table.c.id.in_(part))).mappings()
    }


def _lock(connection: Connection, player_ids: set[str]) -> None:
    """Nobody else logs balls of these players until this transaction ends (SQLite has one writer anyway)."""
    if connection.dialect.name == "sqlite" or not player_ids:
        return
    asked = select(PLAYER.c.id).where(PLAYER.c.id.in_(sorted(player_ids))).order_by(PLAYER.c.id)
    connection.execute(asked.with_for_update())


def _count(connection: Connection, desk: _Desk) -> None:
    """Keep each player's number of balls that stand in step with the balls."""
    after = {desk.root_of[ball.id]: ball for ball in desk.new.values()}
    corrected = {desk.root_of[ball.id] for ball in desk.new.values() if ball.corrects_id}
    stood = _stood(connection, corrected, {*desk.new})
    more: dict[str, int] = {}
    for root, ball in after.items():
        player_id = desk.sessions[ball.session_id]["player_id"]
        change = int(ball.kind is not BallKind.WITHDRAWN) - int(root in stood)
        more[player_id] = more.get(player_id, 0) + change
    for player_id, change in sorted(more.items()):
        if change:
            raised = {"balls": PLAYER.c.balls + change}
            connection.execute(update(PLAYER).where(PLAYER.c.id == player_id).values(raised))


def _stood(connection: Connection, roots: set[str], new: set[str]) -> set[str]:
    """Which of these balls stood before this batch."""
    last: dict[str, str] = {}
    for part in in_chunks(roots):
        asked = (
            select(BALL.c.id, BALL.c.root_id, BALL.c.kind)
            .where(BALL.c.root_id.in_(part))
            .order_by(BALL.c.arrival)
        )
        last.update({root: kind for row_id, root, kind in connection.execute(asked) if row_id not in new})
    return {root for root, kind in last.items() if kind != BallKind.WITHDRAWN}


def count_anew(connection: Connection, player_id: str) -> int:
    """How many balls of a player stand, counted one by one: what `player.balls` must say."""
    found(connection, PLAYER, player_id)
    asked = _standing().where(BALL.c.player_id == player_id).with_only_columns(BALL.c.id)
    return len(connection.execute(asked).all())
