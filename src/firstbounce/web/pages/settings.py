"""Settings: units, the pace, entries that come as a file, signing out."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce import __version__
from firstbounce.services import desk
from firstbounce.web.coach import pace_m
from firstbounce.web.pages.players import UNITS
from firstbounce.web.reach import Records, SettingsOf
from firstbounce.web.render import Option, page

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsPage:
    """Everything settings.html may use."""

    unit: str
    units: tuple[Option, ...]
    pace_m: float
    folder: str
    version: str
    on_network: bool


@router.get("/settings")
def settings_page(request: Request, store: Records, settings: SettingsOf) -> Response:
    """What the coach prefers."""
    context = SettingsPage(
        unit=desk.units_of(store).value,
        units=UNITS,
        pace_m=pace_m(store),
        folder=str(store.folder),
        version=__version__,
        on_network=settings.on_network,
    )
    return page(request, "settings.html", context)
