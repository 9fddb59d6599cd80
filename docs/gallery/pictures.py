"""Write one of each picture, from invented numbers: python docs/gallery/pictures.py [folder]"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from firstbounce.pictures.chart import ChartPicture, ChartRow, chart_view
from firstbounce.pictures.green import (
    BallPath,
    GreenPicture,
    GroundArea,
    Heights,
    LandingCircle,
    LandingSpread,
    green_view,
)
from firstbounce.pictures.lines import Curve, LinesPicture, lines_view
from firstbounce.pictures.marks import Area, Arrow, Dimension, Ellipse
from firstbounce.pictures.side import SidePicture, side_view
from firstbounce.pictures.text import YARDS, paces
from firstbounce.pictures.textures import Texture

HOLE, LAND, START = (2.5, 15.5), (0.9, 6.6), (0.0, 0.0)
CLUBS = (("7-iron", 3.6), ("9-iron", 2.3), ("PW", 1.8), ("GW", 1.35), ("SW", 0.95), ("LW", 0.7))


def blob(x: float, y: float, rx: float, ry: float, wave: float = 0.08, phase: float = 0.0) -> np.ndarray:
    """A wavy closed outline."""
    t = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    r = 1 + wave * np.sin(3 * t + phase) + 0.6 * wave * np.cos(2 * t + phase)
    return np.column_stack([x + rx * r * np.cos(t), y + ry * r * np.sin(t)])


def heights() -> Heights:
    """A green that rises away, with a mound and a hollow."""
    x, y = np.meshgrid(np.arange(-14, 20, 0.5), np.arange(-6, 30, 0.5))
    z = 0.018 * (y - 10) + 0.006 * x
    z += 0.12 * np.exp(-((x - 7) ** 2 + (y - 15) ** 2) / 18)
    z -= 0.08 * np.exp(-((x + 2) ** 2 + (y - 11) ** 2) / 14)
    return Heights(x0_m=-14, y0_m=-6, cell_m=0.5, heights_m=z)


def path() -> BallPath:
    """The mean ball from above."""
    u = np.linspace(0, 1, 30)
    run = np.column_stack([0.9 + 1.4 * u**1.3, 6.6 + 8.4 * u])
    return BallPath(flight=[START, LAND], run=run)


def green_for_the_coach() -> str:
    """Everything that is known of one choice."""
    rng = np.random.default_rng(3)  # noqa: TID251 (a script, not the package)
    finishes = rng.normal((2.3, 14.8), (0.8, 1.7), (400, 2))
    holed = np.arange(400) < 12
    finishes[holed] = HOLE
    return green_view(
        GreenPicture(
            title="Pitching wedge from light rough",
            start=START,
            hole=HOLE,
            outline=blob(3, 13, 9, 8.5),
            areas=(
                GroundArea(words="fringe", outline=blob(3, 13, 10.2, 9.7)),
                GroundArea(words="bunker", outline=blob(-7.2, 5.5, 2.2, 3, 0.12, 1)),
                GroundArea(words="water", outline=blob(12, 5, 3.4, 4, 0.1, 2)),
            ),
            around="light rough",
            heights=heights(),
            circle=LandingCircle(centre=LAND, radius_m=0.9),
            spread=LandingSpread(
                centre=LAND, half_long_m=0.9, half_short_m=0.42, turn_deg=83, words="half of the landings"
            ),
            landings=rng.normal(LAND, (0.35, 0.75), (40, 2)),
            finishes=finishes,
            holed=holed,
            path=path(),
            note="Green speed 9.5 ft (measured), firmness medium (assumed). 400 computed balls.",
        )
    )


def green_for_the_player() -> str:
    """One picture, three numbers, in paces."""
    return green_view(
        GreenPicture(
            title="Land it here, let it run",
            start=START,
            hole=HOLE,
            outline=blob(3, 13, 9, 8.5),
            areas=(GroundArea(words="fringe", outline=blob(3, 13, 10.2, 9.7)),),
            circle=LandingCircle(centre=LAND, radius_m=0.9),
            path=path(),
            measure=paces(0.8),
        )
    )


def misses() -> str:
    """Two sets of landings and the mean miss, made of small marks on the same map."""
    return green_view(
        GreenPicture(
            title="Before and after",
            start=START,
            hole=HOLE,
            outline=blob(3, 13, 9, 8.5),
            circle=LandingCircle(centre=LAND, radius_m=0.9),
            marks=(
                Ellipse(centre=(0.4, 5.4), half_long_m=1.6, half_short_m=0.7, turn_deg=82),
                Arrow(tail=LAND, head=(0.4, 5.4)),
            ),
            mark_points=[(0.4, 3.6), (2.4, 9.0)],
            measure=YARDS,
            up="away",
        )
    )


def side() -> str:
    """Flight, hops and roll over rising ground."""
    t = np.linspace(0, 1.19, 40)
    flight = np.column_stack([6.61 * t, 5.95 * t - 4.905 * t**2])
    x = np.linspace(-2, 20, 80)
    ground = np.column_stack([x, 0.02 * np.clip(x - 4, 0, None) ** 1.1])
    flight[-1, 1] = np.interp(flight[-1, 0], *ground.T)
    hops, at, u = [], float(flight[-1, 0]), np.linspace(0, 1, 15)
    for length, height in ((1.3, 0.28), (0.5, 0.06), (0.2, 0.015)):
        along = at + length * u
        hops.append(np.column_stack([along, np.interp(along, *ground.T) + 4 * height * u * (1 - u)]))
        at += length
    roll = np.linspace(at, 15, 40)
    return side_view(
        SidePicture(
            title="Pitching wedge, from the side",
            flight=flight,
            hops=np.concatenate(hops),
            roll=np.column_stack([roll, np.interp(roll, *ground.T)]),
            ground=ground,
            hole_m=15.7,
            note="Mean of 400 computed balls.",
        )
    )


def chart() -> str:
    """Six clubs with the same carry."""
    rows = tuple(
        ChartRow(
            label=club,
            carry_m=5,
            run_m=5 * k,
            run_low_m=4.1 * k,
            run_high_m=6.1 * k,
            aside="" if club in ("9-iron", "SW") else "worked out",
        )
        for club, k in CLUBS
    )
    return chart_view(
        ChartPicture(
            title="Carry and run, landing 5 m away",
            rows=rows,
            interval_words="nine in ten mean runs",
            note="Green 9.5 ft, medium firm, level. Learned from 24 balls with 9-iron and SW.",
        )
    )


def chart_of_carries() -> str:
    """Three clubs with three carries, in yards."""
    rows = tuple(
        ChartRow(label=club, carry_m=c, run_m=c * k, run_low_m=0.8 * c * k, run_high_m=1.2 * c * k)
        for club, k in CLUBS[::2]
        for c in (4.0, 6.0, 8.0)
    )
    return chart_view(ChartPicture(title="Three clubs, three carries", rows=rows, measure=YARDS))


def curves() -> str:
    """Run against carry."""
    x = np.linspace(2, 12, 20)
    return lines_view(
        LinesPicture(
            title="Run against carry",
            x_words="carry, metres",
            y_words="run, metres",
            band_words="Shaded: nine balls in ten.",
            curves=tuple(
                Curve(
                    label=club,
                    x=x,
                    y=k * x * (1 - 0.02 * x),
                    low=0.88 * k * x * (1 - 0.02 * x),
                    high=1.12 * k * x * (1 - 0.02 * x),
                    accent=club == "PW",
                )
                for club, k in CLUBS[::2] + CLUBS[-1:]
            ),
        )
    )


def drill() -> str:
    """A set-up on bare squared paper: a gate and a towel, with their measures."""
    return green_view(
        GreenPicture(
            title="Towel and circle",
            start=START,
            circle=LandingCircle(centre=(0, 5), radius_m=0.8),
            marks=(
                Area(outline=[(-0.6, 3.6), (0.6, 3.6), (0.6, 3.9), (-0.6, 3.9)], texture=Texture.GRID),
                Dimension(a=(1.6, 0), b=(1.6, 3.9), words="3.9 m"),
                Dimension(a=(-0.6, 3.6), b=(0.6, 3.6), words="1.2 m", aside=22),
            ),
            mark_points=[(2.6, 0), (-2.6, 0)],
            legend=False,
            note="Land beyond the towel, in the circle: 6 of 10 passes.",
        )
    )


PICTURES = {
    "green-coach": green_for_the_coach,
    "green-player": green_for_the_player,
    "green-misses": misses,
    "green-drill": drill,
    "side": side,
    "chart": chart,
    "chart-carries": chart_of_carries,
    "lines": curves,
}


def main(folder: str = "picture-gallery") -> None:
    """Write every picture into the folder."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    for name, draw in PICTURES.items():
        (target / f"{name}.svg").write_text(draw(), encoding="utf-8")
        print(target / f"{name}.svg")


if __name__ == "__main__":
    main(*sys.argv[1:2])
