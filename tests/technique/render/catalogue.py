"""Which clips are rendered: players, places and swings drawn by chance from ranges, and clips to refuse.

Error estimates and marks were set on seeds 7, 8 and 21; what is claimed is measured on seed 6.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .body import Look
from .clips import Clip
from .scene import Stance, View
from .swing import Swing

SKINS = ((222, 170, 140), (240, 200, 175), (140, 95, 65), (90, 60, 45), (190, 140, 105))
SHIRTS = ((45, 90, 165), (225, 225, 220), (170, 40, 45), (30, 30, 34), (90, 140, 80), (230, 190, 70))
TROUSERS = ((60, 60, 66), (200, 190, 165), (35, 45, 80), (110, 105, 95))
FAULTS = {
    "short": {"ratio": 0.75},
    "long": {"ratio": 1.25},
    "recoil": {"recoil": 10.0},
    "quick": {"hold": 0.3},
    "collapse": {"collapse": 20.0},
}
RATES = (60, 60, 60, 120, 60, 30, 60, 240)


def accepted(seed: int, count: int = 28) -> list[Clip]:
    """Clips to measure: every other one good, the others with one fault each."""
    rng = np.random.default_rng(seed)
    faults = list(FAULTS)
    out = []
    for number in range(count):
        fault = faults[(number // 2) % len(faults)] if number % 2 else ""
        out.append(drawn(f"s{seed}-{number:02d}", fault, RATES[number % len(RATES)], rng))
    return out


def drawn(name: str, fault: str, fps: int, rng: np.random.Generator) -> Clip:
    """One clip with everything else drawn by chance."""
    swing = drawn_swing(fault, rng)
    swings = (swing, replace(swing, still_before=0.7)) if rng.random() < 0.2 and fps <= 60 else (swing,)
    tall, large = rng.random(2) < (0.8, 0.2)
    width, height = ((720, 1280) if large else (480, 854)) if tall else (1280, 720)
    view = View(
        width=width,
        height=height,
        field=rng.uniform(36, 48) if tall else rng.uniform(30, 34),
        distance=rng.uniform(3.8, 5.5) if tall else rng.uniform(4.0, 5.0),
        lens_height=rng.uniform(0.7, 1.3),
        yaw=rng.uniform(-10, 10),
        aim_across=rng.uniform(-0.15, 0.15),
        roll=rng.uniform(-1.0, 1.0),
    )
    return Clip(
        name=name,
        swings=swings,
        look=drawn_look(rng),
        view=view,
        stance=Stance(
            lean=rng.uniform(26, 38), hands_forward=rng.uniform(8, 20), elbow_out=rng.uniform(0.6, 0.95)
        ),
        fps=fps,
        left_handed=rng.random() < 0.3,
        background=("grass", "grass", "plain", "cluttered")[rng.integers(4)],
        lamp=(rng.uniform(-0.7, 0.7), 0.7, rng.uniform(0.2, 0.8)),
        ambient=rng.uniform(0.3, 0.55),
        exposure=rng.uniform(0.55, 1.1),
        noise=rng.uniform(1, 6),
        blur=rng.uniform(0, 1.2),
        shutter=3 if rng.random() < 0.25 else 1,
        crf=int(rng.integers(18, 27)),
        quarter_turns=0,
        seed=int(rng.integers(1, 1 << 30)),
        faults=(fault,) if fault else (),
    )


def drawn_swing(fault: str, rng: np.random.Generator) -> Swing:
    """A swing with at most one fault."""
    fields = {
        "address": rng.uniform(-1, 5),
        "back": rng.uniform(22, 42),
        "ratio": rng.uniform(0.96, 1.07),
        "back_time": rng.uniform(0.5, 0.75),
        "down_time": rng.uniform(0.27, 0.36),
        "still_before": rng.uniform(0.7, 1.0),
        "hold": rng.uniform(1.1, 1.8),
        "return_time": rng.uniform(0.7, 1.0),
        "elbow": rng.uniform(8, 22),
        "turn_share": rng.uniform(0.7, 1.1),
        "rocked": rng.uniform(0.8, 1.0),
        "profile": "minimum jerk" if rng.random() < 0.3 else "cosine",
    }
    return Swing(**(fields | FAULTS.get(fault, {})))


def drawn_look(rng: np.random.Generator) -> Look:
    """A person and their clothes."""
    return Look(
        sex=("male", "female")[rng.integers(2)],
        race=("african", "asian", "caucasian")[rng.integers(3)],
        weight=("averageweight", "averageweight", "maxweight", "minweight")[rng.integers(4)],
        skin=SKINS[rng.integers(len(SKINS))],
        shirt=SHIRTS[rng.integers(len(SHIRTS))],
        trousers=TROUSERS[rng.integers(len(TROUSERS))],
        long_sleeves=bool(rng.random() < 0.3),
        shorts=bool(rng.random() < 0.3),
    )


def refused(seed: int) -> list[Clip]:
    """Clips to refuse, each with the reason that must be given."""
    rng = np.random.default_rng([seed, 7])
    small = {"width": 480, "height": 854}

    def clip(name: str, reason: str, **changes) -> Clip:
        view = replace(View(**small, lens_height=rng.uniform(0.8, 1.2)), **changes.pop("view", {}))
        base = {"look": drawn_look(rng), "swings": (drawn_swing("", rng),), "fps": 30, "noise": 3.0}
        seed_ = int(rng.integers(1, 1 << 30))
        return Clip(name=f"r{seed}-{name}", view=view, refuse=reason, seed=seed_, **(base | changes))

    return [
        clip("yaw40", "not face-on", view={"yaw": 40}),
        clip("yaw-45", "not face-on", view={"yaw": -45}),
        clip("down-the-line", "not face-on", view={"yaw": 90}),
        clip("behind", "not face-on", view={"yaw": 180}),
        clip("no-feet", "out of frame", view={"aim_height": 1.25, "field": 26}),
        clip("no-feet-2", "out of frame", view={"aim_height": 1.3, "field": 28, "distance": 3.8}),
        clip("no-hands", "out of frame", view={"aim_across": 0.85}),
        clip("no-hands-2", "out of frame", view={"aim_across": -0.8}),
        clip("dark", "too dark", exposure=0.10),
        clip("dark-2", "too dark", exposure=0.07, noise=5.0),
        clip("out-of-focus", "too blurred", blur=7.0),
        clip("out-of-focus-2", "too blurred", blur=9.0),
        clip("pan", "camera moving", pan=0.8),
        clip("shake", "camera moving", shake=6.0),
        clip("pan-2", "camera moving", pan=-0.5, background="cluttered"),
        clip("two", "two people", second=1.0, view={"width": 960, "field": 36}),
        clip("two-2", "two people", second=-0.9, view={"width": 900}),
        clip("slow-rate", "frame rate"),
        clip("slow-rate-2", "frame rate", fps=24),
    ]
