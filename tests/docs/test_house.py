"""The pages that describe the house agree with the house."""

import re
from pathlib import Path

import firstbounce

ROOT = Path(__file__).parents[2]


def test_every_place_named_in_contributing_exists():
    text = (ROOT / "CONTRIBUTING.md").read_text()
    tree = re.search(r"^```\n(src/firstbounce/\n.*?)^```", text, re.M | re.S)
    assert tree
    places = re.findall(r"^  (\S+)", tree.group(1), re.M)
    assert len(places) >= 12
    for place in places:
        assert (ROOT / "src/firstbounce" / place).exists(), place


def test_every_verb_named_in_contributing_is_in_the_makefile():
    verbs = re.findall(r"^\| `make (\S+)`", (ROOT / "CONTRIBUTING.md").read_text(), re.M)
    makefile = (ROOT / "Makefile").read_text()
    assert len(verbs) >= 8
    for verb in verbs:
        assert re.search(rf"^{verb}:", makefile, re.M), verb


def test_changelog_and_package_agree_on_the_version():
    assert (
        re.search(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(), re.M).group(1) == firstbounce.__version__
    )


def test_decisions_are_numbered_once_and_short():
    pages = sorted((ROOT / "docs/adr").glob("*.md"))
    numbers = [page.name[:4] for page in pages]
    assert len(set(numbers)) == len(numbers)
    for page in pages:
        text = page.read_text()
        assert text.startswith(f"# {page.name[:4]} "), page.name
        assert all(f"{part}:" in text for part in ("Status", "Context", "Decision", "Consequences")), (
            page.name
        )


def test_ci_runs_the_commands_of_the_readme():
    verbs = set(re.findall(r"^\$ (make \w+)$", (ROOT / "README.md").read_text(), re.M))
    assert verbs == {"make demo", "make test"}
    script = (ROOT / ".ci/run").read_text()
    assert all(verb in script for verb in verbs)


def test_no_committed_pin_names_a_package_host():
    for lock in ROOT.glob("requirements*.lock"):
        assert "://" not in lock.read_text(), lock.name
