"""Run every `$ ` line of every console block in README and docs and compare what it prints.

The set-up verbs `make demo` and `make test` are left to CI, which runs them on a clean clone.
"""

import doctest
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from firstbounce.services.day import load_balls, load_day
from firstbounce.units import LengthUnit

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
BLOCK = re.compile(r"^```console\n(.*?)^```", re.M | re.S)
STEP = re.compile(r"^\$ (.*)\n((?:(?!\$ ).*\n)*)", re.M)
SET_UP = ("make ", "git clone", "cd ")
DEMO = ROOT / "src/firstbounce/files/demo"
BIN = Path(sys.executable).parent


def steps(page):
    """Commands of a page with what they are said to print."""
    found = [
        step for block in BLOCK.findall(page.read_text(encoding="utf-8")) for step in STEP.findall(block)
    ]
    return [(command, said) for command, said in found if not command.startswith(SET_UP)]


WITH_STEPS = [page for page in PAGES if page.exists() and steps(page)]


@pytest.mark.skipif(os.name != "posix", reason="the blocks are written for a POSIX shell")
@pytest.mark.parametrize("page", WITH_STEPS, ids=lambda page: page.name)
def test_documented_commands_print_what_we_say(page, tmp_path):
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    env = os.environ | {"PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}", "COLUMNS": "100"}
    same = doctest.OutputChecker().check_output
    for command, said in steps(page):
        ran = subprocess.run(
            command,
            check=False,
            shell=True,
            cwd=tmp_path,
            env=env,
            text=True,
            timeout=300,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        assert ran.returncode == 0, f"{page.name}: $ {command}\n{ran.stdout}"
        assert not said or same(said, ran.stdout, doctest.ELLIPSIS), f"$ {command}\n{ran.stdout}"


FENCE = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.M | re.S)
KINDS = {
    "console",
    "python",
    "toml",
    "json",
    "text",
    "",
}  #: a console block is run here, a python block below
OWN_TEST = ("ground.md", "players.md", "pictures.md")  #: their examples are run by the tests of these pages
WITH_PYTHON = [
    page for page in PAGES if "```python" in page.read_text(encoding="utf-8") and page.name not in OWN_TEST
]


@pytest.mark.parametrize("page", [*PAGES, ROOT / "VISION.md"], ids=lambda page: page.name)
def test_every_block_of_commands_is_one_that_is_run(page):
    for kind, block in FENCE.findall(page.read_text(encoding="utf-8")):
        assert kind in KINDS, f"a block of {kind!r} would be run by nobody"
        if kind == "console":
            assert "".join(f"$ {command}\n{said}" for command, said in STEP.findall(block)) == block
        else:
            assert not re.search(r"^\$ ", block, re.M), f"write a command in a console block: {block}"


@pytest.mark.parametrize("page", WITH_PYTHON, ids=lambda page: page.name)
def test_python_examples_run(page, tmp_path, monkeypatch):
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    path, balls = tmp_path / "green.toml", tmp_path / "balls.csv"
    day = load_day(path)
    files = {"path": path, "balls": balls, "folder": tmp_path / "records"}
    names = files | {"day": day, "logged": load_balls(balls, day), "unit": LengthUnit.METRES}
    for kind, block in FENCE.findall(page.read_text(encoding="utf-8")):
        if kind == "python":
            exec(compile(block, str(page), "exec"), dict(names))


def test_the_main_commands_are_shown_and_run():
    shown = {command.split()[1] for page in WITH_STEPS for command, _ in steps(page) if " " in command}
    assert {"demo", "plan", "fit", "chart", "play"} <= shown


def test_set_up_is_two_verbs():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "$ make demo\n" in text and "$ make test\n" in text
