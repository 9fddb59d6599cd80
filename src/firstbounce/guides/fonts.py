"""Faces of the printed guide, and the letters that none of them has.

Libertinus Serif comes inside the typesetter (Latin, Greek, Cyrillic, Hebrew). Arabic script and Chinese,
Japanese and Korean come from two published packages of open-licensed faces. Letters beyond those are looked
for in the fonts of the machine, and only then; what is still missing is reported before any page is made.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from firstbounce.errors import ParameterError

FAMILIES = ("Libertinus Serif", "Noto Sans Arabic", "Noto Sans CJK JP")
PACKAGES = ("fontpkg_noto_sans_arabic", "noto_cjk_sans_jp_regular")
_COMPLAINT = re.compile(r'the text `"(.+?)"` could not be displayed')
_PROBE = (
    '#set document(title: "letters")\n#set page(width: 2000pt, height: auto)\n'
    "#set text(font: json(bytes(sys.inputs.faces)))\n#json(bytes(sys.inputs.words)).join([ ])"
)


@cache
def shipped_fonts() -> Any:
    """The faces that come with the program, the same on every machine."""
    import typst

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[_folder(p) for p in PACKAGES]
    )


@cache
def all_fonts(folder: Path | None = None) -> Any:
    """The shipped faces and those of the machine, or of a folder that the coach names."""
    import typst

    paths = [_folder(package) for package in PACKAGES]
    return typst.Fonts(
        include_system_fonts=True,
        include_embedded_fonts=True,
        font_paths=paths + ([str(folder)] if folder else []),
    )


def fonts_for(words: Iterable[str], folder: Path | None = None) -> Any:
    """Faces that have every letter of the words. ParameterError names the letters that none has."""
    kept = tuple(dict.fromkeys(words))
    if folder is None and not missing_letters(kept, shipped_fonts()):
        return shipped_fonts()
    fonts = all_fonts(folder)
    missing = missing_letters(kept, fonts)
    if missing:
        raise ParameterError(_no_letter(missing, kept))
    return fonts


def missing_letters(words: Iterable[str], fonts: Any) -> tuple[str, ...]:
    """Letters that no face has: the typesetter itself is asked, shaping and all."""
    import json

    import typst

    plain = [one for one in words if not one.isascii() or not one.isprintable()]
    if not plain:
        return ()
    inputs = {"words": json.dumps(plain), "faces": json.dumps([face.lower() for face in FAMILIES])}
    try:
        typst.compile(
            _PROBE.encode(),
            font_paths=fonts,
            ignore_system_fonts=True,
            sys_inputs=inputs,
            pdf_standards="ua-1",
            timestamp=0,
        )
    except typst.TypstError as error:
        found = _COMPLAINT.findall(error.diagnostic)
        if not found:
            raise
        return tuple(dict.fromkeys(found))
    return ()


def _no_letter(missing: tuple[str, ...], words: tuple[str, ...]) -> str:
    shown = ", ".join(f"{one} ({_codes(one)})" for one in missing[:6])
    where = next((word for word in words if missing[0] in word), "")
    place = f' in "{where[:60]}"' if where else ""
    return (
        f"No font here has the letter {shown}{place}; nothing was printed. Name a folder with an "
        "open-licensed font that has it (--fonts), or write the name in another script."
    )


def _codes(letters: str) -> str:
    """Code points: what to look a letter up by."""
    return " ".join(f"U+{ord(one):04X}" for one in letters)


def _folder(package: str) -> str:
    return str(resources.files(package))
