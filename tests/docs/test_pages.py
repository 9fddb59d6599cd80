"""The generated pages are what the code says today, and the smallest example works."""

import re
from pathlib import Path

import cli_page
import demo_chart
import files_page
import pytest

from firstbounce.files.green import parse_green

ROOT = Path(__file__).parents[2]
SAME = "differs from what would be written: run make docs"


def test_the_page_of_files_is_up_to_date():
    assert (ROOT / "docs/files.md").read_text(encoding="utf-8") == files_page.files_page(), SAME


def test_the_page_of_commands_and_every_json_shape_is_up_to_date():
    assert (ROOT / "docs/cli.md").read_text(encoding="utf-8") == cli_page.cli_page(), SAME


def test_the_least_green_file_works():
    assert parse_green(Path("green.toml"), files_page.LEAST).station[0].name == "Path"


@pytest.mark.parametrize("block", ["toml", "text"])
def test_the_page_of_files_shows_what_the_demo_ships(block):
    page = (ROOT / "docs/files.md").read_text(encoding="utf-8")
    assert f"```{block}\n#" in page and "Invented" in page


def test_the_picture_of_the_readme_is_what_the_demo_draws_today():
    kept = (ROOT / "docs/chart.svg").read_text(encoding="utf-8")
    drawn = demo_chart.demo_chart()
    words, numbers = zip(*(_words_and_numbers(svg) for svg in (kept, drawn)), strict=True)
    assert words[0] == words[1], SAME
    assert numbers[0] == pytest.approx(numbers[1], rel=0.02, abs=0.11), SAME
    assert "(docs/chart.svg)" in (ROOT / "README.md").read_text(encoding="utf-8")


def _words_and_numbers(svg: str) -> tuple[str, list[float]]:
    """What a picture says, and its numbers; another processor may round the last digit another way."""
    told = re.search(r"<desc[^>]*>(.*?)</desc>", svg, re.S)
    assert told
    return re.sub(r"[\d.]+", "#", told[1]), [float(x) for x in re.findall(r"\d+\.\d+|\d+", told[1])]
