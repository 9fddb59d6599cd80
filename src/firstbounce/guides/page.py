"""The guide as one HTML page for a phone: the same words as the PDF, nothing loaded from anywhere."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from importlib import resources
from typing import Any

from firstbounce.guides.blocks import Guide, guide_data
from firstbounce.guides.coach import Coach
from firstbounce.guides.look import look_of, printed_svg

PACKAGE = "firstbounce"
PLACE_OF_LINKS = "<!-- links -->"  #: in the page, once; words of people are escaped and cannot hold it
_STYLE = re.compile(r"<style>(.*?)</style>", re.S)


def page_of(guide: Guide, coach: Coach) -> str:
    """The whole page: words, styles and pictures in one text."""
    from markupsafe import Markup

    def drawn(svg: str) -> Markup:
        # our own pictures only: they escape every word; a logo is shown as an image, where nothing runs
        return Markup(printed_svg(svg, coach.accent))

    return _template().render(
        guide=guide_data(guide), look=look_of(guide, coach), drawn=drawn, logo=_logo_address(coach)
    )


def with_link(page: str, href: str, words: str) -> str:
    """The page with one more link below its last words: for where it is served and has a PDF beside it."""
    from markupsafe import escape

    link = f'<p><a href="{escape(href)}">{escape(words)}</a></p>'
    return page.replace(PLACE_OF_LINKS, link, 1)


def policy_of(page: str) -> str:
    """The content policy under which the page is served: its own style by its hash, pictures within it."""
    found = _STYLE.search(page)
    digest = hashlib.sha256((found[1] if found else "").encode()).digest()
    style = f"'sha256-{base64.b64encode(digest).decode()}'"
    return (
        f"default-src 'none'; style-src {style}; img-src data:; form-action 'none'; base-uri 'none'; "
        "frame-ancestors 'none'"
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
