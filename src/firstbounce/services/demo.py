"""The demo: the main job on files that come with the program, into one folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

from firstbounce.planning.result import Plan
from firstbounce.services.day import Day, load_balls, load_day
from firstbounce.services.fit import FittedDay, fit_day, with_chart
from firstbounce.services.pictures import chart_picture, plan_pictures, save_pictures
from firstbounce.services.plan import plan_stations
from firstbounce.units import LengthUnit

INPUTS = ("green.toml", "heights.csv", "balls.csv")
GREEN, BALLS = INPUTS[0], INPUTS[2]


@dataclass(frozen=True, kw_only=True, eq=False)
class Demo:
    """What the demo made."""

    folder: Path
    day: Day
    fitted: FittedDay
    plans: tuple[Plan, ...]
    pictures: tuple[Path, ...]

    @property
    def look_at(self) -> Path:
        """The picture to look at first: the first choice of the first station from above."""
        return next(path for path in self.pictures if path.name.endswith("above.png"))


def copy_inputs(folder: Path) -> None:
    """Put the demo's files into the folder, over older copies."""
    folder.mkdir(parents=True, exist_ok=True)
    shipped = resources.files("firstbounce") / "files" / "demo"
    for name in INPUTS:
        (folder / name).write_bytes((shipped / name).read_bytes())


def run_demo(
    folder: Path,
    *,
    unit: LengthUnit = LengthUnit.METRES,
    progress: Callable[[float], None] = lambda share: None,
) -> Demo:
    """Copy the inputs, fit the day, plan every station, draw the pictures."""
    copy_inputs(folder)
    day = load_day(folder / GREEN)
    fitted = with_chart(day, fit_day(day, load_balls(folder / BALLS, day)))
    progress(0.3)
    plans = plan_stations(day, fit=fitted.fit, unit=unit, progress=lambda share: progress(0.3 + 0.5 * share))
    drawn = {"chart": chart_picture(day.today, fitted.chart, unit)}
    for plan in plans:
        drawn |= plan_pictures(day, plan, unit)
    pictures = save_pictures(folder, drawn)
    progress(1.0)
    return Demo(folder=folder, day=day, fitted=fitted, plans=tuple(plans), pictures=tuple(pictures))
