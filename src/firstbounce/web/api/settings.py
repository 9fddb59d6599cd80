"""What the coach prefers."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field

from firstbounce.services import desk, kept
from firstbounce.units import LengthUnit
from firstbounce.web.api.shapes import Done, Shape
from firstbounce.web.coach import pace_m
from firstbounce.web.reach import Records

router = APIRouter(prefix="/api/settings", tags=["settings"])


class Preferences(Shape):
    """Units of the coach's own screens, and the length of a pace."""

    units: LengthUnit
    pace_m: Annotated[float, Field(ge=0.4, le=1.5)]


class PreferencesTold(BaseModel):
    """The same, as kept."""

    ok: Literal[True] = True
    units: LengthUnit
    pace_m: float


@router.get("")
def preferences(store: Records) -> PreferencesTold:
    """What is set."""
    return PreferencesTold(units=desk.units_of(store), pace_m=pace_m(store))


@router.put("")
def prefer(body: Preferences, store: Records) -> Done:
    """Set both."""
    kept.set_setting(store, "units", body.units.value)
    kept.set_setting(store, "pace_m", body.pace_m)
    return Done()
