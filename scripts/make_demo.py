"""Make the demo's green and balls again: python scripts/make_demo.py. Everything in it is invented."""

from __future__ import annotations

import datetime
from pathlib import Path

import numpy as np

from firstbounce.files.green import write_green
from firstbounce.files.green_shape import (
    Area,
    Green,
    GreenFile,
    Heights,
    LieGiven,
    PlayerGiven,
    Rolls,
    StationGiven,
    Surface,
    Today,
    WindGiven,
)
from firstbounce.files.heights import write_heights
from firstbounce.words import Level, LieKind, TurfKind

FOLDER = Path(__file__).parents[1] / "src/firstbounce/files/demo"
SAYS = """\
# The lower green at Quillet Common. Invented, like everyone and everything in this folder.
# Positions are metres from a tee peg in the front left corner: x right, y away.

"""


def wavy_outline(n: int = 20) -> tuple[tuple[float, float], ...]:
    """The edge of the green: a kidney about 20 m wide and 24 m deep."""
    t = np.linspace(0, 2 * np.pi, n, endpoint=False)
    r = 1 + 0.10 * np.cos(2 * t - 0.6) + 0.07 * np.sin(3 * t)
    x, y = 11.0 + 9.6 * r * np.cos(t), 14.0 + 11.4 * r * np.sin(t)
    return tuple((round(float(a), 1), round(float(b), 1)) for a, b in zip(x, y, strict=True))


def heights() -> tuple[tuple[float, ...], ...]:
    """Rises 2 % away, with a shoulder at the back left and a hollow on the right; the surrounds fall away."""
    x, y = np.meshgrid(np.arange(-14.0, 37.0, 2.0), np.arange(-14.0, 45.0, 2.0))
    z = 0.020 * (y - 14) - 0.006 * (x - 11)
    z += 0.22 * np.exp(-((x - 5) ** 2 + (y - 21) ** 2) / 40)
    z -= 0.12 * np.exp(-((x - 16) ** 2 + (y - 10) ** 2) / 28)
    off = np.maximum(np.hypot((x - 11) / 11, (y - 14) / 13) - 1, 0)
    z -= 0.25 * off**2
    return tuple(tuple(round(float(height), 3) for height in row) for row in z)


def green() -> GreenFile:
    """The whole file but the comment above it."""
    return GreenFile(
        format=1,
        green=Green(
            name="Lower green, Quillet Common (invented)",
            outline=wavy_outline(),
            fringe_m=1.0,
            around=TurfKind.LIGHT_ROUGH,
        ),
        surface=Surface(heights=Heights(x0_m=-14.0, y0_m=-14.0, cell_m=2.0, file="heights.csv")),
        area=(
            Area(kind=TurfKind.FAIRWAY, polygon=((2, -12), (20, -12), (20, 4), (2, 4))),
            Area(kind=TurfKind.BUNKER, polygon=((-3.5, 8), (0.2, 7.5), (0.6, 12), (-2.8, 13))),
        ),
        today=Today(
            date=datetime.date(2026, 5, 14),
            rolls=Rolls(up_m=(2.35, 2.3, 2.4), down_m=(3.55, 3.6, 3.45)),
            drop_heights_m=(0.2, 0.22, 0.19, 0.21, 0.2),
            wind=WindGiven(beaufort=2, from_deg=300),
        ),
        station=(
            StationGiven(name="Gate", start=(10, -1), hole=(12, 16), lie=LieGiven(kind=LieKind.FAIRWAY)),
            StationGiven(
                name="Bench", start=(-4.5, 17), hole=(9, 12), lie=LieGiven(kind=LieKind.LIGHT_ROUGH)
            ),
            StationGiven(name="Brook", start=(14, -11), hole=(12, 8), lie=LieGiven(kind=LieKind.FAIRWAY)),
        ),
        player=PlayerGiven(
            name="R. T.",
            level=Level.TEN_TO_EIGHTEEN,
            bag={"7i": 34, "9i": 42, "PW": 46, "GW": 50, "SW": 56, "LW": 60, "putter": 3},
        ),
    )


def main() -> None:
    """Write the demo's files."""
    FOLDER.mkdir(exist_ok=True)
    write_heights(FOLDER / "heights.csv", heights())
    path = FOLDER / "green.toml"
    write_green(path, green())
    path.write_text(SAYS + path.read_text(encoding="utf-8"), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
