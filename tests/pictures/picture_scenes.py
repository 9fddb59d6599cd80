"""Invented scenes for the tests of pictures."""

from __future__ import annotations

import numpy as np

from firstbounce.pictures.chart import ChartPicture, ChartRow
from firstbounce.pictures.green import (
    BallPath,
    GreenPicture,
    GroundArea,
    Heights,
    LandingCircle,
    LandingSpread,
)
from firstbounce.pictures.lines import Curve, LinesPicture
from firstbounce.pictures.side import SidePicture

SQUARE = np.array([[-6.0, 4.0], [6.0, 4.0], [6.0, 18.0], [-6.0, 18.0]])


def slope(percent: float = 2.0) -> Heights:
    """A plane that rises away from the mark."""
    y = np.arange(-10.0, 31.0)
    return Heights(x0_m=-20.0, y0_m=-10.0, cell_m=1.0, heights_m=np.tile(percent / 100 * y[:, None], (1, 41)))


def green_scene(n: int = 60, seed: int = 1, **changes: object) -> GreenPicture:
    """A chip over the fringe to a hole 14 m away, with n balls."""
    rng = np.random.default_rng(seed)
    hole, land = (0.0, 14.0), (0.2, 6.0)
    finishes = rng.normal((0.3, 13.0), (0.8, 1.5), (n, 2))
    holed = np.zeros(n, bool)
    holed[: n // 20] = True
    finishes[holed] = hole
    scene: dict[str, object] = {
        "title": "Wedge over the fringe",
        "start": (0.0, 0.0),
        "hole": hole,
        "outline": SQUARE,
        "areas": (
            GroundArea(words="fringe", outline=SQUARE * 1.15 - [0, 1.5]),
            GroundArea(words="bunker", outline=[[-9, 2], [-6.5, 2], [-6.5, 6], [-9, 6]]),
        ),
        "around": "light rough",
        "heights": slope(),
        "circle": LandingCircle(centre=land, radius_m=0.8),
        "spread": LandingSpread(
            centre=land, half_long_m=0.9, half_short_m=0.4, turn_deg=90, words="half of the landings"
        ),
        "landings": rng.normal(land, (0.3, 0.6), (min(n, 40), 2)),
        "finishes": finishes,
        "holed": holed,
        "path": BallPath(flight=[(0, 0), land], run=[land, (0.3, 10.0), (0.4, 13.2)]),
        "note": "Speed 9.5 ft, measured.",
    }
    return GreenPicture(**{**scene, **changes})  # type: ignore[arg-type]


def side_scene(carry: float = 6.0, run: float = 7.0, **changes: object) -> SidePicture:
    """A ball that carries, hops once and rolls."""
    u = np.linspace(0, 1, 13)
    rest = carry + run
    scene: dict[str, object] = {
        "title": "From the side",
        "flight": np.column_stack([carry * u, 4 * 1.4 * u * (1 - u)]),
        "hops": np.column_stack([carry + 0.2 * run * u, 4 * 0.15 * u * (1 - u)]),
        "roll": np.column_stack([carry + run * (0.2 + 0.8 * u), 0 * u]),
        "hole_m": rest + 0.8,
        "note": "Mean of 60 balls.",
    }
    return SidePicture(**{**scene, **changes})  # type: ignore[arg-type]


def chart_scene(**changes: object) -> ChartPicture:
    """Three clubs, two carries each."""
    rows = tuple(
        ChartRow(label=club, carry_m=c, run_m=c * k, run_low_m=0.8 * c * k, run_high_m=1.25 * c * k)
        for club, k in (("7-iron", 3.6), ("pitching wedge", 1.8), ("sand wedge", 0.9))
        for c in (4.0, 8.0)
    )
    scene: dict[str, object] = {"title": "Carry and run", "rows": rows, "note": "Learned from 12 balls."}
    return ChartPicture(**{**scene, **changes})  # type: ignore[arg-type]


def lines_scene(**changes: object) -> LinesPicture:
    """Run against carry for three clubs."""
    x = np.linspace(2, 12, 11)
    curves = tuple(
        Curve(label=name, x=x, y=k * x, low=0.85 * k * x, high=1.15 * k * x, accent=name == "PW")
        for name, k in (("7-iron", 3.6), ("PW", 1.8), ("SW", 0.9))
    )
    scene: dict[str, object] = {
        "title": "Run against carry",
        "x_words": "carry, metres",
        "y_words": "run, metres",
        "curves": curves,
    }
    return LinesPicture(**{**scene, **changes})  # type: ignore[arg-type]
