"""Players: add, change, list; their consent, notes, levels and links; the player as the models know one."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from firstbounce.errors import ParameterError, StoreError
from firstbounce.files.green_shape import PlayerGiven
from firstbounce.players.player import Player
from firstbounce.records import people
from firstbounce.records.queries import erased, new_id
from firstbounce.records.rows.people import Consent, ConsentKind, LevelSince, LinkRow, Note, PlayerRow
from firstbounce.records.store import Store
from firstbounce.services.day import player_of_file
from firstbounce.words import Level

PAGE = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayerLine:
    """One line of the list of players."""

    id: str
    name: str
    level: Level
    junior: bool
    balls: int


def add_player(store: Store, player: PlayerRow, consents: Iterable[Consent] = ()) -> None:
    """A new player; once only, by id. A junior's record needs a guardian's consent (`Consent`)."""
    given = tuple(consents)
    with store.write() as connection:
        if erased(connection, [player.id]):
            raise ParameterError("This player was erased from the records; a new record needs a new id.")
        known = people.consents(connection, player.id)
        _allow_junior(player, (*known, *given))
        people.add_player(connection, player)
        for consent in given:
            people.add_consent(connection, _own(consent, player))


def change_player(store: Store, player: PlayerRow) -> None:
    """Everything but the id as given. NotThere when there is no such player."""
    with store.write() as connection:
        _allow_junior(player, people.consents(connection, player.id))
        people.change_player(connection, player, store.clock())


def archive_player(store: Store, player_id: str, archived: bool = True) -> None:
    """Out of the list, or back in it; nothing is deleted."""
    change_player(store, replace(player(store, player_id), archived=archived))


def player(store: Store, player_id: str) -> PlayerRow:
    """One player. NotThere when there is none."""
    with store.read() as connection:
        return people.player_of(connection, player_id)


def player_list(
    store: Store, *, named: str = "", archived: bool = False, limit: int = PAGE, after: str = ""
) -> tuple[PlayerLine, ...]:
    """Players by name, in pages; `named`: letters that the name holds; `after`: id of the last one seen."""
    with store.read() as connection:
        lines = people.players(connection, archived=archived, named=named, limit=limit, after=after)
    return tuple(
        PlayerLine(**{**line, "junior": bool(line["junior"]), "level": Level(line["level"])})
        for line in lines
    )


def every_player(store: Store) -> Iterator[PlayerLine]:
    """Every player, archived ones last, by name."""
    for archived in (False, True):
        after = ""
        while page := player_list(store, archived=archived, after=after):
            yield from page
            after = page[-1].id


def ball_count(store: Store, player_id: str) -> int:
    """How many balls of the player stand; known without counting."""
    with store.read() as connection:
        return people.ball_count(connection, player_id)


def model_player(row: PlayerRow) -> Player:
    """The player as the models know one: what was not measured is usual for the level."""
    return replace(player_of_file(given_player(row)), bag=row.bag)


def given_player(row: PlayerRow) -> PlayerGiven:
    """The player as `green.toml` writes one."""
    return PlayerGiven(
        name=row.name,
        level=row.level,
        hand=row.hand,
        bag={club.name: club.loft_deg for club in row.clubs},
        extra_lean_deg=row.extra_lean_deg,
        attack_deg=row.attack_deg,
        spread_floor_m=row.spread_floor_m,
        spread_share=row.spread_share,
        spread_direction_deg=row.spread_direction_deg,
        mishit_share=row.mishit_share,
    )


def add_note(store: Store, note: Note) -> None:
    """A dated remark, seen by the coach only."""
    with store.write() as connection:
        people.add_note(connection, note)


def notes(store: Store, player_id: str, limit: int = PAGE) -> tuple[Note, ...]:
    """The last notes, newest first."""
    with store.read() as connection:
        return people.notes(connection, player_id, limit)


def levels(store: Store, player_id: str) -> tuple[LevelSince, ...]:
    """The player's levels, oldest first."""
    with store.read() as connection:
        return people.levels(connection, player_id)


def add_consent(store: Store, consent: Consent) -> None:
    """A consent that was given."""
    with store.write() as connection:
        people.add_consent(connection, consent)


def withdraw_consent(store: Store, consent_id: str) -> None:
    """A consent ends now; that it was given stays on record."""
    with store.write() as connection:
        people.withdraw_consent(connection, consent_id, store.clock())


def consents(store: Store, player_id: str) -> tuple[Consent, ...]:
    """Every consent of a player, oldest first."""
    with store.read() as connection:
        return people.consents(connection, player_id)


def may(store: Store, player_id: str, kind: ConsentKind) -> bool:
    """Whether a consent of this kind stands today."""
    today = store.clock().date()
    return any(
        one.kind is kind and one.withdrawn is None and (one.delete_by is None or one.delete_by >= today)
        for one in consents(store, player_id)
    )


def due_for_erasing(store: Store) -> tuple[str, ...]:
    """Ids of players whose day to delete by has passed."""
    with store.read() as connection:
        return people.due_for_erasing(connection, store.clock().date())


def make_link(
    store: Store, player_id: str, *, days: int = 30, may_add: bool = True, note: str = ""
) -> LinkRow:
    """A link that shows this player their own record for some days. Whoever sends it signs its id."""
    if not 1 <= days <= 400:
        raise ParameterError(f"A link lasts 1 to 400 days, got {days}.")
    now = store.clock()
    link = LinkRow(
        id=new_id(),
        player_id=player_id,
        made=now,
        expires=now + datetime.timedelta(days=days),
        may_add=may_add,
        note=note,
    )
    with store.write() as connection:
        people.player_of(connection, player_id)
        people.add_link(connection, link)
    return link


def open_link(store: Store, link_id: str) -> LinkRow:
    """The link, when it may be used now. StoreError when expired or revoked, NotThere when unknown."""
    with store.read() as connection:
        link = people.link_of(connection, link_id)
    if not link.open_at(store.clock()):
        raise StoreError("This link has expired or was taken back; ask your coach for a new one.")
    return link


def links(store: Store, player_id: str) -> tuple[LinkRow, ...]:
    """Links of a player, newest first."""
    with store.read() as connection:
        return people.links(connection, player_id)


def revoke_link(store: Store, link_id: str) -> None:
    """The link opens nothing from now on."""
    with store.write() as connection:
        people.revoke_link(connection, link_id, store.clock())


def _allow_junior(player: PlayerRow, given: Iterable[Consent]) -> None:
    if player.junior and not any(consent.opens_a_juniors_record for consent in given):
        raise ParameterError(
            "A junior's record needs a guardian's consent first: who gave it, and the day to delete it by."
        )


def _own(consent: Consent, player: PlayerRow) -> Consent:
    if consent.player_id != player.id:
        raise ParameterError("The consent names another player.")
    return consent
