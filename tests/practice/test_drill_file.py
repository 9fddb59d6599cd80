"""A coach's own drill file: read as the shipped one, or refused with every fault and its line."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import FileFaults
from firstbounce.players.player import player_of_level
from firstbounce.practice.set_up import set_up
from firstbounce.services.practice import all_drills, drills_of_text, read_drills
from firstbounce.words import Level

PATH = Path("mine.toml")
GOOD = """\
format = 1

[[drill]]
number = 31
name = "Over the rake"
purpose = "Lift without a scoop."
faults = ["scoop"]
stages = ["grooving"]
equipment = ["club", "ball"]
places = ["green", "grass"]
set_up = "A flat strip {2 shoe} ahead of the ball. Chip to {carry} over it."
carry_m = [4, 12]
balls = 20
minutes = 8
score = "the ball flew over the strip"
out_of = 10
passes = 8
easier = "A narrower strip."
harder = "A second strip."
caution = "Nobody ahead."
mark = [
    { kind = "ball" },
    { kind = "strip", x = -0.2, y = "2 shoe", to_x = 0.2, to_y = "2 shoe", size = "hand", words = "strip" },
    { kind = "spot", y = "carry" },
]
"""


def faults(text):
    with pytest.raises(FileFaults) as seen:
        drills_of_text(PATH, text)
    return seen.value.faults


def test_an_own_drill_is_read_and_set_up(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(GOOD, encoding="utf-8")
    (mine,) = read_drills(path)
    assert mine.name == "Over the rake" and len(all_drills(path)) == 25
    shown = set_up(mine, player_of_level(Level.TEN_TO_EIGHTEEN))
    assert "2 shoes" in shown.text and "strip" in shown.drawing


def test_an_own_drill_replaces_the_shipped_one_of_its_name(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(GOOD.replace("Over the rake", "Tight lie").replace("31", "17"), encoding="utf-8")
    drills = all_drills(path)
    assert len(drills) == 24 and drills[-1].purpose == "Lift without a scoop."


@pytest.mark.parametrize(
    ("before", "after", "line", "says"),
    [
        ('faults = ["scoop"]', 'faults = ["laziness"]', 7, "'laziness' is not known; allowed are heavy"),
        ('faults = ["scoop"]', "faults = []", 7, "give at least one"),
        ("balls = 20", 'balls = "many"', 13, "must be a whole number"),
        ("passes = 8", "passes = 11", 17, "passes must be 1 to out_of (10), got 11"),
        ("carry_m = [4, 12]", "carry_m = [12, 4]", 12, "shortest <= longest"),
        ("carry_m = [4, 12]", "carry_m = [4]", 12, "two numbers"),
        ('caution = "Nobody ahead."', 'caution = ""', 20, "is empty"),
        ('caution = "Nobody ahead."\n', "", 3, "is missing"),
        ("{2 shoe}", "{2 elbow}", 11, "'2 elbow' is not a length"),
        ("{carry}", "{circle}", 3, 'the length "circle" needs a circle_share'),
        ('kind = "spot"', 'kind = "cannon"', 24, "'cannon' is not known; known are ball"),
        ('y = "carry" }', 'y = "carry paces" }', 24, "is not a length"),
        ('size = "hand"', 'size = -0.1', 23, "must be above 0 m"),
        ('size = "hand"', 'size = true', 23, "must be metres or a sum"),
        ("minutes = 8", "minutes = 8\ncolour = 1", 15, "this key is not known"),
        ("minutes = 8", "minits = 8", 14, "did you mean minutes?"),
        ("format = 1", "format = 2", 1, "must be 1, got 2"),
        ("format = 1", "format = 1\nversion = 3", 2, "this key is not known"),
        ("balls = 20", "balls = 2 0", 13, "this is not TOML"),
    ],
)  # fmt: skip
def test_each_fault_is_named_with_its_line(before, after, line, says):
    assert before in GOOD
    found = faults(GOOD.replace(before, after))
    assert any(fault.line == line and says in fault.problem for fault in found), found


def test_all_faults_are_listed_at_once():
    text = GOOD.replace("balls = 20", "balls = -1.5").replace("minutes = 8", "minutes = true")
    text = (
        text.replace('["scoop"]', '["x"]').replace('"grass"]', '"moon"]').replace('kind = "ball"', "kind = 3")
    )
    found = faults(text)
    assert len(found) == 5 and [fault.line for fault in found] == sorted(fault.line for fault in found)
    assert str(FileFaults(PATH, list(found))).startswith("mine.toml: 5 faults, nothing was read.")


def test_two_drills_of_one_name_or_number():
    second = GOOD.split("\n", 2)[2]
    found = faults(GOOD + second)
    assert {re.search(r"\.(\w+)$", fault.column)[1] for fault in found} == {"name", "number"}


@pytest.mark.parametrize("text", ["", "format = 1\n", "format = 1\ndrill = 3\n", "format = 1\ndrill = []\n"])
def test_a_file_without_drills(text):
    assert any("drill" in str(fault) for fault in faults(text))


@settings(max_examples=150, deadline=None)
@given(
    key=st.sampled_from(re.findall(r"^(\w+) = ", GOOD, re.M)),
    value=st.sampled_from(
        [
            "1",
            "-1",
            "0",
            "1e9",
            '"x"',
            "[]",
            '[["a"]]',
            "true",
            "{a = 1}",
            '""',
            '"{"',
            '"{}"',
            '"{1 a}"',
            "[1, true]",
        ]
    ),
)
def test_whatever_stands_in_a_key_gives_drills_or_faults(key, value):
    head = GOOD.split("mark = [", maxsplit=1)[0]
    text = re.sub(rf"^{key} = .*$", lambda _: f"{key} = {value}", head, count=1, flags=re.M)
    try:
        for drill in drills_of_text(
            PATH, text + 'mark = [{ kind = "ball" }, { kind = "spot", y = "carry" }]\n'
        ):
            set_up(drill, player_of_level(Level.BEGINNER))
    except FileFaults as error:
        assert all(fault.problem for fault in error.faults)
