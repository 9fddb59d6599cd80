"""Pictures of a review from invented misses: `python docs/gallery/review.py FOLDER`."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from firstbounce.pictures.misses import (
    PART_STYLES,
    MissArrow,
    MissDots,
    MissEllipse,
    MissesPicture,
    misses_view,
)

LANDED = [
    (0.1, 0.3),
    (-0.4, 1.1),
    (0.6, 0.9),
    (0.2, -0.6),
    (-0.3, 0.2),
    (0.5, 1.6),
    (0.0, 0.8),
    (-0.7, -0.2),
    (0.3, 2.1),
    (0.4, -0.9),
    (-0.1, 1.4),
    (0.2, 0.1),
]  #: right and long [m]


def landings() -> str:
    """Landings in and around the circle."""
    return misses_view(
        MissesPicture(
            title="Landings about the spot",
            target="landing spot",
            ring_m=1.4,
            ring_words="7 of 10 usual clean strikes",
            dots=(
                MissDots(points=LANDED, words="landed, clean"),
                MissDots(points=[(-0.6, -2.9), (0.4, -2.2)], words="landed, not clean", shape="cross"),
            ),
            ellipses=(
                MissEllipse(
                    centre=(0.1, 0.4),
                    half_long_m=1.1,
                    half_short_m=0.6,
                    turn_deg=92,
                    words="one in two of the next balls, by these",
                ),
            ),
            note="9 of 14 landed in the circle.",
        )
    )


def one_ball() -> str:
    """The parts of one ball."""
    steps = (
        ("wrong spot: 0.8 m short", "spot", (0.0, -0.8)),
        ("read the green wrong: 1.1 m long", "green", (0.1, 1.1)),
        ("missed the spot: 1.4 m long and 0.5 m right", "strike", (0.5, 1.4)),
        ("ran more or less than expected: 0.4 m short", "run", (-0.1, -0.4)),
    )
    arrows, at = [], np.zeros(2)
    for style, (words, label, step) in zip(PART_STYLES, steps, strict=True):
        there = at + step
        arrows.append(MissArrow(tail=tuple(at), head=tuple(there), words=words, label=label, style=style))
        at = there
    return misses_view(MissesPicture(title="One miss, part by part", arrows=tuple(arrows)))


PICTURES = {"review-landings": landings, "review-one-ball": one_ball}


def main(folder: str = "picture-gallery") -> None:
    """Write every picture into the folder."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    for name, draw in PICTURES.items():
        (target / f"{name}.svg").write_text(draw(), encoding="utf-8")
        print(target / f"{name}.svg")


if __name__ == "__main__":
    main(*sys.argv[1:2])
