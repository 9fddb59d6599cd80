"""A day on disk and a way to run commands in this process."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from firstbounce.cli.app import app
from firstbounce.services.demo import copy_inputs


@pytest.fixture(scope="session")
def day_folder(tmp_path_factory) -> Path:
    """The demo's inputs in a folder of their own."""
    folder = tmp_path_factory.mktemp("day")
    copy_inputs(folder)
    return folder


@pytest.fixture(scope="session")
def green(day_folder) -> str:
    return str(day_folder / "green.toml")


@pytest.fixture(scope="session")
def balls(day_folder) -> str:
    return str(day_folder / "balls.csv")


@pytest.fixture(scope="session")
def run():
    """Run one command; `code` is the exit code that is expected."""

    def run_command(*words, code=0):
        result = CliRunner().invoke(app, [str(word) for word in words], prog_name="firstbounce")
        assert result.exit_code == code, f"{words}: {result.exit_code}\n{result.output}\n{result.exception!r}"
        return result

    return run_command


@pytest.fixture(scope="session")
def run_json(run):
    """Run one command with --json and return what it printed, parsed."""
    return lambda *words, code=0: json.loads(run(*words, "--json", code=code).stdout)
