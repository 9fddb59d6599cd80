"""Help is light and complete, and says what each command does."""

import json
import re
import resource
import subprocess
import sys

import pytest

from firstbounce.cli.app import COMMANDS

HEAVY = (
    "numba",
    "scipy",
    "numpy",
    "pydantic",
    "typst",
    "contourpy",
    "starlette",
    "fastapi",
    "sqlalchemy",
    "av",
)


def modules_after(*words):
    """Names of the modules that a run of the command line has imported."""
    script = (
        "import sys, json\n"
        f"sys.argv = ['firstbounce', *{list(words)!r}]\n"
        "from firstbounce.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('\\n' + json.dumps(sorted(sys.modules)))\n"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return json.loads(ran.stdout.splitlines()[-1])


@pytest.mark.parametrize("words", [("--help",), ("--version",), *[(name, "--help") for name in COMMANDS]])
def test_help_imports_nothing_heavy(words):
    assert not set(modules_after(*words)) & set(HEAVY)


def test_help_takes_little_time():
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "firstbounce", "--help"], capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    assert spent < 1.0, f"{spent:.2f} s of processor time"  # 0.2 s on a quiet machine


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_with_an_example(run, name):
    said = run(name, "--help").stdout
    assert re.search(rf"Examples?:\s+firstbounce {name}\b", said)
    assert "--json" in said or name == "serve" or "Each verb takes --json" in " ".join(said.split())


def test_the_group_names_every_command_and_exit_code(run):
    said = run("--help").stdout
    assert all(f"  {name} " in said for name in COMMANDS)
    assert all(f"  {code:<3} " in said for code in (0, 1, 2, 3, 4, 70, 130))


def test_the_module_runs_like_the_command():
    ran = subprocess.run(
        [sys.executable, "-m", "firstbounce", "--version"], capture_output=True, text=True, check=True
    )
    assert ran.stdout.startswith("firstbounce ")
