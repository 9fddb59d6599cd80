"""What the models said, kept as it was, so that a review can use the plan of that moment."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from firstbounce import __version__
from firstbounce.errors import ParameterError
from firstbounce.files.green import checked_green
from firstbounce.files.green_shape import GreenFile
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import MODEL_VERSION, Fit
from firstbounce.fitting.serial import fit_from_dict, fit_to_dict
from firstbounce.planning.result import Plan
from firstbounce.records import kept as shelf
from firstbounce.records.queries import new_id
from firstbounce.records.rows.kept import (
    FitRow,
    GuideLinkRow,
    GuideRow,
    PlanRow,
    ReviewRow,
    TechniqueRow,
)
from firstbounce.records.store import Store
from firstbounce.services.day import Day, day_of
from firstbounce.words import Point, Station

PLAN_VERSION = f"plan of {__version__}"
Kept = FitRow | PlanRow | ReviewRow | TechniqueRow | GuideRow | GuideLinkRow


@dataclass(frozen=True, kw_only=True, eq=False)
class PlanThen:
    """A plan with the world as it was known when it was made."""

    row: PlanRow
    day: Day
    station: Station
    fit: Fit


def keep_fit(
    store: Store,
    fit: Fit,
    day: Day,
    player_id: str,
    *,
    balls: Iterable[str] = (),
    day_id: str | None = None,
    session_id: str | None = None,
) -> FitRow:
    """Keep a fit with the green file and the ids of the balls that it was learned from."""
    row = FitRow(
        id=new_id(),
        player_id=player_id,
        made=store.clock(),
        model_version=MODEL_VERSION,
        verdict=fit.verdict,
        balls=fit.n_balls,
        inputs={"green": plain_file(day.file), "balls": list(balls)},
        result=fit_to_dict(fit),
        day_id=day_id,
        session_id=session_id,
    )
    keep(store, row)
    return row


def keep_plan(
    store: Store,
    plan: Plan,
    day: Day,
    player_id: str,
    *,
    fit: Fit | None = None,
    fit_id: str | None = None,
    station_id: str | None = None,
    day_id: str | None = None,
    session_id: str | None = None,
) -> PlanRow:
    """Keep a plan with everything it rests on: the green file, the station and the fit of this moment."""
    station = plan.station
    inputs = {
        "green": plain_file(day.file),
        "station": station.name,
        "fit": None if fit is None else fit_to_dict(fit),
        "seed": plan.seed,
    }
    row = PlanRow(
        id=new_id(),
        player_id=player_id,
        made=store.clock(),
        model_version=PLAN_VERSION,
        inputs=inputs,
        result=_to_the_millimetre(plan.to_dict()),
        station_id=station_id,
        day_id=day_id,
        session_id=session_id,
        fit_id=fit_id,
    )
    keep(store, row)
    return row


def plan_then(store: Store, plan_id: str) -> PlanThen:
    """A plan and the day, station and fit of its moment. ParameterError when it was made without them."""
    with store.read() as connection:
        row = shelf.plan_row(connection, plan_id)
    if "green" not in row.inputs:
        raise ParameterError(
            "This plan was made on a phone from prepared tables; it keeps no green to go back to."
        )
    file = checked_green(_with_dates(row.inputs["green"]), "the green of this plan")
    day = day_of(file, file.green.name)
    kept = row.inputs["fit"]
    fit = (
        fit_from_dict(kept, player=day.player, today=day.today) if kept else prior_fit(day.player, day.today)
    )
    return PlanThen(row=row, day=day, station=day.station(row.inputs["station"]), fit=fit)


def fit_then(store: Store, fit_id: str) -> tuple[FitRow, Day, Fit]:
    """A fit with the day it was made on."""
    with store.read() as connection:
        row = shelf.fit_row(connection, fit_id)
    file = checked_green(_with_dates(row.inputs["green"]), "the green of this fit")
    day = day_of(file, file.green.name)
    return row, day, fit_from_dict(row.result, player=day.player, today=day.today)


def choose(store: Store, plan_id: str, club: str, spot: Point | None) -> None:
    """Which choice of a plan became the station."""
    with store.write() as connection:
        shelf.choose(connection, plan_id, club, spot)


def keep(store: Store, row: Kept) -> None:
    """Keep what a model said; once only, by id."""
    with store.write() as connection:
        shelf.keep(connection, row)


def plan_row(store: Store, plan_id: str) -> PlanRow:
    """One plan as kept. NotThere when there is none."""
    with store.read() as connection:
        return shelf.plan_row(connection, plan_id)


def plans(
    store: Store, player_id: str, *, session_id: str | None = None, limit: int = 20
) -> tuple[PlanRow, ...]:
    """Plans of a player, newest first."""
    with store.read() as connection:
        return shelf.plans(connection, player_id, session_id=session_id, limit=limit)


def fits(store: Store, player_id: str, *, day_id: str | None = None, limit: int = 20) -> tuple[FitRow, ...]:
    """Fits of a player, newest first."""
    with store.read() as connection:
        return shelf.fits(connection, player_id, day_id=day_id, limit=limit)


def reviews(
    store: Store, player_id: str, *, session_id: str | None = None, limit: int = 20
) -> tuple[ReviewRow, ...]:
    """Reviews of a player, newest first, with the coach's own verdict where there is one."""
    with store.read() as connection:
        return shelf.reviews(connection, player_id, session_id=session_id, limit=limit)


def overrule(store: Store, review_id: str, *, to: str, why: str = "") -> None:
    """The coach's own verdict, kept beside the one that was told."""
    with store.write() as connection:
        shelf.overrule(connection, review_id, to=to, why=why, now=store.clock())


def techniques(store: Store, player_id: str, limit: int = 20) -> tuple[TechniqueRow, ...]:
    """Technique results of a player, newest first."""
    with store.read() as connection:
        return shelf.techniques(connection, player_id, limit=limit)


def guides(store: Store, player_id: str | None, limit: int = 20) -> tuple[GuideRow, ...]:
    """Guides made for a player (None: for anyone), newest first."""
    with store.read() as connection:
        return shelf.guides(connection, player_id, limit=limit)


def setting(store: Store, name: str, usual: Any = None) -> Any:
    """A setting, or what is usual when it was never set."""
    with store.read() as connection:
        value = shelf.setting(connection, name)
    return usual if value is None else value


def set_setting(store: Store, name: str, value: Any, *, secret: bool = False) -> None:
    """Set it; a secret (a key, the hash of a passphrase) is neither listed nor exported."""
    with store.write() as connection:
        shelf.set_setting(connection, name, value, secret=secret)


def settings(store: Store) -> dict[str, Any]:
    """Every setting that is no secret."""
    with store.read() as connection:
        return shelf.settings(connection)


def _to_the_millimetre(result: dict[str, Any]) -> dict[str, Any]:
    """A plan's result with the points of its pictures in whole millimetres: a quarter of the room."""
    for choice in result["choices"]:
        for name in ("landed_m", "finished_m"):
            choice["cloud"][name] = [[round(x, 3), round(y, 3)] for x, y in choice["cloud"][name]]
        choice["path"] = [
            {key: round(value, 3) if isinstance(value, float) else value for key, value in point.items()}
            for point in choice["path"]
        ]
    return result


def plain_file(file: GreenFile) -> dict[str, Any]:
    """A green file as JSON keeps it."""
    return file.model_dump(mode="json", exclude_none=True, exclude_defaults=True) | {"format": file.format}


def _with_dates(plain: dict[str, Any]) -> dict[str, Any]:
    """JSON has no dates; the shape of the file wants one."""
    today = plain["today"]
    return plain | {"today": today | {"date": datetime.date.fromisoformat(today["date"])}}


def guide_row(store: Store, guide_id: str) -> GuideRow:
    """One guide as made. NotThere when there is none."""
    with store.read() as connection:
        return shelf.guide_row(connection, guide_id)


def technique_row(store: Store, technique_id: str) -> TechniqueRow:
    """One technique result as kept. NotThere when there is none."""
    with store.read() as connection:
        return shelf.technique_row(connection, technique_id)
