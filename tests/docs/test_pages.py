"""The generated pages are what the code says today, and the smallest example works."""

from pathlib import Path

import cli_page
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
