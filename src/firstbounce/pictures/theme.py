"""The look of every picture: a field notebook with off-white paper, dark ink and one red pencil.

Colour never carries a meaning alone: every colour comes with its own mark, dash or texture, so that a
picture reads the same in black and white. A test holds the contrasts of WCAG 2.2.
"""

from __future__ import annotations

from dataclasses import dataclass

WIDTH = 720.0  #: width of every picture in page units; a phone of 390 px shows 0.54 px a unit
MARGIN = 24.0  #: free edge around everything [page units]

PAPER = "#FBF8F0"  #: the page
GREEN = "#EDF0E2"  #: the putting surface, one quiet tint off the paper
SAND = "#F3EBD8"  #: under the stipple of a bunker
POND = "#E3EAEC"  #: under the waves of water
INK = "#20252B"  #: text and lines that matter
PENCIL = "#565B60"  #: second-rank text and lines
FAINT = "#DDD6C6"  #: squared paper and hairlines, decoration only
ACCENT = "#A3301A"  #: red pencil: the plan and the mean ball
WASH = "#E9C9BE"  #: a light wash of the red pencil, under ink

TITLE_SIZE = 29.0  #: [page units]
BODY_SIZE = 24.0
SMALL_SIZE = 21.0  #: the smallest text used: about 11 px on a phone of 390 px

FONTS = "'Libertinus Serif', Charter, 'Iowan Old Style', Palatino, 'Palatino Linotype', Georgia, serif"

TEXT_COLOURS = (INK, PENCIL, ACCENT)
GROUND_COLOURS = (PAPER, GREEN, SAND, POND)


@dataclass(frozen=True, slots=True)
class LineStyle:
    """How a line is drawn: colour, width and dash lengths [page units]."""

    colour: str = INK
    width: float = 2.0
    dash: tuple[float, ...] = ()
    opacity: float = 1.0

    def attributes(self) -> str:
        """The SVG attributes of a line in this style."""
        parts = [f'fill="none" stroke="{self.colour}" stroke-width="{self.width:g}" stroke-linejoin="round"']
        if self.dash:
            parts.append(f'stroke-dasharray="{" ".join(f"{d:g}" for d in self.dash)}"')
        else:
            parts.append('stroke-linecap="round"')
        if self.opacity < 1:
            parts.append(f'stroke-opacity="{self.opacity:g}"')
        return " ".join(parts)


FLIGHT = LineStyle(ACCENT, 3.2, (10, 7))
RUN = LineStyle(ACCENT, 3.6)
THIN = LineStyle(PENCIL, 1.3)
HAIR = LineStyle(FAINT, 1.0)
EDGE = LineStyle(INK, 2.2)
HEIGHT_LINE = LineStyle(PENCIL, 1.1, opacity=0.8)
HEIGHT_LINE_MAIN = LineStyle(PENCIL, 1.9, opacity=0.8)
SPREAD = LineStyle(INK, 1.7, (6, 4))
CIRCLE = LineStyle(ACCENT, 3.0)


def relative_luminance(colour: str) -> float:
    """Relative luminance of a colour "#RRGGBB" [-], 0 to 1. WCAG 2.2, definition."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours [-], 1 to 21. WCAG 2.2, definition."""
    light, dark = sorted((relative_luminance(first), relative_luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
