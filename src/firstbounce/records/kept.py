"""Fits, plans, reviews, technique results, guides, files and settings: what is asked and what is written."""

from __future__ import annotations

import datetime
from typing import Any

from sqlalchemy import Connection, Table, delete, select, update

from firstbounce.records.codec import moment_columns
from firstbounce.records.queries import found, one, put_row, replace, rows
from firstbounce.records.rows.kept import (
    FitRow,
    GuideLinkRow,
    GuideRow,
    KeptFile,
    PlanRow,
    ReviewRow,
    TechniqueRow,
)
from firstbounce.records.tables import FIT, GUIDE, GUIDE_LINK, KEPT_FILE, PLAN, REVIEW, SETTING, TECHNIQUE
from firstbounce.words import Point

TABLES: dict[type, Table] = {
    FitRow: FIT,
    PlanRow: PLAN,
    ReviewRow: REVIEW,
    TechniqueRow: TECHNIQUE,
    GuideRow: GUIDE,
    GuideLinkRow: GUIDE_LINK,
    KeptFile: KEPT_FILE,
}


def keep(connection: Connection, row: Any) -> None:
    """Keep what a model said; a row with this id that is there already stays as it is."""
    put_row(connection, TABLES[type(row)], row)


def fit_row(connection: Connection, fit_id: str) -> FitRow:
    """One fit. NotThere when there is none."""
    return one(connection, FIT, FitRow, fit_id)


def plan_row(connection: Connection, plan_id: str) -> PlanRow:
    """One plan. NotThere when there is none."""
    return one(connection, PLAN, PlanRow, plan_id)


def technique_row(connection: Connection, technique_id: str) -> TechniqueRow:
    """One technique result. NotThere when there is none."""
    return one(connection, TECHNIQUE, TechniqueRow, technique_id)


def guide_row(connection: Connection, guide_id: str) -> GuideRow:
    """One guide. NotThere when there is none."""
    return one(connection, GUIDE, GuideRow, guide_id)


def guide_link(connection: Connection, link_id: str) -> GuideLinkRow:
    """One link of a guide. NotThere when there is none."""
    return one(connection, GUIDE_LINK, GuideLinkRow, link_id)


def guide_links(connection: Connection, guide_id: str) -> tuple[GuideLinkRow, ...]:
    """Links of a guide, newest first."""
    asked = select(GUIDE_LINK).where(GUIDE_LINK.c.guide_id == guide_id)
    return rows(connection, asked.order_by(GUIDE_LINK.c.made_utc.desc(), GUIDE_LINK.c.id), GuideLinkRow)


def revoke_guide_link(connection: Connection, link_id: str, now: datetime.datetime) -> None:
    """The link opens nothing from now on."""
    found(connection, GUIDE_LINK, link_id)
    open_one = (GUIDE_LINK.c.id == link_id) & GUIDE_LINK.c.revoked_utc.is_(None)
    connection.execute(update(GUIDE_LINK).where(open_one).values(moment_columns("revoked", now)))


def file_row(connection: Connection, file_id: str) -> KeptFile:
    """What is known of one kept file. NotThere when there is none."""
    return one(connection, KEPT_FILE, KeptFile, file_id)


def fits(
    connection: Connection, player_id: str, *, day_id: str | None = None, limit: int = 20
) -> tuple[FitRow, ...]:
    """Fits of a player, newest first."""
    return rows(connection, _newest(FIT, player_id, limit, day_id=day_id), FitRow)


def plans(
    connection: Connection, player_id: str, *, session_id: str | None = None, limit: int = 20
) -> tuple[PlanRow, ...]:
    """Plans of a player, newest first."""
    return rows(connection, _newest(PLAN, player_id, limit, session_id=session_id), PlanRow)


def reviews(
    connection: Connection, player_id: str, *, session_id: str | None = None, limit: int = 20
) -> tuple[ReviewRow, ...]:
    """Reviews of a player, newest first."""
    return rows(connection, _newest(REVIEW, player_id, limit, session_id=session_id), ReviewRow)


def techniques(connection: Connection, player_id: str, *, limit: int = 20) -> tuple[TechniqueRow, ...]:
    """Technique results of a player, newest first."""
    return rows(connection, _newest(TECHNIQUE, player_id, limit), TechniqueRow)


def guides(connection: Connection, player_id: str | None, *, limit: int = 20) -> tuple[GuideRow, ...]:
    """Guides made for a player (None: for anyone), newest first."""
    return rows(connection, _newest(GUIDE, player_id, limit), GuideRow)


def files(connection: Connection, player_id: str | None) -> tuple[KeptFile, ...]:
    """Files of a player (None: of no player)."""
    mine = KEPT_FILE.c.player_id.is_(None) if player_id is None else (KEPT_FILE.c.player_id == player_id)
    return rows(
        connection, select(KEPT_FILE).where(mine).order_by(KEPT_FILE.c.made_utc, KEPT_FILE.c.id), KeptFile
    )


def files_of(connection: Connection, **owner: str) -> tuple[KeptFile, ...]:
    """Files of a guide (guide_id) or of a technique result (technique_id), oldest first."""
    asked = select(KEPT_FILE)
    for column, row_id in owner.items():
        asked = asked.where(KEPT_FILE.c[column] == row_id)
    return rows(connection, asked.order_by(KEPT_FILE.c.made_utc, KEPT_FILE.c.id), KeptFile)


def choose(connection: Connection, plan_id: str, club: str, spot: Point | None) -> None:
    """Which choice of a plan became the station."""
    found(connection, PLAN, plan_id)
    x, y = spot if spot is not None else (None, None)
    chosen = {"chosen_club": club, "chosen_spot_x_m": x, "chosen_spot_y_m": y}
    connection.execute(update(PLAN).where(PLAN.c.id == plan_id).values(chosen))


def overrule(connection: Connection, review_id: str, *, to: str, why: str, now: datetime.datetime) -> None:
    """The coach's own verdict, beside the one that was told."""
    found(connection, REVIEW, review_id)
    said = {"overruled_to": to, "overruled_why": why, **moment_columns("overruled", now)}
    connection.execute(update(REVIEW).where(REVIEW.c.id == review_id).values(said))


def drop_file(connection: Connection, file_id: str) -> None:
    """The file is no longer part of the records."""
    connection.execute(delete(KEPT_FILE).where(KEPT_FILE.c.id == file_id))


def setting(connection: Connection, name: str) -> Any:
    """A setting's value, None when it was never set."""
    return connection.execute(select(SETTING.c.value).where(SETTING.c.name == name)).scalar()


def settings(connection: Connection) -> dict[str, Any]:
    """Every setting that is no secret."""
    asked = select(SETTING.c.name, SETTING.c.value).where(SETTING.c.secret == 0).order_by(SETTING.c.name)
    return {row.name: row.value for row in connection.execute(asked)}


def set_setting(connection: Connection, name: str, value: Any, *, secret: bool = False) -> None:
    """Set it; a secret is never exported."""
    replace(connection, SETTING, {"name": name, "value": value, "secret": int(secret)})


def _newest(table: Table, player_id: str | None, limit: int, **same: str | None) -> Any:
    mine = table.c.player_id.is_(None) if player_id is None else (table.c.player_id == player_id)
    asked = select(table).where(mine)
    for name, value in same.items():
        if value is not None:
            asked = asked.where(table.c[name] == value)
    return asked.order_by(table.c.made_utc.desc(), table.c.id).limit(limit)
