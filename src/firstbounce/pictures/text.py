"""Words and numbers in a picture: escaping, widths, wrapping, number formats.

Widths are an upper envelope over common serif faces (the page may be shown in any of them), so that a
line that fits by these widths fits in all of them. Measured from the faces' own advance widths.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstbounce.errors import ParameterError

_WIDTHS: tuple[tuple[float, str], ...] = (
    (0.30, "'"),
    (0.32, " ,.ijl·"),
    (0.36, "-/:;\\|f"),
    (0.40, "()I[]Jt!"),
    (0.46, '"r°'),
    (0.50, "*_s`"),
    (0.54, "cz?"),
    (0.58, "vxyaeo–"),
    (0.62, "$0123456789bdghkn{}pqu"),
    (0.66, "LPST"),
    (0.72, "ABEFKVXYZ"),
    (0.80, "CDGOQR"),
    (0.84, "#+<=>U^~w−×±"),
    (0.88, "&HN"),
    (0.96, "%m"),
    (1.0, "MW@"),
)
_WIDTH_OF = {char: width for width, chars in _WIDTHS for char in chars}
_OTHER = 1.0  #: any character not measured, one em
_BOLD = 1.12  #: bold over regular, envelope


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Upper estimate of the width of one line of text [page units]."""
    ems = sum(_WIDTH_OF.get(char, _OTHER) for char in text)
    return ems * size * (_BOLD if bold else 1.0)


def shorten(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis when it is wider than `width` [page units]."""
    if text_width(text, size, bold=bold) <= width:
        return text
    while text and text_width(text + "…", size, bold=bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def wrap(text: str, size: float, width: float, *, bold: bool = False) -> list[str]:
    """Break text into lines no wider than `width` [page units]; a word too long for a line is cut."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(shorten(word, size, width, bold=bold))
    return lines


def escape(text: str) -> str:
    """Text made safe inside SVG: markup escaped, characters that XML forbids dropped."""
    kept = "".join(char if char >= " " else " " for char in text if _allowed(char))
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        kept = kept.replace(raw, safe)
    return kept


def _allowed(char: str) -> bool:
    code = ord(char)
    if code < 0x20:
        return char in "\t\n\r"
    return not (0x7F <= code <= 0x9F or 0xD800 <= code <= 0xDFFF or code in (0xFFFE, 0xFFFF))


def coordinate(value: float) -> str:
    """A page coordinate with one decimal, shortest form."""
    text = f"{value:.1f}"
    if text.endswith(".0"):
        text = text[:-2]
    return "0" if text == "-0" else text


def number(value: float, digits: int = 1) -> str:
    """A number for people: fixed decimals, thousands apart, a true minus sign."""
    text = f"{value:,.{digits}f}"
    if float(text.replace(",", "")) == 0:
        text = text.lstrip("-")
    return text.replace("-", "−")


def signed(value: float, digits: int = 0) -> str:
    """As `number`, with a plus sign above zero."""
    text = number(value, digits)
    return text if text.startswith("−") or not any(c in "123456789" for c in text) else f"+{text}"


def count(n: int, one: str, many: str | None = None) -> str:
    """A count with its noun: "1 ball", "200 balls"."""
    return f"{n:,} {one if n == 1 else (many or one + 's')}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """The unit of lengths in a picture: how long it is and what it is called."""

    metres: float  #: length of one unit [m]
    short: str  #: beside a number
    many: str  #: in a sentence and on an axis
    small_metres: float  #: unit of heights of flight [m]
    small_short: str

    def __post_init__(self) -> None:
        if not (self.metres > 0 and self.small_metres > 0 and math.isfinite(self.metres)):
            raise ParameterError(f"A unit of length must be longer than 0 m, got {self.metres:g} m.")

    def length(self, length_m: float, digits: int = 1) -> str:
        """A length [m] as text in this unit, the unit named."""
        return f"{number(length_m / self.metres, digits)} {self.short}"

    def bare(self, length_m: float, digits: int = 1) -> str:
        """A length [m] as text in this unit, without its name."""
        return number(length_m / self.metres, digits)

    def height(self, height_m: float) -> str:
        """A height of flight [m] as text."""
        return f"{number(height_m / self.small_metres, 1)} {self.small_short}"


METRES = Measure(metres=1.0, short="m", many="metres", small_metres=1.0, small_short="m")
YARDS = Measure(metres=0.9144, short="yd", many="yards", small_metres=0.3048, small_short="ft")


def paces(pace_m: float) -> Measure:
    """Lengths in paces of `pace_m` [m]."""
    return Measure(metres=pace_m, short="paces", many="paces", small_metres=1.0, small_short="m")
