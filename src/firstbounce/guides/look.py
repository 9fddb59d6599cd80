"""The look of a guide: a field notebook on white paper, dark ink, one accent, fit for a grey copier."""

from __future__ import annotations

import re
from typing import Any

from firstbounce.guides.blocks import Guide
from firstbounce.guides.coach import Coach
from firstbounce.pictures import theme

WHITE = "#FFFFFF"
HAIR = "#B9B2A2"  #: rules between rows, decoration only


def look_of(guide: Guide, coach: Coach) -> dict[str, Any]:
    """What the template needs beside the guide itself."""
    logo = coach.logo
    return {
        "accent": coach.accent,
        "ink": theme.INK,
        "pencil": theme.PENCIL,
        "hair": HAIR,
        "wash": tint(coach.accent),
        "coach": coach.name,
        "footer": footer_words(guide, coach),
        "logo": logo.format if logo else "",
        "logo_bytes": list(logo.data) if logo else [],
        "logo_alt": f"Logo of {coach.name}" if coach.name else "Logo of the coach",
    }


def footer_words(guide: Guide, coach: Coach) -> str:
    """The line at the foot of every page."""
    return " · ".join(part for part in (coach.contact, guide.title) if part)


def tint(colour: str, share: float = 0.25) -> str:
    """A light wash of a colour on white."""
    parts = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#" + "".join(f"{round(255 - share * (255 - part)):02X}" for part in parts)


def printed_svg(svg: str, accent: str) -> str:
    """A picture of the screen for print: white paper, the coach's colour for the red pencil."""
    swaps = {theme.PAPER: WHITE, theme.ACCENT: accent, theme.WASH: tint(accent)}
    return re.sub("|".join(swaps), lambda found: swaps[found[0]], svg)
