"""A player as a phone or a page gives one: everything but name and level has a usual value and can wait."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Mapping, Sequence
from typing import Annotated

from pydantic import Field

from firstbounce.players.clubs import USUAL_LOFT_DEG, Club, usual_bag, usual_club
from firstbounce.players.player import Hand
from firstbounce.records.rows.base import Id, Name
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, PlayerRow
from firstbounce.services.given import Shape
from firstbounce.units import LengthUnit
from firstbounce.words import Level


class ClubGiven(Shape):
    """A club with the loft that was read off it; without a loft the one that is known, or the usual one."""

    name: Name
    loft_deg: Annotated[float, Field(ge=0, le=72)] | None = None

    def spoken(self, known: Mapping[str, Club]) -> Club:
        """The club as the models know one. ParameterError when no usual loft is known for its name."""
        before = known.get(self.name)
        if before is not None and self.loft_deg in (None, before.loft_deg):
            return before
        usual = self.name in USUAL_LOFT_DEG and self.loft_deg == USUAL_LOFT_DEG[self.name]
        if self.loft_deg is None or (usual and before is None):
            return usual_club(self.name)
        return Club(name=self.name, loft_deg=self.loft_deg, is_putter=self.name == "putter")


Clubs = Annotated[list[Name | ClubGiven], Field(min_length=1, max_length=30)]


class PlayerGiven(Shape):
    """A player. Everything but name and level has a usual value and can wait."""

    name: Name
    level: Level = Level.TEN_TO_EIGHTEEN
    hand: Hand = Hand.RIGHT
    units: LengthUnit = LengthUnit.METRES
    junior: bool = False
    clubs: Clubs | None = None  #: names of usual clubs, or clubs with their lofts; None for the usual bag


class NewPlayer(PlayerGiven):
    """A new player; a junior with the guardian's consent."""

    id: Id | None = None
    guardian: Name | None = None
    delete_by: datetime.date | None = None


def rows_of(
    body: NewPlayer, player_id: str, made: datetime.datetime
) -> tuple[PlayerRow, tuple[Consent, ...]]:
    """The rows of a new player. ParameterError when no usual loft is known for a club."""
    row = PlayerRow(
        id=player_id,
        name=body.name,
        level=body.level,
        made=made,
        hand=body.hand,
        units=body.units,
        junior=body.junior,
        clubs=clubs_of(body.clubs),
    )
    if body.guardian is None:
        return row, ()
    consent = Consent(
        id=consent_id(player_id),
        player_id=player_id,
        kind=ConsentKind.RECORD,
        given_by=Giver.GUARDIAN,
        guardian=body.guardian,
        given=made,
        delete_by=body.delete_by,
    )
    return row, (consent,)


def clubs_of(given: Sequence[str | ClubGiven] | None, known: tuple[Club, ...] = ()) -> tuple[Club, ...]:
    """The clubs that were given, with the lofts that are known of them; None for those there are."""
    if given is None:
        return known or usual_bag().clubs
    own = {club.name: club for club in known}
    return tuple((ClubGiven(name=one) if isinstance(one, str) else one).spoken(own) for one in given)


def consent_id(player_id: str) -> str:
    """The id of the consent that came with a new player: the same when it is sent again."""
    return hashlib.sha256(f"consent {player_id}".encode()).hexdigest()[:32]
