"""guide.toml, coach.toml and templates: what they mean, and every fault at once with its place."""

from __future__ import annotations

import re
from pathlib import Path

import guide_scenes
import pytest

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.guides.blocks import Box, Kind, NewPage, Paper, Points, blocks_of
from firstbounce.guides.make import make_guide
from firstbounce.guides.parts import CAUTIONS
from firstbounce.guides.template import NAMES, PARTS, shipped_template, template_of_text
from firstbounce.services.guide_file import GUIDE_KEYS, read_coach, read_guides
from firstbounce.units import LengthUnit
from firstbounce.words import Fault, Level

ROOT = Path(__file__).parents[2]

GUIDES = """
format = 1
green = "green.toml"
units = "yards"
saw = ["Clean strikes."]

[[guide]]
player = "Ann"
drills = ["Landing circle", 1]
carry_m = 9

[[guide]]
kind = "log sheet"
paper = "us-letter"
station = "Gate"
level = "beginner"
faults = ["heavy"]
"""


def write(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_what_stands_above_the_guides_holds_for_all(tmp_path):
    first, second = read_guides(write(tmp_path, "guide.toml", GUIDES))
    assert first.kind is Kind.PLAYER and second.kind is Kind.LOG_SHEET
    assert {first.unit, second.unit} == {LengthUnit.YARDS}
    assert first.green == second.green == tmp_path / "green.toml"
    assert first.lesson.saw == second.lesson.saw == ("Clean strikes.",)
    assert first.drills == ("Landing circle", "1") and first.carry_m == 9.0
    assert (second.paper, second.level, second.faults) == (Paper.LETTER, Level.BEGINNER, (Fault.HEAVY,))


def test_every_fault_of_a_guide_file_is_listed_with_its_line(tmp_path):
    text = 'format = 2\npaper = "a3"\ncolour = 1\nsaw = "x"\n'
    text += '[[guide]]\nlevel = "good"\n[[guide]]\ncarry_m = "far"\n'
    with pytest.raises(FileFaults) as failure:
        read_guides(write(tmp_path, "guide.toml", text))
    found = {(fault.line, fault.column) for fault in failure.value.faults}
    assert found == {
        (1, "format"),
        (2, "paper"),
        (3, "colour"),
        (4, "saw"),
        (6, "guide[1].level"),
        (8, "guide[2].carry_m"),
    }


@pytest.mark.parametrize(
    "text", ["format = ", "guide = 3\nformat = 1", "format = 1\n" + "[[guide]]\n" * 1001]
)
def test_what_is_no_guide_file_is_one_sentence(tmp_path, text):
    with pytest.raises(FileFaults):
        read_guides(write(tmp_path, "guide.toml", text))


def test_a_coach_with_logo_and_colour(tmp_path):
    write(tmp_path, "logo.svg", guide_scenes.LOGO)
    text = 'format = 1\nname = "Mara Quill"\ncontact = "0555"\naccent = "#1F5C4A"\n'
    text += 'logo = "logo.svg"\npace_m = 0.8\n'
    coach = read_coach(write(tmp_path, "coach.toml", text))
    assert (coach.name, coach.contact, coach.accent, coach.pace_m) == ("Mara Quill", "0555", "#1F5C4A", 0.8)
    assert coach.logo is not None and coach.logo.format == "svg"
    guides = write(tmp_path, "guide.toml", 'format = 1\ncoach = "coach.toml"\n')
    assert read_guides(guides)[0].coach == coach


@pytest.mark.parametrize(
    "line, words",
    [
        ('logo = "none.svg"', "no such file"),
        ('logo = "bomb.svg"', "<script>"),
        ('accent = "#FFFF00"', "cannot be read on paper"),
        ("name = 3", "must be text"),
        ('pace_m = "long"', "number of metres"),
        ('shade = "x"', "not known"),
        (f'name = "{"x" * 61}"', "at most 60 fit"),
    ],
)
def test_a_fault_of_the_coach_is_said(tmp_path, line, words):
    write(tmp_path, "bomb.svg", '<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>')
    with pytest.raises(FileFaults, match=re.escape(words)):
        read_coach(write(tmp_path, "coach.toml", f"format = 1\n{line}\n"))


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_has_a_template_that_shows_what_it_can(kind):
    template = shipped_template(kind)
    assert template.kind is kind
    assert {part.show for part in template.parts} <= set(PARTS[kind])


OWN = """
format = 1
kind = "player guide"
title = "For {player}"
[[part]]
show = "words"
heading = "Before the winter"
words = ["Come again in April, {player}."]
[[part]]
show = "cautions"
heading = "Mind"
words = ["The slope by the pond is slippery."]
new_page = true
"""


def test_a_template_of_ones_own_says_what_is_shown_and_in_which_order():
    guide = make_guide(
        Kind.PLAYER, guide_scenes.player_content(player="Ann"), template=template_of_text("t", OWN)
    )
    assert guide.title == "For Ann"
    assert [one.title for one in blocks_of(guide.blocks, Box)] == ["Before the winter", "Mind"]
    first, second = blocks_of(guide.blocks, Points)
    assert first.items == ("Come again in April, Ann.",)
    assert second.items == (*CAUTIONS, "The slope by the pond is slippery.")
    assert list(blocks_of(guide.blocks, NewPage)) == [NewPage()]


def test_no_template_can_take_local_rules_and_medical_advice_away():
    for kind in (Kind.PLAYER, Kind.GENERAL, Kind.LOG_SHEET):
        with pytest.raises(FileFaults, match="must show 'cautions'"):
            template_of_text("t", f'format = 1\nkind = "{kind}"\ntitle = "x"\n[[part]]\nshow = "saw"\n')
    assert "Local rules" in CAUTIONS[0] and "doctor" in CAUTIONS[1]


def test_every_fault_of_a_template_is_listed():
    text = OWN.replace('show = "words"', 'show = "horoscope"').replace("{player}.", "{age}.") + "size = 3\n"
    with pytest.raises(FileFaults) as failure:
        template_of_text("mine.toml", text + "[[part]]\nshow = 'saw'\nnew_page = 'yes'\nwords = ['', 3]\n")
    said = str(failure.value)
    for words in (
        "horoscope",
        "{age}",
        "part[1].size",
        "part[2].new_page",
        "part[2].words",
        "empty sentence",
    ):
        assert words in said, words


def test_a_template_of_another_kind_is_refused():
    with pytest.raises(ParameterError, match="for a player guide, not for a pocket card"):
        make_guide(Kind.CARD, guide_scenes.player_content(), template=template_of_text("t", OWN))


def test_the_page_of_guides_names_every_key_part_and_name():
    page = (ROOT / "docs/guides.md").read_text(encoding="utf-8")
    said = set(re.findall(r"`([^`\n]+)`", page))
    assert set(GUIDE_KEYS) <= said
    assert {f"{{{name}}}" for name in NAMES} <= said
    assert {part for parts in PARTS.values() for part in parts} <= said
