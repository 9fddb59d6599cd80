"""Players, their bags, consent and notes; links that show a player their own record."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from firstbounce.errors import ParameterError
from firstbounce.players.clubs import Bag, Club, usual_bag
from firstbounce.players.player import Hand
from firstbounce.records.rows.base import Id, LongText, Moment, Name, row
from firstbounce.units import LengthUnit
from firstbounce.words import Level


class By(StrEnum):
    """Who wrote a row: the coach, or the player through a link."""

    COACH = "coach"
    PLAYER = "player"


class ConsentKind(StrEnum):
    """What was agreed to."""

    RECORD = "record"  #: that a record is kept; a junior's guardian gives it
    FILMING = "filming"
    PICTURES = "pictures"  #: that pictures may be shown to others


class Giver(StrEnum):
    """Who gave a consent."""

    PLAYER = "player"
    GUARDIAN = "guardian"


@row
class PlayerRow:
    """One player. A name may be initials or a code; numbers left out are usual for the level."""

    id: Id
    name: Name
    level: Level
    made: Moment
    hand: Hand = Hand.RIGHT
    units: LengthUnit = LengthUnit.METRES
    junior: bool = False
    clubs: Annotated[tuple[Club, ...], Field(min_length=1, max_length=30)] = usual_bag().clubs
    extra_lean_deg: Annotated[float, Field(ge=-10, le=10)] | None = None
    attack_deg: Annotated[float, Field(ge=-15, le=10)] | None = None
    spread_floor_m: Annotated[float, Field(ge=0, le=5)] | None = None
    spread_share: Annotated[float, Field(ge=0, le=0.6)] | None = None
    spread_direction_deg: Annotated[float, Field(ge=0, le=20)] | None = None
    mishit_share: Annotated[float, Field(ge=0, le=0.9)] | None = None
    archived: bool = False

    def __post_init__(self) -> None:
        Bag(self.clubs)  # refuses two clubs of one name

    @property
    def bag(self) -> Bag:
        """The clubs as a bag."""
        return Bag(self.clubs)


@row
class Consent:
    """What a player, or a junior's guardian, agreed to, and until when the record may be kept."""

    id: Id
    player_id: Id
    kind: ConsentKind
    given_by: Giver = Giver.PLAYER
    guardian: Name | None = None  #: who gave it for a junior
    given: Moment
    delete_by: datetime.date | None = None
    withdrawn: Moment | None = None
    note: LongText = ""

    def __post_init__(self) -> None:
        if self.given_by is Giver.GUARDIAN and self.guardian is None:
            raise ParameterError("A guardian's consent needs the guardian's name or initials.")

    @property
    def opens_a_juniors_record(self) -> bool:
        """Whether a junior's record may be kept on it."""
        return (
            self.kind is ConsentKind.RECORD
            and self.given_by is Giver.GUARDIAN
            and self.delete_by is not None
            and self.withdrawn is None
        )


@row
class Note:
    """A dated remark about a player, seen by the coach only."""

    id: Id
    player_id: Id
    made: Moment
    text: LongText

    def __post_init__(self) -> None:
        if not self.text:
            raise ParameterError("A note needs some text.")


@row
class LevelSince:
    """From when on a player had a level."""

    player_id: Id
    since: Moment
    level: Level


@row
class LinkRow:
    """A link that shows one player their own record until it expires or is revoked."""

    id: Id
    player_id: Id
    made: Moment
    expires: Moment
    revoked: Moment | None = None
    may_add: bool = True  #: homework tallies and drill scores of their own
    note: LongText = ""

    def open_at(self, now: datetime.datetime) -> bool:
        """Whether the link may be used at this moment."""
        return self.revoked is None and now < self.expires
