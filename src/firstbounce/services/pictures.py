"""Plans, shots and charts as pictures: descriptions for `pictures/`, and files on disk, SVG and PNG."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.ground.areas import SURROUNDS
from firstbounce.ground.conditions import GreenToday
from firstbounce.pictures.chart import ChartPicture, ChartRow, chart_view
from firstbounce.pictures.green import BallPath, GreenPicture, GroundArea, LandingCircle, green_view
from firstbounce.pictures.heights import Heights
from firstbounce.pictures.side import SidePicture, side_view
from firstbounce.pictures.text import METRES, YARDS, Measure
from firstbounce.planning.chart import Chart
from firstbounce.planning.result import Choice, Plan, Span
from firstbounce.planning.sentences import club_text
from firstbounce.services.day import Day
from firstbounce.services.play import Shot
from firstbounce.units import LengthUnit
from firstbounce.words import Station, TurfKind

PNG_WIDTH_PT = 540.0  #: width of a picture on a printed page
PNG_PPI = 150.0  #: 1125 pixels wide
HEIGHT_CELL_M = 0.5  #: step of the height lines
ON_THE_GREEN = (TurfKind.STANDING_WATER, TurfKind.TEMPORARY_GREEN, TurfKind.MAT)

Path3 = NDArray[np.float64]


class OnPath(Protocol):
    """A point of a ball's path, wherever it comes from."""

    @property
    def x_m(self) -> float: ...
    @property
    def y_m(self) -> float: ...
    @property
    def z_m(self) -> float: ...
    @property
    def phase(self) -> str: ...


def measure_of(unit: LengthUnit) -> Measure:
    """The unit of a picture."""
    return YARDS if unit is LengthUnit.YARDS else METRES


def plan_picture(day: Day, plan: Plan, choice: Choice, unit: LengthUnit) -> str:
    """One choice of a plan from above, as SVG."""
    return green_view(plan_green(day, plan, choice, unit))


def plan_green(day: Day, plan: Plan, choice: Choice, unit: LengthUnit) -> GreenPicture:
    """One choice of a plan from above, before it is drawn: others leave out or reword what they like."""
    cloud = choice.cloud
    finishes = np.array(cloud.finished).reshape(-1, 2)
    return _green(
        day,
        plan.station,
        title=f"{plan.station.name}: {club_text(choice.club)}",
        circle=landing_circle(choice),
        landings=None if choice.is_putt else np.array(cloud.landed).reshape(-1, 2),
        finishes=finishes,
        holed=in_the_hole(finishes, plan.station),
        path=seen_from_above(choice.path),
        measure=measure_of(unit),
        note=f"{plan.reason} {conditions(day)}",
    )


def landing_circle(choice: Choice) -> LandingCircle | None:
    """The circle of a choice with what it holds; None for a putt."""
    if choice.circle is None:
        return None
    return LandingCircle(
        centre=choice.circle.centre,
        radius_m=choice.circle.radius_m,
        words="7 of 10 clean strikes land here",
    )


def in_the_hole(finishes: NDArray[np.float64], station: Station) -> NDArray[np.bool_]:
    """Which of the finishes (n, 2) [m] are the hole itself."""
    return np.asarray(np.hypot(*(finishes - np.array(station.hole)).T) < 1e-6)


def shot_picture(day: Day, shot: Shot, unit: LengthUnit) -> str:
    """One shot from above, as SVG."""
    title = f"{shot.station.name}: {club_text(shot.club)}, the usual ball"
    path = seen_from_above(shot.path)
    return green_view(
        _green(day, shot.station, title=title, path=path, measure=measure_of(unit), note=conditions(day))
    )


def side_picture(
    day: Day,
    station: Station,
    club: str,
    points: Sequence[OnPath],
    unit: LengthUnit,
    note: str = "",
) -> str:
    """The usual ball of a club from the side, as SVG. Points have t_s, x_m, y_m, z_m and phase."""
    path = _path(points)
    start, hole = np.array(station.start), np.array(station.hole)
    ahead = (hole - start) / np.linalg.norm(hole - start)
    along = (path[:, :2] - start) @ ahead
    profile = np.column_stack([along, path[:, 2] - path[0, 2]])
    return side_view(
        SidePicture(
            title=f"{station.name}: {club_text(club)}, from the side",
            **ball_parts(points, profile),
            ground=_ground_line(day, station, path),
            hole_m=float(np.linalg.norm(hole - start)),
            measure=measure_of(unit),
            note=note or conditions(day),
        )
    )


def plan_pictures(day: Day, plan: Plan, unit: LengthUnit) -> dict[str, str]:
    """The first choice of a plan from above and from the side, and every choice that equals it from above."""
    name, first = plan.station.name, plan.first
    drawn = {
        f"{name} {choice.club} above": plan_picture(day, plan, choice, unit)
        for choice in plan.equal_choices[:3]
    }
    return drawn | {
        f"{name} {first.club} side": side_picture(day, plan.station, first.club, first.path, unit)
    }


def bar_of(club: str, carry_m: float, run_m: Span) -> ChartRow:
    """The bar of one club."""
    return ChartRow(
        label=club_text(club),
        carry_m=carry_m,
        run_m=run_m.value,
        run_low_m=run_m.low,
        run_high_m=run_m.high,
    )


def chart_picture(today: GreenToday, chart: Chart, unit: LengthUnit) -> str:
    """Carry and run of each club on level ground, as SVG."""
    learned = f"Learned from {chart.learned_from} balls." if chart.learned_from else "Usual values, no balls."
    return chart_view(
        ChartPicture(
            title=f"Carry and run, {chart.player}",
            rows=tuple(bar_of(row.club, row.carry_m, row.run_m) for row in chart.rows),
            measure=measure_of(unit),
            note=f"Level ground. {learned} {known_today(today)}",
            interval_words="what the average run likely lies between",
        )
    )


def conditions(day: Day) -> str:
    """The day in one sentence, each value with where it came from."""
    return known_today(day.today)


def known_today(today: GreenToday) -> str:
    """Speed and firmness in one sentence, each with where it came from."""
    speed = f"Green speed {today.stimp_ft.value:.1f} ft ({today.stimp_ft.source})"
    firmness = f"firmness {today.firmness.value:.2f} ({today.firmness.source})"
    return f"{speed}, {firmness}, {'wet' if today.wet else 'dry'}."


def save_pictures(folder: Path, pictures: Mapping[str, str]) -> list[Path]:
    """Write each picture (name to SVG text) as SVG and PNG; returns the paths."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, svg in pictures.items():
        path = folder / f"{file_name(name)}.svg"
        path.write_text(svg, encoding="utf-8", newline="\n")
        png = path.with_suffix(".png")
        png.write_bytes(png_of(svg))
        written += [path, png]
    return written


def png_of(svg: str, *, ppi: float = PNG_PPI) -> bytes:
    """The picture as PNG, on white, with fonts that come with the typesetter: the same everywhere."""
    import typst

    page = f"#set page(width: {PNG_WIDTH_PT}pt, height: auto, margin: 0pt, fill: white)\n"
    body = f'#image(bytes(sys.inputs.svg), format: "svg", width: {PNG_WIDTH_PT}pt)\n'
    made = typst.compile(
        (page + body).encode(), format="png", ppi=ppi, sys_inputs={"svg": svg}, ignore_system_fonts=True
    )
    if not isinstance(made, bytes):
        raise ParameterError("The picture is longer than one page.")
    return made


def file_name(name: str) -> str:
    """A name that every file system takes."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    return plain or "picture"


def green_around(day: Day, station: Station, **more: Any) -> GreenPicture:
    """A station's green before it is drawn, with whatever else the picture should show."""
    return _green(day, station, **more)


def _green(day: Day, station: Station, **more: Any) -> GreenPicture:
    """What every picture of a station shows: outline, turf and height lines."""
    areas = [area for area in day.file.area if area.kind not in ON_THE_GREEN]
    patches = [area for area in day.file.area if area.kind in ON_THE_GREEN]
    ring = [] if not day.file.green.fringe_m else [_fringe(day.file.green.outline, day.file.green.fringe_m)]
    return GreenPicture(
        start=station.start,
        hole=station.hole,
        outline=day.file.green.outline,
        areas=(
            *(
                GroundArea(words=str(area.kind), outline=area.polygon)
                for area in areas
                if area.kind in SURROUNDS
            ),
            *(GroundArea(words="fringe", outline=edge) for edge in ring),
            *(
                GroundArea(words=str(area.kind), outline=area.polygon)
                for area in areas
                if area.kind not in SURROUNDS
            ),
        ),
        patches=tuple(GroundArea(words=str(area.kind), outline=area.polygon) for area in patches),
        around=str(day.file.green.around),
        heights=_heights(day, station),
        **more,
    )


def _heights(day: Day, station: Station) -> Heights:
    ground = day.ground_at(station)
    b = ground.map
    x, y = np.arange(b.x_min, b.x_max, HEIGHT_CELL_M), np.arange(b.y_min, b.y_max, HEIGHT_CELL_M)
    z = ground.surface.height(x[None, :], y[:, None])
    return Heights(x0_m=float(x[0]), y0_m=float(y[0]), cell_m=HEIGHT_CELL_M, heights_m=z)


def _path(points: Sequence[OnPath]) -> Path3:
    """(n, 3) [m]."""
    return np.array([(point.x_m, point.y_m, point.z_m) for point in points])


def seen_from_above(points: Sequence[OnPath]) -> BallPath:
    """The flight up to the first bounce, then the rest."""
    path, first = _path(points), _first_bounce(points)
    return BallPath(flight=path[: first + 1 if first else 0, :2], run=path[first:, :2])


def ball_parts(points: Sequence[OnPath], profile: NDArray[np.float64]) -> dict[str, Any]:
    """The profile (n, 2) [m] of a path in the parts that a picture from the side draws."""
    first, rolls = _first_bounce(points), _leaves(points, "flight", "bounce")
    return {
        "flight": profile[: first + 1] if first else None,
        "hops": profile[first : rolls + 1] if first and rolls > first else None,
        "roll": profile[rolls if first else 0 :],
    }


def _first_bounce(points: Sequence[OnPath]) -> int:
    """Index of the first point on the ground; 0 for a putt, which is in flight only where it was struck."""
    first = _leaves(points, "flight")
    return first if first > 1 else 0


def _leaves(points: Sequence[OnPath], *phases: str) -> int:
    """Index of the first point of another phase than these; 0 when it never was in one."""
    others = (i for i, point in enumerate(points) if point.phase not in phases)
    return next(others, len(points) - 1)


def _ground_line(day: Day, station: Station, path: Path3) -> NDArray[np.float64]:
    """Profile of the ground (n, 2) [m]: under the ball, then on to the hole; heights from the start's."""
    start, hole = np.array(station.start), np.array(station.hole)
    length = float(np.linalg.norm(hole - start))
    ahead = (hole - start) / length
    right = np.array([ahead[1], -ahead[0]])
    along, aside = (path[:, :2] - start) @ ahead, (path[:, :2] - start) @ right
    known, order = np.unique(np.append(along, length), return_index=True)
    far = np.linspace(min(0.0, known[0]) - 0.5, max(known[-1], length) + 1.5, 80)
    sideways = np.interp(far, known, np.append(aside, 0.0)[order])
    places = start + far[:, None] * ahead + sideways[:, None] * right
    z = day.ground_at(station).surface.height(places[:, 0], places[:, 1]) - path[0, 2]
    return np.column_stack([far, z])


def _fringe(outline: tuple[tuple[float, float], ...], width: float) -> NDArray[np.float64]:
    """The outline moved outwards by the width of the fringe (n, 2) [m]."""
    corners = np.array([*outline, outline[0]])
    lengths = np.append(0.0, np.cumsum(np.hypot(*np.diff(corners, axis=0).T)))
    at = np.linspace(0.0, lengths[-1], max(40, int(lengths[-1] / 0.3)), endpoint=False)
    edge = np.column_stack([np.interp(at, lengths, corners[:, k]) for k in (0, 1)])
    step = np.roll(edge, -3, axis=0) - np.roll(edge, 3, axis=0)
    outwards = np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(*step.T)[:, None]
    turn = float(np.sum(edge[:, 0] * np.roll(edge[:, 1], -1) - np.roll(edge[:, 0], -1) * edge[:, 1]))
    return edge + (width if turn > 0 else -width) * outwards
