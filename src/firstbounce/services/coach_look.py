"""The coach's own look on guides: name, contact line, colour and logo, kept with the settings."""

from __future__ import annotations

from dataclasses import dataclass

from firstbounce.guides.coach import Coach
from firstbounce.guides.lengths import USUAL_PACE_M
from firstbounce.guides.logo import Logo, checked_logo
from firstbounce.pictures import theme
from firstbounce.records.store import Store
from firstbounce.services import files, kept

LOOK, LOGO = "guide_look", "guide_logo"  #: settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the coach chose; the colour is the usual one until another is chosen."""

    name: str = ""
    contact: str = ""
    accent: str = theme.ACCENT


def look_of(store: Store) -> Look:
    """The look as it was chosen."""
    return Look(**kept.setting(store, LOOK, {}))


def set_look(store: Store, look: Look) -> None:
    """Keep a look. ParameterError when a text is too long or the colour cannot be read."""
    Coach(name=look.name, contact=look.contact, accent=look.accent)
    kept.set_setting(store, LOOK, {"name": look.name, "contact": look.contact, "accent": look.accent})


def set_logo(store: Store, data: bytes) -> None:
    """Keep a logo instead of the one before. ParameterError says what is wrong with it."""
    logo = checked_logo(data)
    before = kept.setting(store, LOGO)
    row = files.keep_file(store, logo.data, kind="logo", name=f"logo.{logo.format}")
    kept.set_setting(store, LOGO, {"id": row.id, "format": logo.format})
    if before:
        files.drop_file(store, before["id"])


def drop_logo(store: Store) -> None:
    """Guides are made without a logo from now on."""
    before = kept.setting(store, LOGO)
    kept.set_setting(store, LOGO, {})
    if before:
        files.drop_file(store, before["id"])


def has_logo(store: Store) -> bool:
    """Whether there is a logo."""
    return bool(kept.setting(store, LOGO))


def coach_of(store: Store) -> Coach:
    """The coach as guides show them."""
    look, logo = look_of(store), kept.setting(store, LOGO)
    return Coach(
        name=look.name,
        contact=look.contact,
        accent=look.accent,
        logo=Logo(files.file(store, logo["id"])[1].read_bytes(), logo["format"]) if logo else None,
        pace_m=float(kept.setting(store, "pace_m", USUAL_PACE_M)),
    )
