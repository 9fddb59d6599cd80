"""Pictures held as text; a coordinate may differ by a rounding step, everything else may not.

These are snapshots of our own output, looked at when they were taken. After a wanted change of the look,
look at the new pictures and take them again: python tests/pictures/test_picture_golden.py
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from firstbounce.pictures.chart import ChartPicture, ChartRow, chart_view
from firstbounce.pictures.green import BallPath, GreenPicture, Heights, LandingCircle, green_view
from firstbounce.pictures.lines import Curve, LinesPicture, lines_view
from firstbounce.pictures.misses import MissArrow, MissDots, MissEllipse, MissesPicture, misses_view
from firstbounce.pictures.side import SidePicture, side_view

GOLDEN = Path(__file__).parent / "golden"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
STEP = 0.11  #: one rounding step of a coordinate, with room [page units]

SMALL = {
    "green": lambda: green_view(
        GreenPicture(
            title="Small green",
            start=(0, 0),
            hole=(1, 10),
            outline=[(-5, 3), (6, 3), (6, 13), (-5, 13)],
            heights=Heights(x0_m=-8, y0_m=-2, cell_m=16, heights_m=[[0, 0.02], [0.3, 0.32]]),
            circle=LandingCircle(centre=(0.4, 5), radius_m=0.7),
            finishes=[(1.2, 9.1), (0.3, 10.4), (1, 10)],
            holed=[False, False, True],
            path=BallPath(flight=[(0, 0), (0.4, 5)], run=[(0.4, 5), (1.1, 9.2)]),
            key="g",
        )
    ),
    "side": lambda: side_view(
        SidePicture(
            title="Small side",
            flight=[(0, 0), (2, 0.8), (4, 0.1)],
            roll=[(4, 0.1), (9, 0.2)],
            hole_m=9.5,
            key="s",
        )
    ),
    "chart": lambda: chart_view(
        ChartPicture(
            title="Small chart",
            rows=(
                ChartRow(label="PW", carry_m=5, run_m=8.9, run_low_m=7.5, run_high_m=10.6),
                ChartRow(label="SW", carry_m=5, run_m=4.4, run_low_m=3.1, run_high_m=5.9, aside="typical"),
            ),
            key="c",
        )
    ),
    "misses": lambda: misses_view(
        MissesPicture(
            title="Small misses",
            target="landing spot",
            ring_m=1.2,
            ring_words="7 of 10",
            dots=(
                MissDots(points=[(0.3, 0.8), (-0.6, -0.4), (0.1, 1.5)], words="landed, clean"),
                MissDots(points=[(-0.2, -2.4)], words="landed, not clean", shape="cross"),
            ),
            arrows=(MissArrow(tail=(0, 0), head=(0.2, 0.9), words="on average 0.9 m long", label="mean"),),
            ellipses=(
                MissEllipse(
                    centre=(0.2, 0.9),
                    half_long_m=1.1,
                    half_short_m=0.5,
                    turn_deg=80,
                    words="half of the next",
                ),
            ),
            key="m",
        )
    ),
    "lines": lambda: lines_view(
        LinesPicture(
            title="Small lines",
            x_words="carry, metres",
            y_words="run, metres",
            curves=(Curve(label="PW", x=[2, 6, 10], y=[4, 11, 17], low=[3, 9, 14], high=[5, 13, 20]),),
            key="l",
        )
    ),
}


@pytest.mark.parametrize("name", SMALL)
def test_snapshot_of_a_small_picture(name):
    got, kept = SMALL[name](), (GOLDEN / f"{name}.svg").read_text(encoding="utf-8")
    assert NUMBER.sub("#", got) == NUMBER.sub("#", kept)
    differences = [
        abs(float(a) - float(b)) for a, b in zip(NUMBER.findall(got), NUMBER.findall(kept), strict=True)
    ]
    assert max(differences) <= STEP


if __name__ == "__main__":
    for name, draw in SMALL.items():
        (GOLDEN / f"{name}.svg").write_text(draw(), encoding="utf-8")
