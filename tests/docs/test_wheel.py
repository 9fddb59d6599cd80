"""The built wheel, installed elsewhere, holds every file of the package and works from there.

No network: the wheel is built with the pinned build tool, and the new environment borrows the installed
packages (not this checkout) through a path file.
"""

import json
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src/firstbounce"
#: Reads what ships beside the code, from the installed copy; prints where it was found and what it is.
USE = """
import json
from importlib.resources import as_file, files
import firstbounce
from firstbounce.files.green import read_green
demo = files("firstbounce") / "files/demo"
with as_file(demo) as folder:
    green = read_green(folder / "green.toml")
rows = (demo / "balls.csv").read_text(encoding="utf-8").splitlines()
print(json.dumps([firstbounce.__file__, len(green.station), len(rows)]))
"""


def run(*words, cwd):
    ran = subprocess.run([str(word) for word in words], cwd=cwd, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, f"{words}\n{ran.stdout}\n{ran.stderr}"
    return ran.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The wheel, built from the working tree."""
    out = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", out, cwd=ROOT)
    (found,) = out.glob("firstbounce-*.whl")
    return found


@pytest.fixture(scope="module")
def elsewhere(wheel, tmp_path_factory):
    """The python of a new environment with the wheel in it."""
    folder = tmp_path_factory.mktemp("elsewhere")
    venv.create(folder, with_pip=False, symlinks=True)
    python = folder / "bin/python"
    pip = ("-m", "pip", "--quiet", "--disable-pip-version-check", "--python", python, "install")
    run(sys.executable, *pip, "--no-deps", "--no-index", wheel, cwd=folder)
    (site,) = folder.glob("lib/python*/site-packages")
    (site / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python


def test_the_wheel_holds_every_file_of_the_package(wheel):
    here = {
        str(path.relative_to(PACKAGE.parent))
        for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    inside = {name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("firstbounce/")}
    assert here <= inside, f"not in the wheel: {sorted(here - inside)}"
    assert {"firstbounce/practice/drills.toml", "firstbounce/files/demo/green.toml"} <= inside


def test_the_installed_wheel_reads_its_own_data(elsewhere, tmp_path):
    where, stations, rows = json.loads(run(elsewhere, "-c", USE, cwd=tmp_path))
    assert Path(where).is_relative_to(elsewhere.parents[1])
    assert stations >= 2 and rows >= 12


def test_the_installed_command_reads_its_own_drills(elsewhere, tmp_path):
    assert run(elsewhere.parent / "firstbounce", "--version", cwd=tmp_path).startswith("firstbounce ")
    assert len(run(elsewhere.parent / "firstbounce", "practice", cwd=tmp_path).splitlines()) > 20
