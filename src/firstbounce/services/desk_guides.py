"""Guides from the records: made from a player's day and balls, kept with their files, shared by a link."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from firstbounce.errors import CannotEstimate, NotAllowed, NotThere, ParameterError, StoreError
from firstbounce.files.balls import LoggedBalls
from firstbounce.guides.blocks import Kind, Paper
from firstbounce.guides.content import Lesson
from firstbounce.records import kept as shelf
from firstbounce.records.rows.balls import KeptBall
from firstbounce.records.rows.kept import GuideLinkRow, GuideRow
from firstbounce.records.rows.people import ConsentKind, PlayerRow
from firstbounce.records.rows.places import StationRow
from firstbounce.services import files, greens, kept, players, sessions
from firstbounce.services.coach_look import coach_of
from firstbounce.services.day import Day
from firstbounce.services.day_balls import by_name, stations_of
from firstbounce.services.desk import FEWEST_TO_LEARN, balls_of_day
from firstbounce.services.guide import Ask, Made, Progress, content_of, printed
from firstbounce.services.store import Store, new_id
from firstbounce.units import LengthUnit
from firstbounce.words import Level

PDF, PAGE = "guide pdf", "guide page"  #: kinds of kept files
PAPER = "guide_paper"  #: setting: the paper that the coach printed on last
LONGEST_DAYS = 400
Address = Callable[[str], str]  #: from the id of a link to the web address that opens it


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideAsked:
    """What a guide is to be. player_id: None for one for anyone. station_id: the last one when left out."""

    kind: Kind = Kind.PLAYER
    player_id: str | None = None
    lesson_id: str | None = None
    station_id: str | None = None
    paper: Paper = Paper.A4
    unit: LengthUnit = LengthUnit.METRES
    level: Level | None = None
    drills: tuple[str, ...] = ()
    saw: tuple[str, ...] = ()
    aim: str = ""
    goal: str = ""
    theme: str = ""
    link_days: int | None = None  #: a link is made with it, and printed as a code

    def to_dict(self) -> dict[str, Any]:
        """As the records keep it."""
        return {
            "kind": str(self.kind),
            "station": self.station_id,
            "paper": str(self.paper),
            "units": str(self.unit),
            "level": None if self.level is None else str(self.level),
            "drills": list(self.drills),
            "saw": list(self.saw),
            "aim": self.aim,
            "goal": self.goal,
            "theme": self.theme,
        }


@dataclass(frozen=True, kw_only=True, eq=False)
class Known:
    """What the records know: the day with its stations, and its balls; nothing of a new player."""

    day: Day | None = None
    stations: tuple[StationRow, ...] = ()
    balls: tuple[KeptBall, ...] = ()

    def logged(self) -> LoggedBalls | None:
        """The balls by the names of their stations; None before there are enough to learn from."""
        spoken = sessions.spoken_balls(self.balls)
        if self.day is None or len(spoken.every) < FEWEST_TO_LEARN:
            return None
        return by_name(spoken, self.stations, self.day.stations)


def make_for(
    store: Store,
    asked: GuideAsked,
    *,
    address: Address | None = None,
    progress: Progress = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> GuideRow:
    """Make a guide and keep it with its PDF and its page; with `link_days` its link, too."""
    player = None if asked.player_id is None else players.player(store, asked.player_id)
    if player is not None:
        _may_hand_out(store, player)
    known = (
        Known() if player is None or asked.kind is Kind.GENERAL else known_of(store, player, asked.station_id)
    )
    link = None
    if asked.link_days is not None and address is not None:
        link = _new_link(store, new_id(), asked.player_id, asked.link_days)
    ask = _ask(store, asked, player, known, address(link.id) if link and address else "")
    made = _made(ask, known, player, lambda share: progress(0.9 * share), cancelled)
    row = _keep(store, asked, known, made, link)
    kept.set_setting(store, PAPER, str(asked.paper))
    progress(1.0)
    return row


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """The player's last day on a green, as the records have it: quick to look up, nothing computed."""

    day_id: str
    green: str  #: its name
    stations: tuple[StationRow, ...]
    balls: tuple[KeptBall, ...]

    @property
    def enough(self) -> bool:
        """Whether the balls are enough to learn from."""
        return len(self.balls) >= FEWEST_TO_LEARN


def held_of(store: Store, player_id: str, station_id: str | None = None) -> Held | None:
    """The day of the player's last session on a green, its balls, and where they were hit from."""
    last = next((one for one in sessions.sessions(store, player_id) if one.day_id), None)
    if last is None or last.day_id is None:
        return None
    balls = balls_of_day(store, player_id, last.day_id)
    stations = stations_of(store, last.day_id, balls, first=(station_id, last.station_id))
    green = greens.green(store, greens.day_row(store, last.day_id).green_id)
    return Held(day_id=last.day_id, green=green.name, stations=stations, balls=balls)


def known_of(store: Store, player: PlayerRow, station_id: str | None = None) -> Known:
    """The same for the models; nothing when there was no session on a green that was drawn."""
    held = held_of(store, player.id, station_id)
    if held is None:
        return Known()
    try:
        day = greens.model_day(store, held.day_id, player=player, stations=held.stations)
    except NotThere:  # a green without an outline
        return Known()
    return Known(day=day, stations=held.stations, balls=held.balls)


def make_link(store: Store, guide_id: str, *, days: int) -> GuideLinkRow:
    """A link that shows one guide for some days. Whoever sends it signs its id."""
    guide = kept.guide_row(store, guide_id)
    if guide.player_id is not None:
        _may_hand_out(store, players.player(store, guide.player_id))
    link = _new_link(store, guide_id, guide.player_id, days)
    kept.keep(store, link)
    return link


def open_link(store: Store, link_id: str) -> GuideLinkRow:
    """The link, when it may be used now; a junior's only while the guardian's consent stands.

    StoreError when it has expired or was taken back, NotThere when it is unknown.
    """
    link = guide_link(store, link_id)
    if not link.open_at(store.clock()):
        raise StoreError("This link has expired or was taken back; ask your coach for a new one.")
    if link.player_id is not None:
        _may_hand_out(store, players.player(store, link.player_id))
    return link


def guide_link(store: Store, link_id: str) -> GuideLinkRow:
    """One link, open or not. NotThere when there is none."""
    with store.read() as connection:
        return shelf.guide_link(connection, link_id)


def guide_links(store: Store, guide_id: str) -> tuple[GuideLinkRow, ...]:
    """Links of a guide, newest first."""
    with store.read() as connection:
        return shelf.guide_links(connection, guide_id)


def revoke_link(store: Store, link_id: str) -> None:
    """The link opens nothing from now on."""
    with store.write() as connection:
        shelf.revoke_guide_link(connection, link_id, store.clock())


def guide_file(store: Store, guide_id: str, kind: str) -> bytes:
    """The PDF or the page of a guide. NotThere when it is gone."""
    return files.file_of(store, kind, guide_id=guide_id)


def _ask(store: Store, asked: GuideAsked, player: PlayerRow | None, known: Known, link: str) -> Ask:
    named = "" if player is None or asked.kind is Kind.GENERAL else player.name
    station = ""
    if asked.station_id is not None and known.day is not None:
        station = next(
            (
                name
                for row, name in zip(known.stations, known.day.stations, strict=True)
                if row.id == asked.station_id
            ),
            "",
        )
        if not station:
            raise ParameterError("This station is on another green than the player's last session.")
    if asked.kind is Kind.LOG_SHEET and not known.stations:
        raise ParameterError(
            "A log sheet is for one station, and this player has none yet: plan on a green and choose a club."
        )
    return Ask(
        kind=asked.kind,
        coach=coach_of(store),
        player=named,
        level=asked.level if player is None or asked.kind is Kind.GENERAL else None,
        hand=None if player is None else player.hand,
        station=station,
        drills=asked.drills,
        lesson=Lesson(saw=asked.saw, aim=asked.aim, goal=asked.goal),
        theme=asked.theme,
        link=link,
        unit=asked.unit,
        paper=asked.paper,
    )


def _made(
    ask: Ask, known: Known, player: PlayerRow | None, progress: Progress, cancelled: Callable[[], bool]
) -> Made:
    """The guide; without the balls when they say nothing yet."""
    model = None if player is None else players.model_player(player)

    def content(logged: LoggedBalls | None) -> Made:
        told = content_of(ask, known.day, logged, known_player=model, progress=progress, cancelled=cancelled)
        return printed(ask, told)

    try:
        return content(known.logged())
    except CannotEstimate:
        return content(None)


def _keep(store: Store, asked: GuideAsked, known: Known, made: Made, link: GuideLinkRow | None) -> GuideRow:
    mine = None if asked.kind is Kind.GENERAL else asked.player_id
    row = GuideRow(
        id=link.guide_id if link else new_id(),
        made=store.clock(),
        kind=str(asked.kind),
        title=made.guide.title[:80],
        inputs={
            "asked": asked.to_dict(),
            "green": None if known.day is None else kept.plain_file(known.day.file),
            "balls": [one.ball.id for one in known.balls],
        },
        player_id=mine,
        lesson_id=asked.lesson_id if mine else None,
    )
    kept.keep(store, row)
    owner = {"guide_id": row.id, "player_id": mine}
    files.keep_file(store, made.pdf, kind=PDF, name="guide.pdf", **owner)  # type: ignore[arg-type]
    files.keep_file(store, made.page.encode(), kind=PAGE, name="guide.html", **owner)  # type: ignore[arg-type]
    if link is not None:
        kept.keep(store, replace(link, player_id=mine))
    return row


def _new_link(store: Store, guide_id: str, player_id: str | None, days: int) -> GuideLinkRow:
    if not 1 <= days <= LONGEST_DAYS:
        raise ParameterError(f"A link lasts 1 to {LONGEST_DAYS} days, got {days}.")
    now = store.clock()
    until = now + datetime.timedelta(days=days)
    return GuideLinkRow(id=new_id(), guide_id=guide_id, made=now, expires=until, player_id=player_id)


def _may_hand_out(store: Store, player: PlayerRow) -> None:
    """NotAllowed for a junior whose guardian's consent to a record has ended."""
    if player.junior and not players.may(store, player.id, ConsentKind.RECORD):
        raise NotAllowed(
            "The guardian's consent to this junior's record has ended: no guide is made or shown without it."
        )
