"""Players, bags, levels, notes, consent and links: what is asked and what is written."""

from __future__ import annotations

import datetime
from typing import Any

from sqlalchemy import Connection, delete, func, or_, select, update

from firstbounce.players.clubs import Club
from firstbounce.records.codec import moment_columns, row_of, values_of
from firstbounce.records.queries import found, one, put, put_row, rows, those_there
from firstbounce.records.rows.people import Consent, LevelSince, LinkRow, Note, PlayerRow
from firstbounce.records.tables import CLUB, CONSENT, LEVEL, LINK, NOTE, PLAYER
from firstbounce.words import Source


def add_player(connection: Connection, player: PlayerRow) -> None:
    """A new player with bag and level; one that is there already stays as it is."""
    if those_there(connection, PLAYER, [player.id]):
        return
    put_row(connection, PLAYER, player, "clubs", balls=0)
    _put_bag(connection, player)
    _put_level(connection, player, player.made)


def change_player(connection: Connection, player: PlayerRow, now: datetime.datetime) -> None:
    """Everything but id and day of making as given; a new level is noted with its day."""
    before = player_of(connection, player.id)
    values = values_of(player, "clubs", "id", "made")
    connection.execute(update(PLAYER).where(PLAYER.c.id == player.id).values(values))
    if before.clubs != player.clubs:
        connection.execute(delete(CLUB).where(CLUB.c.player_id == player.id))
        _put_bag(connection, player)
    if before.level != player.level:
        _put_level(connection, player, now)


def player_of(connection: Connection, player_id: str) -> PlayerRow:
    """One player. NotThere when there is none."""
    return row_of(PlayerRow, found(connection, PLAYER, player_id), clubs=_bag(connection, player_id))


def players(
    connection: Connection, *, archived: bool, named: str, limit: int, after: str
) -> list[dict[str, Any]]:
    """Id, name, level, junior, balls of players by name, in pages."""
    kept = (PLAYER.c.id, PLAYER.c.name, PLAYER.c.level, PLAYER.c.junior, PLAYER.c.balls)
    name = func.lower(PLAYER.c.name)
    asked = select(*kept).where(PLAYER.c.archived == int(archived)).order_by(name, PLAYER.c.id).limit(limit)
    if named:
        asked = asked.where(name.contains(named.lower(), autoescape=True))
    if after:
        last = select(name).where(PLAYER.c.id == after).scalar_subquery()
        asked = asked.where(or_(name > last, (name == last) & (PLAYER.c.id > after)))
    return [dict(row) for row in connection.execute(asked).mappings()]


def ball_count(connection: Connection, player_id: str) -> int:
    """How many balls of a player stand."""
    return int(found(connection, PLAYER, player_id)["balls"])


def levels(connection: Connection, player_id: str) -> tuple[LevelSince, ...]:
    """The levels of a player, oldest first."""
    return rows(
        connection,
        select(LEVEL).where(LEVEL.c.player_id == player_id).order_by(LEVEL.c.since_utc),
        LevelSince,
    )


def add_note(connection: Connection, note: Note) -> None:
    """A dated remark."""
    put_row(connection, NOTE, note)


def notes(connection: Connection, player_id: str, limit: int) -> tuple[Note, ...]:
    """The last notes of a player, newest first."""
    asked = (
        select(NOTE)
        .where(NOTE.c.player_id == player_id)
        .order_by(NOTE.c.made_utc.desc(), NOTE.c.id)
        .limit(limit)
    )
    return rows(connection, asked, Note)


def add_consent(connection: Connection, consent: Consent) -> None:
    """A consent that was given."""
    put_row(connection, CONSENT, consent)


def withdraw_consent(connection: Connection, consent_id: str, now: datetime.datetime) -> None:
    """A consent ends; that it was given stays on record."""
    found(connection, CONSENT, consent_id)
    connection.execute(
        update(CONSENT).where(CONSENT.c.id == consent_id).values(moment_columns("withdrawn", now))
    )


def consents(connection: Connection, player_id: str) -> tuple[Consent, ...]:
    """Every consent of a player, oldest first."""
    asked = (
        select(CONSENT).where(CONSENT.c.player_id == player_id).order_by(CONSENT.c.given_utc, CONSENT.c.id)
    )
    return rows(connection, asked, Consent)


def due_for_erasing(connection: Connection, today: datetime.date) -> tuple[str, ...]:
    """Ids of players whose record was agreed to until a day that has passed."""
    asked = (
        select(CONSENT.c.player_id)
        .where(CONSENT.c.kind == "record", CONSENT.c.delete_by.is_not(None))
        .group_by(CONSENT.c.player_id)
        .having(func.max(CONSENT.c.delete_by) < today.isoformat())
    )
    return tuple(connection.execute(asked).scalars())


def add_link(connection: Connection, link: LinkRow) -> None:
    """A link for a player."""
    put_row(connection, LINK, link)


def link_of(connection: Connection, link_id: str) -> LinkRow:
    """One link. NotThere when there is none."""
    return one(connection, LINK, LinkRow, link_id)


def links(connection: Connection, player_id: str) -> tuple[LinkRow, ...]:
    """Links of a player, newest first."""
    asked = select(LINK).where(LINK.c.player_id == player_id).order_by(LINK.c.made_utc.desc(), LINK.c.id)
    return rows(connection, asked, LinkRow)


def revoke_link(connection: Connection, link_id: str, now: datetime.datetime) -> None:
    """The link opens nothing from now on."""
    found(connection, LINK, link_id)
    open_one = (LINK.c.id == link_id) & LINK.c.revoked_utc.is_(None)
    connection.execute(update(LINK).where(open_one).values(moment_columns("revoked", now)))


def _put_bag(connection: Connection, player: PlayerRow) -> None:
    clubs = [values_of(club) | {"player_id": player.id, "place": i} for i, club in enumerate(player.clubs)]
    put(connection, CLUB, clubs)


def _bag(connection: Connection, player_id: str) -> tuple[Club, ...]:
    asked = select(CLUB).where(CLUB.c.player_id == player_id).order_by(CLUB.c.place)
    return tuple(
        Club(
            name=row.name,
            loft_deg=row.loft_deg,
            loft_sd_deg=row.loft_sd_deg,
            source=Source(row.source),
            is_putter=bool(row.is_putter),
        )
        for row in connection.execute(asked)
    )


def _put_level(connection: Connection, player: PlayerRow, since: datetime.datetime) -> None:
    put_row(connection, LEVEL, LevelSince(player_id=player.id, since=since, level=player.level))
