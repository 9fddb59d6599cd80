"""Quiet textures that tell areas apart without colour."""

from __future__ import annotations

from enum import StrEnum

from firstbounce.pictures.theme import GREEN, INK, PAPER, PENCIL, POND, SAND


class Texture(StrEnum):
    """How an area is filled."""

    BLANK = "blank"  #: bare paper
    SMOOTH = "smooth"  #: one quiet tint
    HATCH = "hatch"  #: fine slanting lines
    ROWS = "rows"  #: wide upright rows
    TUFTS = "tufts"  #: scattered blades
    THICKET = "thicket"  #: dense blades
    STIPPLE = "stipple"  #: dots
    WAVES = "waves"  #: short waves
    GRID = "grid"  #: small squares
    SLANT = "slant"  #: bold slanting bars, for charts
    SOLID = "solid"  #: ink


#: usual texture of an area called by one of these words; any other word is left blank
TEXTURE_OF = {
    "green": Texture.SMOOTH,
    "temporary green": Texture.SMOOTH,
    "fringe": Texture.HATCH,
    "fairway": Texture.ROWS,
    "light rough": Texture.TUFTS,
    "rough": Texture.TUFTS,
    "heavy rough": Texture.THICKET,
    "bunker": Texture.STIPPLE,
    "sand": Texture.STIPPLE,
    "water": Texture.WAVES,
    "standing water": Texture.WAVES,
    "bare": Texture.BLANK,
    "mat": Texture.GRID,
}

#: tile width and height [page units], ground colour, marks of one tile
_TILES: dict[Texture, tuple[float, float, str, str]] = {
    Texture.HATCH: (
        9,
        9,
        PAPER,
        f'<path d="M-1 10L10 -1" stroke="{PENCIL}" stroke-width="0.8" opacity="0.5"/>',
    ),
    Texture.ROWS: (18, 18, PAPER, f'<path d="M9 0V18" stroke="{PENCIL}" stroke-width="0.8" opacity="0.35"/>'),
    Texture.TUFTS: (
        28,
        22,
        PAPER,
        f'<path d="M3 9L2 5M6 9L6.5 3M9 9L11 5M17 20L16 16M20 20L20.5 14M23 20L25 16" fill="none" '
        f'stroke="{PENCIL}" stroke-width="1" stroke-linecap="round" opacity="0.55"/>',
    ),
    Texture.THICKET: (
        18,
        16,
        PAPER,
        f'<path d="M2 7L1 2M5 7L5.5 0.5M8 7L10 2M11 15L10 10M14 15L14.5 8.5M16 15L17.5 10" fill="none" '
        f'stroke="{PENCIL}" stroke-width="1.1" stroke-linecap="round" opacity="0.55"/>',
    ),
    Texture.STIPPLE: (
        16,
        16,
        SAND,
        f'<path d="M3 4h.1M11 2h.1M7 9h.1M14 11h.1M2 13h.1" fill="none" stroke="{PENCIL}" '
        f'stroke-width="1.7" stroke-linecap="round" opacity="0.75"/>',
    ),
    Texture.WAVES: (
        36,
        18,
        POND,
        f'<path d="M2 6q4 -4 8 0t8 0M20 15q4 -4 8 0t8 0" fill="none" stroke="{PENCIL}" '
        f'stroke-width="1.1" stroke-linecap="round" opacity="0.75"/>',
    ),
    Texture.GRID: (
        8,
        8,
        PAPER,
        f'<path d="M0 4H8M4 0V8" stroke="{PENCIL}" stroke-width="0.7" opacity="0.6"/>',
    ),
    Texture.SLANT: (
        10,
        10,
        PAPER,
        f'<path d="M-1 11L11 -1M-1 1L1 -1M9 11L11 9" stroke="{INK}" stroke-width="1.6"/>',
    ),
}
_FLAT = {Texture.BLANK: PAPER, Texture.SMOOTH: GREEN, Texture.SOLID: INK}


def flat_colour(texture: Texture) -> str | None:
    """The colour of a texture that needs no pattern, else None."""
    return _FLAT.get(texture)


def pattern(texture: Texture, element_id: str) -> str:
    """The SVG pattern of a texture."""
    width, height, ground, marks = _TILES[texture]
    return (
        f'<pattern id="{element_id}" width="{width:g}" height="{height:g}" patternUnits="userSpaceOnUse">'
        f'<rect width="{width:g}" height="{height:g}" fill="{ground}"/>{marks}</pattern>'
    )
