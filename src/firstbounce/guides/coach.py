"""Who hands the guide out: name, contact line, colours and logo, each checked before anything is printed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from firstbounce.errors import FileFault, ParameterError
from firstbounce.guides.lengths import USUAL_PACE_M
from firstbounce.guides.logo import Logo
from firstbounce.pictures import theme

LONGEST_NAME = 60  #: letters of a name
LONGEST_CONTACT = 100  #: letters of the contact line
READABLE = 4.5  #: least contrast of text, WCAG 2.2 AA
COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")
COACH_KEYS = ("format", "name", "contact", "accent", "logo", "pace_m")
GROUNDS = ("#FFFFFF", *theme.GROUND_COLOURS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coach:
    """The coach as a guide shows them."""

    name: str = ""
    contact: str = ""
    accent: str = theme.ACCENT  #: the one colour
    logo: Logo | None = None
    pace_m: float = USUAL_PACE_M

    def __post_init__(self) -> None:
        checked_text(self.name, "the coach's name", LONGEST_NAME)
        checked_text(self.contact, "the contact line", LONGEST_CONTACT)
        check_colour(self.accent)


def check_colour(colour: str) -> None:
    """Refuse a colour that cannot be read on paper, or on the tints of the drawings."""
    if not COLOUR.fullmatch(colour):
        raise ParameterError(f"A colour is written like #A3301A, got {colour!r}.")
    least = min(theme.contrast(colour, ground) for ground in GROUNDS)
    if least < READABLE:
        raise ParameterError(
            f"The colour {colour} cannot be read on paper: its contrast is {least:.1f} and must be "
            f"{READABLE:g} or more; take a darker one."
        )


def checked_text(text: str, what: str, longest: int) -> str:
    """Free text as given. ParameterError when it is too long or holds control characters."""
    if len(text) > longest:
        raise ParameterError(
            f"{what[0].upper()}{what[1:]} is {len(text)} letters long; at most {longest} fit."
        )
    bad = next((one for one in text if unicodedata.category(one) in ("Cc", "Cs", "Co") and one != "\n"), None)
    if bad is not None:
        raise ParameterError(
            f"{what[0].upper()}{what[1:]} holds a character that cannot be printed (U+{ord(bad):04X}); "
            "take it out."
        )
    return text


def coach_of_table(table: Mapping[str, Any], logo: Logo | None) -> tuple[Coach | None, list[FileFault]]:
    """A coach from a coach.toml, or its faults. The logo has been read and checked before."""
    faults = [
        _fault(key, f"this key is not known; known are {', '.join(COACH_KEYS)}")
        for key in table
        if key not in COACH_KEYS
    ]
    if table.get("format") != 1:
        faults.append(_fault("format", f"must be 1, got {table.get('format')!r}"))
    values: dict[str, Any] = {"logo": logo}
    for key in ("name", "contact", "accent"):
        if key in table and not isinstance(table[key], str):
            faults.append(_fault(key, f"must be text, got {table[key]!r}"))
        elif key in table:
            values[key] = table[key]
    pace = table.get("pace_m", USUAL_PACE_M)
    if not isinstance(pace, (int, float)) or isinstance(pace, bool):
        faults.append(_fault("pace_m", f"must be a number of metres, got {pace!r}"))
    else:
        values["pace_m"] = float(pace)
    if faults:
        return None, faults
    try:
        return Coach(**values), []
    except ParameterError as error:
        return None, [_fault(None, str(error))]


def _fault(column: str | None, problem: str) -> FileFault:
    return FileFault(line=None, column=column, problem=problem)
