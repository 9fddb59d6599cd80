"""docs/chart.svg, the picture of the README: carry and run of the demo's player; `make docs` writes it."""

from __future__ import annotations

import tempfile
from pathlib import Path

from firstbounce.services.day import load_balls, load_day
from firstbounce.services.demo import BALLS, GREEN, copy_inputs
from firstbounce.services.fit import fit_day, with_chart
from firstbounce.services.pictures import chart_picture
from firstbounce.units import LengthUnit


def demo_chart() -> str:
    """The chart as SVG text, learned from the demo's balls."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        copy_inputs(folder)
        day = load_day(folder / GREEN)
        fitted = with_chart(day, fit_day(day, load_balls(folder / BALLS, day)))
        return chart_picture(day.today, fitted.chart, LengthUnit.METRES)
