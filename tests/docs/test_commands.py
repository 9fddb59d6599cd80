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


def test_the_main_commands_are_shown_and_run():
    shown = {command.split()[1] for page in WITH_STEPS for command, _ in steps(page) if " " in command}
    assert {"demo", "plan", "fit", "chart", "play"} <= shown


def test_set_up_is_two_verbs():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "$ make demo\n" in text and "$ make test\n" in text
