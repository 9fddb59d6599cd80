"""The page about players agrees with the code."""

import re
from pathlib import Path

import numpy as np
import pytest

from firstbounce.players.player import player_of_level
from firstbounce.players.putts import expected_putts
from firstbounce.players.skill import PUTTING_OF_LEVEL, TOUR_PUTTING
from firstbounce.players.strokes import TURF_CODES, strokes_table
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Level, TurfKind

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/players.md").read_text()


def row_of(heading, name):
    """Numbers of the row that begins with `name` in the table whose heading begins with `heading`."""
    table = PAGE[PAGE.index(f"| {heading}") :].split("\n\n")[0]
    row = next(line for line in table.splitlines() if line.startswith(f"| {name} |"))
    return [float(number) for number in re.findall(r"[\d.]+", row.removeprefix(f"| {name} |"))]


@pytest.mark.parametrize("level", list(Level))
def test_the_table_of_levels(level):
    player = player_of_level(level)
    spread, putting = player.spread, player.putting
    assert row_of("level", level) == pytest.approx(
        [
            spread.floor_m,
            100 * spread.share,
            spread.direction_deg,
            100 * player.mishits.share,
            round(putting.angle_deg, 2),
            round(100 * putting.distance_share, 1),
        ]
    )


@pytest.mark.parametrize("name", ["tour", *Level])
def test_the_table_of_putts(name):
    skill = TOUR_PUTTING if name == "tour" else PUTTING_OF_LEVEL[Level(name)]
    putts = expected_putts(skill, [1, 2, 3, 5, 8, 12, 20], green_deceleration=stimp_to_deceleration(10))
    assert putts == pytest.approx(row_of("expected putts", name), abs=0.006)


@pytest.mark.parametrize(
    "kind",
    [TurfKind.GREEN, TurfKind.FRINGE, TurfKind.FAIRWAY, TurfKind.LIGHT_ROUGH, TurfKind.HEAVY_ROUGH,
     TurfKind.BUNKER],
)  # fmt: skip
def test_the_table_of_prices(kind):
    distance = np.array([1, 2, 4, 8, 12, 20, 30.0])
    price = strokes_table(player_of_level(Level.TEN_TO_EIGHTEEN)).price(
        np.column_stack([distance, 0 * distance]), 0, TURF_CODES[kind], (0, 0), height_finish=0,
        height_hole=0, green_deceleration=stimp_to_deceleration(10), start_distance_m=15.0,
    )  # fmt: skip
    assert price.strokes == pytest.approx(row_of("a 10 to 18", kind), abs=0.006)


def test_the_example_runs():
    examples = re.findall(r"^```python\n(.*?)^```", PAGE, re.M | re.S)
    assert examples
    for example in examples:
        exec(example, {})


def test_every_name_on_the_page_exists():
    source = "\n".join(path.read_text() for path in (ROOT / "src/firstbounce/players").glob("*.py"))
    for name in re.findall(r"`([a-z]+_[a-z_]+)`", PAGE):
        assert re.search(rf"\b{name}\b", source), name
