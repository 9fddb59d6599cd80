"""How long a guide takes, and a clinic's worth of them. `python -m benchmarks.guides`

A guide is made whole and warm from the files of the demo: reading, learning from 18 balls, planning,
charting, setting up two drills, PDF and page for phones, with nothing kept from the guide before; then the
same again from the fit and the plan that are kept. A hundred guides are player guides of a hundred players,
each with 18 balls of their own, in a process a core, started afresh.
"""

from __future__ import annotations

import argparse
import csv
import os
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from firstbounce import files
from firstbounce.errors import FileFaults
from firstbounce.guides.blocks import Kind
from firstbounce.guides.coach import Coach
from firstbounce.guides.content import Lesson
from firstbounce.services import once
from firstbounce.services.clinic import make_all
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.guide import Ask, Made, content_of, make, printed

DEMO = Path(files.__file__).parent / "demo"
ALLOWED_S = 2.0
LARGEST_MB = 2.0
REPEATS = 5
ASK = Ask(
    green=DEMO / "green.toml",
    balls=DEMO / "balls.csv",
    coach=Coach(name="Mara Quill", contact="mara@quillet.example"),
    lesson=Lesson(
        saw=("Your strike is clean.",), aim="Land it three steps further on.", goal="Seven of ten."
    ),
    drills=("Landing circle", "Line brush"),
)


def seconds(work: Callable[[], object]) -> tuple[float, float]:
    """Median of several warm runs [s], by the clock and of the processor."""
    work()
    clock, processor = [], []
    for _ in range(REPEATS):
        begun, spent = time.perf_counter(), time.process_time()
        work()
        clock.append(time.perf_counter() - begun)
        processor.append(time.process_time() - spent)
    return sorted(clock)[REPEATS // 2], sorted(processor)[REPEATS // 2]


def afresh(ask: Ask) -> Made:
    """The guide with nothing kept from the one before."""
    once.forget()
    return make(ask)


def one_kind(kind: Kind) -> bool:
    """Time one kind; True when its gates hold."""
    ask = replace(ASK, kind=kind)
    clock, processor = seconds(lambda: afresh(ask))
    again, _ = seconds(lambda: make(ask))
    made = make(ask)
    size = len(made.pdf) / 1e6
    met = clock <= ALLOWED_S and size < LARGEST_MB
    word = "met   " if met else "MISSED"
    print(
        f"{word} {kind}: {clock:.2f} s ({processor:.2f} s of processor), allowed {ALLOWED_S:g}; "
        f"from a kept fit and plan {again:.2f} s; "
        f"PDF {size:.2f} MB, allowed {LARGEST_MB:g}; page {len(made.page) / 1e6:.2f} MB"
    )
    return met


def setting_alone() -> None:
    """The part that is the guide's own: blocks, PDF and page, from a content that is already there."""
    day = load_day(DEMO / "green.toml")
    content = content_of(ASK, day, load_balls(DEMO / "balls.csv", day))
    clock, processor = seconds(lambda: printed(ASK, content))
    print(f"       of a player guide, PDF and page alone: {clock:.2f} s ({processor:.2f} s of processor)")


def own_balls(folder: Path, player: int) -> Path:
    """Invented: the demo's balls, each finish moved a little, so that no two players have the same."""
    first, *lines = (DEMO / "balls.csv").read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    rng, day = np.random.default_rng(player), load_day(DEMO / "green.toml")
    path = folder / f"balls-{player}.csv"
    while True:
        with path.open("w", encoding="utf-8", newline="") as out:
            out.write(f"{first}\n")
            writer = csv.DictWriter(out, rows[0])
            writer.writeheader()
            writer.writerows(_moved(row, rng) for row in rows)
        try:
            load_balls(path, day)
        except FileFaults:  # a ball that was moved into the hole: draw again
            continue
        return path


def _moved(row: dict[str, str], rng: np.random.Generator) -> dict[str, str]:
    ends = [name for name in ("finished_x_m", "finished_y_m") if row[name]]
    return row | {name: f"{float(row[name]) + rng.normal(0, 0.2):.2f}" for name in ends}


def clinic(count: int) -> bool:
    """Many guides at once; one cannot be made. True when all others are."""
    with tempfile.TemporaryDirectory() as folder:
        asks = [
            replace(ASK, player=f"Player {k}", name=f"player {k}", balls=own_balls(Path(folder), k))
            for k in range(count)
        ]
        asks[count // 2] = replace(asks[count // 2], drills=("Juggling",))
        begun = time.perf_counter()
        made = make_all(asks, Path(folder) / "made")
        spent = time.perf_counter() - begun
        written = len(list(Path(folder).glob("made/*.pdf")))
    failed = [one.name for one in made if one.problem]
    met = written == count - 1 and len(failed) == 1
    word = "met   " if met else "MISSED"
    print(
        f"{word} {count} guides for a clinic on {os.cpu_count()} cores: {spent:.0f} s, "
        f"{spent / count:.2f} s each; {written} made, not made: {', '.join(failed)}"
    )
    return met


def main(argv: list[str] | None = None) -> int:
    """Print the times; 1 when a gate is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clinic", type=int, default=100, help="guides made at once; 0 for none")
    options = parser.parse_args(argv)
    met = [one_kind(kind) for kind in Kind]
    setting_alone()
    if options.clinic:
        met.append(clinic(options.clinic))
    return 0 if all(met) else 1


if __name__ == "__main__":
    raise SystemExit(main())
