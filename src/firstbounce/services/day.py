"""Load a day: the green, what was read of it, the stations and the player, from one `green.toml`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path

import numpy as np

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.files.balls import LoggedBalls, read_balls
from firstbounce.files.green import KeyPath, fault_at, read_green
from firstbounce.files.green_shape import GreenFile, PlayerGiven, SlopeReading, StationGiven, Today
from firstbounce.ground import slopes
from firstbounce.ground.areas import Area
from firstbounce.ground.conditions import GreenToday, Weather
from firstbounce.ground.firmness import firmness_from_drops
from firstbounce.ground.fitted import surface_from_readings
from firstbounce.ground.ground import MARGIN_M, Ground, hole_fault, start_fault
from firstbounce.ground.readings import slope_from_level, speed_from_rolls, stimp_reading
from firstbounce.ground.surface import Bounds, HeightGrid, Surface
from firstbounce.ground.wind import Wind
from firstbounce.players.clubs import Bag, Club, tidy_name
from firstbounce.players.player import Player, player_of_level
from firstbounce.words import Estimate, Level, Lie, Point, Source, Station

USUAL_LEVEL = Level.TEN_TO_EIGHTEEN  #: of a player of whom the file says nothing
LEAN_SD_DEG = 1.0  #: of a lean that the coach stated, choice
DAYS_KEPT = 16  #: built and ready, about a megabyte each


@dataclass(frozen=True, kw_only=True, eq=False)
class Day:
    """One green today, for one player."""

    path: Path
    file: GreenFile
    today: GreenToday
    player: Player
    stations: dict[str, Station]
    remarks: tuple[str, ...] = ()  #: what the readings themselves make one say to the coach

    @cached_property
    def ground(self) -> Ground:
        """The ground; a slope known as a word only is taken along the first station's line."""
        return _ground(self.file, next(iter(self.stations.values()), None), self.stations)

    def ground_at(self, station: Station) -> Ground:
        """The ground as it is known for one station."""
        if self.file.surface.word is None or station == next(iter(self.stations.values())):
            return self.ground
        return _ground(self.file, station, self.stations)

    def station(self, name: str) -> Station:
        """The station of that name. ParameterError names those there are."""
        if name not in self.stations:
            known = ", ".join(self.stations) or "none"
            raise ParameterError(f"{self.path} has no station {name!r}; there: {known}.")
        return self.stations[name]


Days = Sequence[tuple[Day, LoggedBalls]]


def load_day(path: Path) -> Day:
    """Read `green.toml` and make ground, day, stations and player of it. Raises FileFaults."""
    day, faults = _built(read_green(path), path)
    if day is None or faults:
        raise FileFaults(path, [fault_at(path, place, problem) for place, problem in faults])
    return day


def day_of(file: GreenFile, name: str) -> Day:
    """The day of contents that stand in no file. ParameterError says what does not fit.

    The same contents give the same day: painting its turf takes longer than the rest of a page.
    """
    return _day_of(_Contents(text=file.model_dump_json(), file=file), name)


@dataclass(frozen=True, kw_only=True)
class _Contents:
    """A file, equal to another one that says the same."""

    text: str
    file: GreenFile = field(compare=False)


@lru_cache(maxsize=DAYS_KEPT)
def _day_of(contents: _Contents, name: str) -> Day:
    day, faults = _built(contents.file, Path(name))
    if day is None or faults:
        raise ParameterError(f"{name}: {'; '.join(problem for _, problem in faults)}")
    return day


def _built(file: GreenFile, path: Path) -> tuple[Day | None, list[tuple[KeyPath | None, str]]]:
    """The day, and what does not fit with the place of its key."""
    try:
        today, remarks = _today(file.today)
        day = Day(
            path=path,
            file=file,
            today=today,
            player=player_of_file(file.player or PlayerGiven(level=USUAL_LEVEL)),
            stations={given.name: _station(given) for given in file.station},
            remarks=remarks,
        )
        day.ground.compiled()  # what only the ground can see is a fault of the file, stations or not
    except ParameterError as error:
        return None, [(None, str(error))]
    return day, _misplaced(day)


def load_balls(path: Path, day: Day) -> LoggedBalls:
    """Read `balls.csv` beside a day: its stations fill what rows leave empty, its bag names the clubs."""
    return read_balls(path, stations=day.stations, bag=day.player.bag)


def days_of_one_player(days: Days) -> list[tuple[Day, LoggedBalls]]:
    """Days with their balls in the order of `today.date`. ParameterError for none, or for two players."""
    if not days:
        raise ParameterError("No day with its balls was given: name at least one green file and its balls.")
    names = {day.player.name for day, _ in days}
    if len(names) > 1:
        raise ParameterError(
            f"These are days of {len(names)} players ({', '.join(sorted(names))}): give those of one."
        )
    return sorted(days, key=lambda one: one[0].file.today.date)


def _misplaced(day: Day) -> list[tuple[KeyPath | None, str]]:
    """Stations that do not fit the ground, with the place of their key."""
    found: list[tuple[KeyPath | None, str]] = []
    for i, station in enumerate(day.stations.values()):
        ground = day.ground_at(station)
        problems = {"hole": hole_fault(ground, station.hole), "start": start_fault(ground, station.start)}
        found += [(("station", i, key), problem) for key, problem in problems.items() if problem]
    return found


def _station(given: StationGiven) -> Station:
    lie = given.lie
    return Station(
        name=given.name,
        start=Point(*given.start),
        hole=Point(*given.hole),
        lie=Lie(kind=lie.kind, wet=lie.wet, uphill_deg=lie.uphill_deg, above_feet_deg=lie.above_feet_deg),
        landing_spot=Point(*given.landing_spot) if given.landing_spot else None,
    )


def _today(given: Today) -> tuple[GreenToday, tuple[str, ...]]:
    """The day, and the remarks of its readings."""
    weather = given.weather
    day = GreenToday.of_words(
        given.speed,
        given.firmness,
        wet=given.wet,
        wind=_wind(given),
        weather=Weather(
            temperature_c=weather.temperature_c,
            pressure_pa=100 * weather.pressure_hpa,
            humidity=weather.humidity_percent / 100,
            source=Source.MEASURED if "weather" in given.model_fields_set else Source.PRIOR,
        ),
    )
    remarks: tuple[str, ...] = ()
    if given.stimp_ft is not None:
        day = replace(day, stimp_ft=stimp_reading(given.stimp_ft))
    if given.rolls is not None:
        rolls = speed_from_rolls(given.rolls.up_m, given.rolls.down_m)
        day, remarks = replace(day, stimp_ft=rolls.stimp_ft), rolls.remarks
    if given.drop_heights_m is not None:
        drops = firmness_from_drops(given.drop_heights_m)
        day, remarks = replace(day, firmness=drops.firmness), remarks + drops.remarks
    return day, remarks


def _wind(given: Today) -> Wind | None:
    wind = given.wind
    if wind is None:
        return None
    if wind.beaufort is not None:
        return Wind.of_beaufort(wind.beaufort, wind.from_deg)
    return Wind.felt(wind.speed_m_s or 0.0, wind.from_deg)


def player_of_file(given: PlayerGiven) -> Player:
    """The player: what was not given is usual for the level."""
    player = player_of_level(given.level, name=given.name, hand=given.hand, bag=_bag(given))
    spread, mishits = player.spread, player.mishits
    spread = replace(
        spread,
        floor_m=_or(given.spread_floor_m, spread.floor_m),
        share=_or(given.spread_share, spread.share),
        direction_deg=_or(given.spread_direction_deg, spread.direction_deg),
    )
    lean = player.extra_lean_deg
    if given.extra_lean_deg is not None:
        lean = Estimate(value=given.extra_lean_deg, sd=LEAN_SD_DEG, source=Source.MEASURED, n=1)
    return replace(
        player,
        spread=spread,
        mishits=replace(mishits, share=_or(given.mishit_share, mishits.share)),
        attack_deg=given.attack_deg,
        extra_lean_deg=lean,
    )


def _or(given: float | None, usual: float) -> float:
    return usual if given is None else given


def _bag(given: PlayerGiven) -> Bag | None:
    if given.bag is None:
        return None
    return Bag(
        tuple(
            Club(name=tidy_name(name), loft_deg=loft, is_putter=tidy_name(name) == "putter")
            for name, loft in given.bag.items()
        )
    )


def _ground(file: GreenFile, along: Station | None, stations: dict[str, Station]) -> Ground:
    surface, bounds = _surface(file, along, stations)
    return Ground(
        surface=surface,
        outline=tuple(file.green.outline),
        areas=tuple(Area(area.kind, tuple(area.polygon)) for area in file.area),
        around=file.green.around,
        fringe_m=file.green.fringe_m,
        bounds=bounds,
    )


def _bounds(file: GreenFile, stations: dict[str, Station]) -> Bounds:
    """A map around the outline and every start, with a margin."""
    places = [*file.green.outline, *(station.start for station in stations.values())]
    xs, ys = [place[0] for place in places], [place[1] for place in places]
    return Bounds(min(xs) - MARGIN_M, max(xs) + MARGIN_M, min(ys) - MARGIN_M, max(ys) + MARGIN_M)


def _surface(
    file: GreenFile, along: Station | None, stations: dict[str, Station]
) -> tuple[Surface, Bounds | None]:
    given, bounds = file.surface, _bounds(file, stations)
    grid = given.heights
    if grid is not None:
        rows = np.array(grid.rows, dtype=float)
        return HeightGrid(grid.x0_m, grid.y0_m, grid.cell_m, rows), None
    if given.slope_percent is not None and given.downhill_deg is not None:
        reading = slopes.SlopeReading(
            place=Point(*file.green.outline[0]),
            slope_percent=given.slope_percent,
            downhill_deg=given.downhill_deg,
        )
        return slopes.plane_from_readings([reading]), bounds
    if given.reading:
        return surface_from_readings([_reading(one) for one in given.reading], bounds), bounds
    start, hole = (along.start, along.hole) if along else (Point(0, 0), Point(0, 1))
    return slopes.plane_from_readings([slopes.reading_of_word(given.word, start, hole)]), bounds


def _reading(given: SlopeReading) -> slopes.SlopeReading:
    place = Point(*given.at)
    if given.level_deg is None:
        slope = given.slope_percent or 0.0
        return slopes.SlopeReading(place=place, slope_percent=slope, downhill_deg=given.downhill_deg)
    first, *turned = given.level_deg
    return slope_from_level([first], turned).at(place, given.downhill_deg)
