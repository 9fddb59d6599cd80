"""What only the whole of `green.toml` can show to be wrong: crossing outlines, holes off the green, feet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from firstbounce.files import polygon
from firstbounce.files.green_shape import Area, Green, Rolls, StationGiven, Surface, Today
from firstbounce.files.rules import METRES_PER_FOOT_HINT

Place = tuple[int | str, ...]
Found = Iterator[tuple[Place, str]]

SMALLEST_M2, LARGEST_M2 = 4.0, 2500.0  #: areas of a green that make sense; large double greens reach 2000
FARTHEST_M = 70.0  #: from start to hole; the tool is for chips and pitches
LARGEST_GRADIENT = 0.40  #: between neighbours of a height grid; banks are steeper than greens [-]
LARGEST_OFFSET_DEG = 3.0  #: a level that is off by more is broken or was moved; phones are up to 2 or 3 off


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The parts of a file that are sound by themselves, and None for those that are not."""

    green: Green | None
    surface: Surface | None
    today: Today | None
    area: tuple[Area | None, ...]
    station: tuple[StationGiven | None, ...]


def faults_of(parts: Parts) -> Found:
    """Every fault with the place of its key."""
    if parts.green is not None:
        yield from _outline(parts.green.outline)
    for i, area in enumerate(parts.area):
        if area is not None:
            yield from _sound(area.polygon, ("area", i, "polygon"))
    if parts.surface is not None:
        yield from _surface(parts.surface)
    if parts.today is not None and parts.today.rolls is not None:
        yield from _rolls(parts.today.rolls)
    yield from _stations(parts.station, parts.green)


def _outline(corners: tuple[tuple[float, float], ...]) -> Found:
    place = ("green", "outline")
    crossing = list(_sound(corners, place))
    yield from crossing
    size = polygon.area(corners)
    said = f"the green would be {size:.0f} square metres"
    if size > LARGEST_M2:
        yield place, f"{said}, at most {LARGEST_M2:.0f}; {METRES_PER_FOOT_HINT}"
    elif size < SMALLEST_M2 and not crossing:
        yield place, f"{said}, at least {SMALLEST_M2:.0f}; check the corners"


def _sound(corners: tuple[tuple[float, float], ...], place: Place) -> Found:
    crossing = polygon.first_crossing(corners)
    if crossing is not None:
        one, two = (f"from corner {side + 1}" for side in crossing)
        yield (
            place,
            f"the outline crosses itself: the side {one} meets the side {two}; list the corners in order",
        )
    for i, (a, b) in enumerate(polygon.sides(corners)):
        if a == b:
            yield (*place, i), "the same corner stands twice in a row; the outline closes by itself"


def _surface(surface: Surface) -> Found:
    for i, reading in enumerate(surface.reading):
        pair = reading.level_deg
        if pair is not None and len(pair) == 2 and abs(pair[0] - pair[1]) / 2 > LARGEST_OFFSET_DEG:
            said = f"the level and the level turned round disagree: {pair[0]:g} and {pair[1]:g}"
            yield ("surface", "reading", i, "level_deg"), f"{said}; both say the fall towards downhill_deg"
    if surface.heights is not None and surface.heights.rows is not None:
        yield from height_faults(surface.heights.rows, surface.heights.cell_m)


def height_faults(rows: tuple[tuple[float, ...], ...], cell: float) -> Found:
    """The first height that no green could have beside its neighbour, `cell` metres away."""
    for i, row in enumerate(rows):
        for j, height in enumerate(row):
            left = row[j - 1] if j else height
            near = rows[i - 1][j] if i else height
            step = max(abs(height - left), abs(height - near))
            if step > LARGEST_GRADIENT * cell:
                said = f"{height:g} is {step:.2f} metres from its neighbour {cell:g} metres away"
                yield ("surface", "heights", "rows", i, j), f"{said}; heights are in metres"
                return


def _rolls(rolls: Rolls) -> Found:
    up, down = _middle(rolls.up_m), _middle(rolls.down_m)
    if down < 0.9 * up:
        said = f"the rolls down ({down:g}) are shorter than the rolls up ({up:g})"
        yield ("today", "rolls"), f"{said}; swap up_m and down_m"


def _middle(values: tuple[float, ...]) -> float:
    ordered = sorted(values)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def _stations(stations: tuple[StationGiven | None, ...], green: Green | None) -> Found:
    names: dict[str, int] = {}
    for i, station in enumerate(stations):
        if station is None:
            continue
        place: Place = ("station", i)
        first = names.setdefault(station.name, i)
        if first != i:
            yield (*place, "name"), f"{station.name!r} is the name of station {first + 1} too; names differ"
        if green is not None and not polygon.contains(green.outline, station.hole):
            said = f"the hole at {_at(station.hole)} is off the green"
            yield (*place, "hole"), f"{said}; it lies inside green.outline"
        yield from _far(station, place)


def _far(station: StationGiven, place: Place) -> Found:
    distance = math.dist(station.start, station.hole)
    if distance > FARTHEST_M:
        said = f"the start is {distance:.0f} metres from the hole, at most {FARTHEST_M:.0f}"
        yield (*place, "start"), f"{said}; {METRES_PER_FOOT_HINT}"
    elif distance < 0.5:
        yield (*place, "start"), f"the start is {distance:.2f} metres from the hole, at least 0.5; check both"
    spot = station.landing_spot
    if spot is not None and math.dist(station.start, spot) > 1.5 * distance:
        yield (
            (*place, "landing_spot"),
            f"the landing spot {_at(spot)} is far beyond the hole; check its numbers",
        )


def _at(place: tuple[float, float]) -> str:
    return f"[{place[0]:g}, {place[1]:g}]"
