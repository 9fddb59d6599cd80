"""The balls of a day beside its stations: rows name stations by id, files and models by name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from firstbounce.files.balls import LoggedBalls
from firstbounce.records.rows.balls import KeptBall
from firstbounce.records.rows.places import StationRow
from firstbounce.services import greens
from firstbounce.services.store import Store


def stations_of(
    store: Store, day_id: str, balls: Iterable[KeptBall], *, first: Iterable[str | None] = ()
) -> tuple[StationRow, ...]:
    """The stations on the day's green: those named `first`, then those that balls were hit from."""
    green_id = greens.day_row(store, day_id).green_id
    ids = dict.fromkeys([*first, *(one.ball.station_id for one in balls)])
    rows = [greens.station(store, one) for one in ids if one]
    return tuple(one for one in rows if one.green_id == green_id)


def by_name(logged: LoggedBalls, stations: Iterable[StationRow], names: Iterable[str]) -> LoggedBalls:
    """Balls and tallies with the names that their stations have in a file or a day, in the same order."""
    name: Mapping[str | None, str] = {row.id: said for row, said in zip(stations, names, strict=True)}
    return replace(
        logged,
        balls=tuple(replace(one, station=name.get(one.station)) for one in logged.balls),
        tallies=tuple(replace(one, station=name.get(one.station)) for one in logged.tallies),
    )
