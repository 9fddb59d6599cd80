"""Make the demo's green and balls again: python scripts/make_demo.py. Everything in it is invented.

The balls, and the readings of the day, come from a rival world (checks/rival.py): its bounce, drag, roll and
delivery are not those that the fit assumes.
"""

from __future__ import annotations

import dataclasses
import datetime
import math
from pathlib import Path

import numpy as np

from firstbounce.checks.rival import RivalDay
from firstbounce.files.balls import LoggedBalls, write_balls
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
from firstbounce.services.day import Day, load_day
from firstbounce.shot.play import trace
from firstbounce.units import feet_to_metres
from firstbounce.words import Ball, Circle, Level, LieKind, Point, Tally, TallyFinish, TallyLanding, TurfKind

FOLDER = Path(__file__).parents[1] / "src/firstbounce/files/demo"
SEED = 7
GIVEN_M, TWO_PACES_M = 0.5, 1.8  #: what the invented coach calls given, and two paces
DROP_M = 1.50
SAYS = """\
# The lower green at Quillet Common. Invented, like everyone and everything in this folder.
# Positions are metres from a tee peg in the front left corner: x right, y away.

"""
SAYS_OF_BALLS = "# Invented balls of an invented player; see green.toml.\n"


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


def green(rolls: Rolls | None = None, drops: tuple[float, ...] | None = None) -> GreenFile:
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
            rolls=rolls,
            drop_heights_m=drops,
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


def write(file: GreenFile) -> Day:
    """Write green.toml and read it as a day."""
    path = FOLDER / "green.toml"
    write_green(path, file)
    path.write_text(SAYS + path.read_text(encoding="utf-8"), encoding="utf-8", newline="\n")
    return load_day(path)


def read_rolls(rng: np.random.Generator, world: RivalDay) -> Rolls:
    """Three rolls up and three down a line of 1.5 %, by the world's true green speed, to 5 cm."""
    level = feet_to_metres(world.laws.stimp_ft)
    lean = 5 / 7 * 9.81 * 0.015 / world.laws.green_deceleration

    def some(length: float) -> tuple[float, ...]:
        return tuple(round(20 * float(length * (1 + rng.normal(0, 0.03)))) / 20 for _ in range(3))

    return Rolls(up_m=some(level / (1 + lean)), down_m=some(level / (1 - lean)))


def read_drops(rng: np.random.Generator, world: RivalDay) -> tuple[float, ...]:
    """Five drops from 1.50 m in the world's own bounce, to the centimetre."""
    x, y = 12.0, 14.0
    ground = float(world.ground.surface.height(x, y))
    _, path = trace(
        np.array([x, y, ground + DROP_M]),
        np.zeros(3),
        np.zeros(3),
        step_s=0.005,
        ground=world.ground.compiled(),
        green_deceleration=world.laws.green_deceleration,
        firmness=world.laws.firmness,
        laws=world.laws.laws,
    )
    first = next(i for i, point in enumerate(path) if point.phase != "flight")
    height = max(point.z_m for point in path[first:]) - ground
    return tuple(round(float(height * (1 + rng.normal(0, 0.08))), 2) for _ in range(5))


def placed(rng: np.random.Generator, world: RivalDay, day: Day) -> list[Ball]:
    """Six balls with each of two clubs from the first station."""
    station, logged = day.stations["Gate"], []
    for name, carry in (("PW", 7.5), ("SW", 11.0)):
        spot = _towards(station.start, station.hole, carry)
        balls = world.balls(
            rng,
            day.player.bag.club(name),
            station.start,
            [spot] * 6,
            station.hole,
            lie=station.lie,
            prefix=name,
            placing_m=0.25,
            tagged=True,
        )
        logged += [dataclasses.replace(ball, station=station.name, session="morning") for ball in balls]
    return logged


def tallied(rng: np.random.Generator, world: RivalDay, day: Day) -> list[Tally]:
    """Six balls at another station that the coach only tallied."""
    station, club = day.stations["Brook"], day.player.bag.club("9i")
    spot = _towards(station.start, station.hole, 9.0)
    circle = Circle(centre=spot, radius_m=1.2)
    hits = world.strike(rng, club, station.start, spot, 6, station.lie).played
    return [
        Tally(
            id=f"9i-{i + 1}",
            club=club.name,
            lie=station.lie,
            start=station.start,
            hole=station.hole,
            circle=circle,
            landing=_landing(station.start, circle, Point(*hits.landed[i, :2])),
            finish=_finish(station.start, station.hole, Point(*hits.finished[i, :2])),
            station=station.name,
            session="morning",
        )
        for i in range(6)
    ]


def _towards(start: Point, hole: Point, far: float) -> Point:
    length = math.dist(start, hole)
    return Point(*(round(a + far * (b - a) / length, 2) for a, b in zip(start, hole, strict=True)))


def _miss(start: Point, target: Point, place: Point) -> tuple[float, float]:
    """How far a place lies beyond the target along the line from the start, and right of it [m]."""
    length = math.dist(start, target)
    ux, uy = ((b - a) / length for a, b in zip(start, target, strict=True))
    dx, dy = place[0] - target[0], place[1] - target[1]
    return dx * ux + dy * uy, dx * uy - dy * ux


def _landing(start: Point, circle: Circle, landed: Point) -> TallyLanding:
    long, right = _miss(start, circle.centre, landed)
    if math.hypot(long, right) <= circle.radius_m:
        return TallyLanding.IN_CIRCLE
    if abs(long) >= abs(right):
        return TallyLanding.LONG if long > 0 else TallyLanding.SHORT
    return TallyLanding.RIGHT if right > 0 else TallyLanding.LEFT


def _finish(start: Point, hole: Point, finished: Point) -> TallyFinish:
    long, right = _miss(start, hole, finished)
    left = math.hypot(long, right)
    if left <= GIVEN_M:
        return TallyFinish.GIVEN
    if left <= TWO_PACES_M:
        return TallyFinish.WITHIN_TWO_PACES
    return TallyFinish.FURTHER_PAST if long > 0 else TallyFinish.FURTHER_SHORT


def main() -> None:
    """Write the demo's files."""
    FOLDER.mkdir(exist_ok=True)
    write_heights(FOLDER / "heights.csv", heights())
    day = write(green())
    rng = np.random.default_rng(SEED)  # noqa: TID251, the demo's data are drawn once, from this seed
    world = RivalDay.draw(rng, player=day.player, ground=day.ground)
    day = write(green(read_rolls(rng, world), read_drops(rng, world)))
    logged = LoggedBalls(balls=tuple(placed(rng, world, day)), tallies=tuple(tallied(rng, world, day)))
    path = FOLDER / "balls.csv"
    write_balls(path, logged)
    first, rest = path.read_text(encoding="utf-8").split("\n", 1)
    path.write_text(f"{first}\n{SAYS_OF_BALLS}{rest}", encoding="utf-8", newline="\n")
    print(f"{world.laws.family}: {world.laws}")


if __name__ == "__main__":
    main()
