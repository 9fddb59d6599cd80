"""The guide as one HTML page for a phone: the same words as the PDF, nothing loaded from anywhere."""

from __future__ import annotations

import base64
from functools import cache
from importlib import resources
from typing import Any

from firstbounce.guides.blocks import Guide, guide_data
from firstbounce.guides.coach import Coach
from firstbounce.guides.look import look_of, printed_svg

PACKAGE = "firstbounce"


def page_of(guide: Guide, coach: Coach) -> str:
    """The whole page: words, styles and pictures in one text."""
    from markupsafe import Markup

    def drawn(svg: str) -> Markup:
        # our own pictures only: they escape every word; a logo is shown as an image, where nothing runs
        return Markup(printed_svg(svg, coach.accent))

    return _template().render(
        guide=guide_data(guide), look=look_of(guide, coach), drawn=drawn, logo=_logo_address(coach)
    )


def _logo_address(coach: Coach) -> str:
    if coach.logo is None:
        return ""
    kind = "image/svg+xml" if coach.logo.format == "svg" else "image/png"
    return f"data:{kind};base64,{base64.b64encode(coach.logo.data).decode()}"


@cache
def _template() -> Any:
    from jinja2 import Environment, StrictUndefined

    source = (resources.files(PACKAGE) / "guides" / "guide.html.j2").read_text(encoding="utf-8")
    kept = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return kept.from_string(source)
