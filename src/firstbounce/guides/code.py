"""A code that a phone's camera opens: an address as dark squares on white."""

from __future__ import annotations

import io
from urllib.parse import urlsplit

from firstbounce.errors import ParameterError
from firstbounce.guides.content import Drawn
from firstbounce.pictures import theme

LONGEST_LINK = 300  #: letters of an address that a phone still reads from a small code


def code_picture(url: str) -> Drawn:
    """The code of a web address as SVG. ParameterError for anything that is no web address."""
    import segno

    parts = urlsplit(url)
    if parts.scheme not in ("http", "https") or not parts.netloc or not url.isprintable() or " " in url:
        raise ParameterError(f"The link must be a web address that begins with https://, got {url[:60]!r}.")
    if len(url) > LONGEST_LINK:
        raise ParameterError(f"The link is {len(url)} letters long; at most {LONGEST_LINK} fit a code.")
    kept = io.BytesIO()
    code = segno.make(url, error="m", micro=False)
    code.save(
        kept, kind="svg", border=4, dark=theme.INK, light="#FFFFFF", xmldecl=False, svgns=True, omitsize=True
    )
    return Drawn(svg=kept.getvalue().decode(), alt=f"Code that opens {url}")
