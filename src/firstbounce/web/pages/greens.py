"""The shape of a green: its outline by taps, areas, undo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotThere
from firstbounce.records.rows.base import plain
from firstbounce.services import greens
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.pages.today import current_day
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, options, page
from firstbounce.words import TurfKind

router = APIRouter(include_in_schema=False)
AREAS = (
    TurfKind.FRINGE,
    TurfKind.BUNKER,
    TurfKind.WATER,
    TurfKind.LIGHT_ROUGH,
    TurfKind.HEAVY_ROUGH,
    TurfKind.STANDING_WATER,
)
AROUND = (
    TurfKind.FAIRWAY,
    TurfKind.FRINGE,
    TurfKind.LIGHT_ROUGH,
    TurfKind.HEAVY_ROUGH,
    TurfKind.BARE,
    TurfKind.GREEN,
)
KEPT = ("outline", "fringe_m", "around", "areas", "slope_word", "slope_percent", "downhill_deg", "heights")


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenPage:
    """Everything green.html may use."""

    name: str
    data: dict[str, Any]
    kinds: tuple[Option, ...]
    around: tuple[Option, ...]
    pace_m: float
    back: str


@router.get("/greens/{green_id}")
def green_page(request: Request, green_id: Id, store: Records) -> Response:
    """Outline and areas, by taps."""
    green, day = greens.green(store, green_id), current_day(store)
    try:
        shape = {name: value for name, value in plain(greens.shape(store, green_id)).items() if name in KEPT}
    except NotThere:
        shape = {"outline": [], "areas": []}
    context = GreenPage(
        name=green.name,
        data={"green_id": green_id, "shape": {k: v for k, v in shape.items() if v is not None}},
        kinds=options(AREAS),
        around=options(AROUND),
        pace_m=pace_m(store),
        back=f"/days/{day.id}" if day and day.green_id == green_id else "/today",
    )
    return page(request, "green.html", context)
