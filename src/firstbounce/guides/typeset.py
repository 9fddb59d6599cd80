"""From a guide to a PDF (tagged, PDF/UA-1) or to PNG pages. Words go in as data, never as markup."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from firstbounce.errors import ParameterError
from firstbounce.guides.blocks import Guide, guide_data, texts
from firstbounce.guides.coach import Coach
from firstbounce.guides.fonts import FAMILIES, fonts_for
from firstbounce.guides.look import look_of, printed_svg

LARGEST_BYTES = 2_000_000  #: of a PDF that is handed out
SPRAWL = "does not fit: "


def pdf_of(guide: Guide, coach: Coach, *, folder: Path | None = None) -> bytes:
    """The guide as one PDF. `folder` holds more fonts. ParameterError when words cannot be printed."""
    made = _compiled(guide, coach, folder, format="pdf", pdf_standards="ua-1", timestamp=0)
    assert isinstance(made, bytes)
    if len(made) > LARGEST_BYTES:
        raise ParameterError(
            f"The guide would be {len(made) / 1e6:.1f} MB; at most {LARGEST_BYTES / 1e6:g} MB can be handed "
            "out. Take a smaller logo or fewer drills."
        )
    return made


def pages_of(guide: Guide, coach: Coach, *, ppi: float = 100.0, folder: Path | None = None) -> list[bytes]:
    """Every page as PNG."""
    made = _compiled(guide, coach, folder, format="png", ppi=ppi)
    return [made] if isinstance(made, bytes) else list(made)


def _compiled(guide: Guide, coach: Coach, folder: Path | None, **how: Any) -> Any:
    import typst

    look = look_of(guide, coach)
    fonts = fonts_for(_shown(guide, look), folder)
    inputs = {"guide": json.dumps(_data(guide, coach)), "look": json.dumps({**look, "faces": _faces(fonts)})}
    try:
        return typst.compile(
            _template(), font_paths=fonts, ignore_system_fonts=True, sys_inputs=inputs, root=_root(), **how
        )
    except typst.TypstError as error:
        raise ParameterError(_sentence(error, guide)) from error


def _data(guide: Guide, coach: Coach) -> Any:
    """The guide as data, its pictures in the coach's colour on white paper."""
    return _painted(guide_data(guide), coach.accent)


def _painted(data: Any, accent: str) -> Any:
    if isinstance(data, list):
        return [_painted(one, accent) for one in data]
    if isinstance(data, dict):
        return {
            key: printed_svg(value, accent) if key == "svg" else _painted(value, accent)
            for key, value in data.items()
        }
    return data


def _shown(guide: Guide, look: dict[str, Any]) -> Iterable[str]:
    yield from texts(guide)
    yield look["coach"]
    yield look["footer"]


def _faces(fonts: Any) -> list[str]:
    """The faces in the order they are tried: ours, then whatever else there is."""
    others = [family for family in fonts.families() if family not in FAMILIES]
    return [face.lower() for face in (*FAMILIES, *others)]


def _sentence(error: Any, guide: Guide) -> str:
    if SPRAWL in error.message:
        place = error.message.partition(SPRAWL)[2].strip(' ."')
        return f"The words for {place!r} do not fit on the {guide.kind}; shorten them."
    return f"The {guide.kind} cannot be printed: {error.message}."


@cache
def _template() -> bytes:
    return (resources.files("firstbounce") / "guides" / "guide.typ").read_bytes()


def _root() -> str:
    """The typesetter may read nothing outside the program's own templates."""
    return str(resources.files("firstbounce") / "guides" / "templates")
