"""Balls as logged: append-only, with ids made on the device."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from firstbounce.errors import ParameterError
from firstbounce.records.rows.base import Id, LongText, Moment, Name, Place, Whole, row
from firstbounce.records.rows.people import By
from firstbounce.words import Ball, Circle, Lie, Strike, Tally, TallyFinish, TallyLanding

FORMAT = 1  #: of a ball as a phone sends it; newer servers keep reading older ones
PlacingSd = Annotated[float, Field(ge=0.01, le=10)]


class BallKind(StrEnum):
    """How a ball was logged; `withdrawn` takes an earlier one back."""

    PLACED = "placed"
    TALLY = "tally"
    WITHDRAWN = "withdrawn"


@row
class BallRow:
    """One ball as a device sends it. A correction has its own id and points at the ball it corrects."""

    id: Id
    session_id: Id
    kind: BallKind = BallKind.PLACED
    device: Id
    seq: Whole  #: grows by one with each ball of the device
    made: Moment  #: by the device's clock, which may be wrong; order comes from seq and arrival
    format: Literal[1] = 1
    corrects_id: Id | None = None
    station_id: Id | None = None
    plan_id: Id | None = None
    club: Name | None = None
    lie: Lie = Lie()
    start_m: Place | None = None
    hole_m: Place | None = None
    aim_m: Place | None = None  #: the landing spot meant; centre of the circle of a tally
    circle_radius_m: Annotated[float, Field(ge=0.1, le=10)] | None = None
    landed_m: Place | None = None
    finished_m: Place | None = None
    holed: bool = False
    strike: Strike | None = None
    hang_time_s: Annotated[float, Field(ge=0.05, le=8)] | None = None
    landed_sd_m: PlacingSd = 0.25
    finished_sd_m: PlacingSd = 0.25
    tally_landed: TallyLanding | None = None
    tally_finished: TallyFinish | None = None
    note: LongText = ""

    def __post_init__(self) -> None:
        missing = [name for name in _NEEDED[self.kind] if getattr(self, name) is None]
        if missing:
            raise ParameterError(f"A ball that is {self.kind} needs {', '.join(missing)}.")
        if self.kind is BallKind.PLACED and not (self.landed_m or self.finished_m or self.holed):
            raise ParameterError("A placed ball needs landed_m, finished_m or holed.")
        if self.corrects_id == self.id:
            raise ParameterError("A ball cannot correct itself; a correction has its own id.")

    def spoken(self) -> Ball | Tally | None:
        """The ball as the models speak of it; None when withdrawn."""
        if self.kind is BallKind.WITHDRAWN or self.club is None or self.start_m is None:
            return None
        return self._tally(self.club) if self.kind is BallKind.TALLY else self._ball(self.club)

    def _ball(self, club: str) -> Ball:
        assert self.start_m is not None
        return Ball(
            id=self.id,
            club=club,
            lie=self.lie,
            start=self.start_m,
            hole=self.hole_m,
            aim=self.aim_m,
            landed=self.landed_m,
            finished=None if self.holed else self.finished_m,
            holed=self.holed,
            strike=self.strike,
            hang_time_s=self.hang_time_s,
            landed_sd_m=self.landed_sd_m,
            finished_sd_m=self.finished_sd_m,
            station=self.station_id,
            session=self.session_id,
        )

    def _tally(self, club: str) -> Tally:
        assert self.start_m and self.hole_m and self.aim_m and self.circle_radius_m
        assert self.tally_landed and self.tally_finished
        return Tally(
            id=self.id,
            club=club,
            lie=self.lie,
            start=self.start_m,
            hole=self.hole_m,
            circle=Circle(centre=self.aim_m, radius_m=self.circle_radius_m),
            landing=self.tally_landed,
            finish=self.tally_finished,
            strike=self.strike,
            station=self.station_id,
            session=self.session_id,
        )


_NEEDED = {
    BallKind.PLACED: ("club", "start_m"),
    BallKind.TALLY: (
        "club",
        "start_m",
        "hole_m",
        "aim_m",
        "circle_radius_m",
        "tally_landed",
        "tally_finished",
    ),
    BallKind.WITHDRAWN: ("corrects_id",),
}


@row
class KeptBall:
    """A ball as it stands in the records."""

    arrival: Whole  #: grows with each ball kept, of all players; the cursor for paging
    ball: BallRow
    player_id: Id
    root_id: Id  #: id of the ball first logged, which this one is or corrects
    logged_by: By
    received: Moment  #: by the clock of the records


@row
class Tallied:
    """Tallies counted: how many, and of those seen to land how many in the circle."""

    balls: Whole = 0
    seen: Whole = 0
    in_circle: Whole = 0


@row
class Refused:
    """A row that was not kept, and why. `again` says that it may be kept when sent later."""

    id: str
    why: str
    again: bool


@row
class Kept:
    """What a device may forget, and what it must keep."""

    kept: tuple[str, ...]  #: ids that are in the records now, each once, in the order sent
    refused: tuple[Refused, ...] = ()
