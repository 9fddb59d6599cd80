"""Every name that crosses an edge stands in the glossary."""

import inspect
import re
from pathlib import Path

import files_page
import pytest

from firstbounce.files.ball_columns import COLUMNS
from firstbounce.shot.aim import Aimed, aim
from firstbounce.shot.air import air_of_weather
from firstbounce.shot.launch import Launched, launch
from firstbounce.shot.laws import AirSpec, HoleSpec
from firstbounce.shot.play import Played, Settings, TrailPoint, play, play_on, roll, trace

ROOT = Path(__file__).parents[2]
GLOSSARY = (ROOT / "docs/glossary.md").read_text(encoding="utf-8")
NAMES = set(re.findall(r"`([a-z][a-z0-9_]*)`", GLOSSARY))


def missing(names):
    return sorted(set(names) - NAMES)


def test_every_column_of_the_balls_file():
    assert not missing(column.name for column in COLUMNS)


def test_every_key_of_the_green_file():
    keys = [key.strip("`").replace("[]", "") for key, _, _ in files_page.rows(files_page.GreenFile)]
    assert not missing(key.split(".")[-1] for key in keys)


def test_every_key_of_json():
    keys = re.findall(r"^\| `([^`]+)`", (ROOT / "docs/cli.md").read_text(encoding="utf-8"), re.M)
    parts = {part for key in keys for part in key.replace("[]", "").split(".")}
    assert len(parts) > 80
    assert not missing(parts - {"<name>"})


@pytest.mark.parametrize("function", [launch, aim, play, play_on, roll, trace, air_of_weather])
def test_every_public_parameter_of_the_shot(function):
    assert not missing(set(inspect.signature(function).parameters) - {"settings"})


def test_every_setting_of_the_shot():
    assert not missing(Settings.__annotations__)


@pytest.mark.parametrize("record", [Launched, Aimed, Played, TrailPoint, AirSpec, HoleSpec])
def test_every_public_field_of_the_shot(record):
    assert not missing(set(record.__annotations__) - {"speed"})


def test_no_row_stands_twice():
    rows = [line for line in GLOSSARY.splitlines() if line.startswith("| ")]
    assert len(rows) == len(set(rows)) + rows.count("| name | unit | meaning |") - 1
