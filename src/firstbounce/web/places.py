"""Places as the scripts of log, clinic and course know them."""

from __future__ import annotations

from typing import Any

from firstbounce.errors import NotThere
from firstbounce.records.rows.base import plain
from firstbounce.records.rows.places import StationRow
from firstbounce.services import greens
from firstbounce.services.store import Store

PLACE = ("id", "name", "start_m", "hole_m", "lie", "landing_spot_m", "circle_radius_m", "club")


def station_told(station: StationRow) -> dict[str, Any]:
    """A station with what is known of it."""
    return {name: value for name, value in plain(station).items() if name in PLACE and value is not None}


def outline_told(store: Store, green_id: str | None) -> list[list[float]] | None:
    """The outline of a green, None while there is none."""
    if green_id is None:
        return None
    try:
        return [list(corner) for corner in greens.shape(store, green_id).outline]
    except NotThere:
        return None
