"""Fit the table that moves landmarks to joints, on rendered stills of people the judging never sees.

    python -m render.calibrate [--people N] [--minutes M] [--folder F]      (from tests/technique)

Poses are drawn wider than any swing of the catalogue: shoulders that rock or stay level, turn or do not, arms
straight or bent, hands anywhere between 48 degrees back and 52 through. What is aimed at is where a distant
camera, square to the player, would see the joints. Goes on where an earlier run stopped.
"""

from __future__ import annotations

import argparse
import math
import tempfile
import time
from pathlib import Path

import numpy as np
from scipy.ndimage import gaussian_filter

from firstbounce.services.pose_model import load_model
from firstbounce.technique import calibration
from firstbounce.technique.landmarks import INDEX, POINTS, Landmarks
from firstbounce.technique.pose import PoseModel, faces

from .body import person
from .catalogue import drawn
from .clips import Clip
from .scene import JOINTS, Stance, View, backdrop, paint, posed, stick

SEED, STILLS, PEOPLE_A_PART = 11, 5, 10
RIDGE = {"shoulder": 3e-5, "elbow": 3e-5, "wrist": 1e-3}  #: per row, of the terms in units of their spread
ODD = 5.0  #: rows with a larger residual than this many robust deviations are dropped
TABLE = Path(calibration.__file__).with_name("calibration_table.py")


def main() -> None:
    """Render and look at what is missing, then fit and write the table."""
    parser = argparse.ArgumentParser(prog="python -m render.calibrate")
    parser.add_argument("--people", type=int, default=250)
    parser.add_argument("--minutes", type=float, default=9.0, help="stop rendering after this long")
    parser.add_argument(
        "--folder", type=Path, default=Path(tempfile.gettempdir()) / "firstbounce-calibration"
    )
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    end = time.monotonic() + 60 * options.minutes
    model = PoseModel(*load_model())
    parts = range(options.people // PEOPLE_A_PART)
    for part in parts:
        path = options.folder / f"part-{SEED}-{part:03d}.npz"
        if path.exists():
            continue
        if time.monotonic() > end:
            print(f"stopped at part {part} of {len(parts)}; run again to go on")
            return
        seen, aimed = stills(model, part)
        np.savez(path, seen=seen, aimed=aimed)
    files = [np.load(options.folder / f"part-{SEED}-{part:03d}.npz") for part in parts]
    table = fitted(np.concatenate([f["seen"] for f in files]), np.concatenate([f["aimed"] for f in files]))
    TABLE.write_text(table_text(table))
    print(f"{TABLE.name} written from {sum(len(f['seen']) for f in files)} arms")


def stills(model: PoseModel, part: int) -> tuple[np.ndarray, np.ndarray]:
    """Of some people: the numbers looked at (n, 20), and how far shoulder, elbow, wrist are off (n, 6)."""
    seen, aimed = [], []
    for number in range(PEOPLE_A_PART):
        rng = np.random.default_rng([SEED, part, number])
        clip = drawn("still", "", 60, rng)
        behind = backdrop(clip.background, clip.view.width, clip.view.height, rng).astype(np.float32)
        stance = Stance(
            lean=rng.uniform(22, 42),
            hands_forward=rng.uniform(5, 22),
            elbow_out=rng.uniform(0.4, 0.98),
            turned=rng.uniform(-6, 6),
        )
        build = rng.uniform(4, 28), rng.uniform(0, 1.2), rng.uniform(0, 1.1)
        for _ in range(STILLS):
            picture, joints = still(clip, stance, build, behind, rng)
            found = looked(model, picture)
            if found is None:
                continue
            for name in ("left", "right"):
                numbers, off = compared(clip.view, found, joints, name)
                seen.append(numbers)
                aimed.append(off)
    return np.array(seen), np.array(aimed)


def still(clip: Clip, stance: Stance, build: tuple[float, float, float], behind: np.ndarray, rng):
    """One picture of a person in a pose drawn by chance, and their joints [m]."""
    bend, turn_share, rocked = build
    hand = rng.uniform(-48, 52)
    bend += rng.uniform(0, 25) if rng.random() < 0.3 else 0.0
    player = posed(person(clip.look), stance, hand, bend, turn_share, rocked)
    picture, view = behind.copy(), clip.view
    depth = np.full(picture.shape[:2], 1e9, np.float32)
    lamp = np.array(clip.lamp) / np.linalg.norm(clip.lamp)
    body = player.body
    paint(picture, depth, view, player.skin(), body.triangles, body.colours, lamp, clip.ambient)
    lean = math.radians(1.5 * hand)
    ahead = np.array([math.sin(lean) * 0.8, -math.cos(lean) * 0.8, 0.6])
    rod, corners = stick(player.grip() - 0.12 * ahead, player.grip() + 0.75 * ahead, 0.006)
    paint(picture, depth, view, rod, corners, np.tile([90.0, 90, 95], (len(rod), 1)), lamp, 0.6)
    picture = gaussian_filter(picture * np.float32(clip.exposure), (clip.blur, clip.blur, 0))
    picture += clip.noise * rng.standard_normal((*picture.shape[:2], 1), np.float32)
    joints = player.joints()[[body.index[bone] for bone in JOINTS.values()]]
    return np.clip(picture, 0, 255).astype(np.uint8), dict(zip(JOINTS, joints, strict=True))


def looked(model: PoseModel, picture: np.ndarray) -> np.ndarray | None:
    """Places of the points, once the square has settled: the mean of a look and one in a mirror [px]."""
    model.forget()
    last = None
    for _ in range(4):
        last = model.track(picture)
        if last is None:
            return None
    both = model.looks(picture, last.square)
    return np.mean([seen.xy for seen in both], axis=0) if all(faces(seen) for seen in both) else None


def compared(view: View, xy: np.ndarray, joints: dict[str, np.ndarray], name: str):
    """The twenty numbers for one arm, and how far its landmarks are off (6,) [arm lengths]."""
    landmarks = Landmarks(
        time=np.zeros(1),
        xy=xy[None],
        seen=np.ones((1, len(POINTS))),
        turned=np.zeros(1),
        width=view.width,
        height=view.height,
    )
    scale = np.mean([calibration.arm_length(landmarks, side)[0] for side in ("left", "right")])
    flip = np.array([1.0 if name == "left" else -1.0, 1.0])
    aims = square_on(view, joints)
    off = [
        flip * (aims[f"{name}_{joint}"] - xy[INDEX[f"{name}_{joint}"]]) / scale for joint in calibration.MOVED
    ]
    return calibration.looked_at(landmarks, name)[0], np.concatenate(off)


def square_on(view: View, joints: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """Where a distant camera square to the player would see the joints [px]; mid-shoulder stays in place."""
    middle = (joints["left_shoulder"] + joints["right_shoulder"]) / 2
    x, y, distance = view.project(middle)
    scale = view.height / 2 / math.tan(math.radians(view.field / 2)) / distance
    return {name: np.array([x, y]) + scale * (at - middle)[:2] * [1, -1] for name, at in joints.items()}


def fitted(seen: np.ndarray, aimed: np.ndarray) -> np.ndarray:
    """Ridge regression on the terms (76, 6); arms that the model misread are dropped, three rounds."""
    rows = calibration.terms(seen)
    kept = np.ones(len(rows), bool)
    table = np.zeros((rows.shape[1], aimed.shape[1]))
    for _ in range(3):
        mean, spread = rows[kept].mean(0), rows[kept].std(0)
        mean[0], spread[0] = 0.0, 1.0
        scaled = (rows - mean) / spread
        squares, right = scaled[kept].T @ scaled[kept], scaled[kept].T @ aimed[kept]
        for k, joint in enumerate(calibration.MOVED):
            ridge = RIDGE[joint] * kept.sum() * np.diag(np.r_[0, np.ones(rows.shape[1] - 1)])
            table[:, 2 * k : 2 * k + 2] = np.linalg.solve(squares + ridge, right[:, 2 * k : 2 * k + 2])
        table = table / spread[:, None]
        table[0] -= mean @ table
        off = np.abs(aimed - rows @ table)
        kept = (off < ODD * 1.4826 * np.median(off, axis=0)).all(1)
    return table


def table_text(table: np.ndarray) -> str:
    """The module that holds the table."""
    rows = "".join(f"        [{', '.join(f'{v:.4f}' for v in row)}],\n" for row in table)
    return (
        '"""Written by `python -m render.calibrate` (tests/technique). Rows: the terms of calibration.py.\n\n'
        'Columns: x and y of shoulder, elbow and wrist, in lengths of the arm.\n"""\n\n'
        "from __future__ import annotations\n\nfrom typing import Final\n\nimport numpy as np\n\n"
        f"TABLE: Final = np.array(\n    [\n{rows}    ]\n)\n"
    )


if __name__ == "__main__":
    main()
