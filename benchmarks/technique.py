"""Clips of rendered people through the whole of `watch`: errors, verdicts, refusals, speed and memory.

`python -m benchmarks.technique [--seed N] [--clips N] [--keep FOLDER]`. Needs the landmark model and the
test bodies (make pose-model bodies). Gates: hand arcs within 2 degrees (mean absolute), ratio 0.08, held
0.15 s, recoil 3, tempo 0.25; 90 % of swings told good from faulty and of clips to refuse refused for the
right reason; faster than 30 frames a second; under 1 GB.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "technique"))

from render.catalogue import accepted, refused
from render.clips import write
from render.judging import Compared, compare, refused_rightly, summary

from firstbounce.services.watch import watch
from firstbounce.technique.measures import Name

MOST_MB, LEAST_FRAMES_S, LEAST_TOLD = 1000.0, 30.0, 0.9
GATES = {Name.RATIO: 0.08, Name.TEMPO: 0.25, Name.HELD: 0.15, Name.RECOIL: 3.0}
MOST_ARC_DEG = 2.0


def main(argv: list[str] | None = None) -> int:
    """Render, watch, print a table, return 1 when a gate is missed."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.technique", description=__doc__)
    parser.add_argument("--seed", type=int, default=2)
    parser.add_argument("--clips", type=int, default=28)
    parser.add_argument(
        "--keep", type=Path, help="folder for the rendered clips; a temporary one when left out"
    )
    options = parser.parse_args(argv)
    with tempfile.TemporaryDirectory() as temporary:
        folder = options.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        compared, speed = measure_accepted(folder, options.seed, options.clips)
        right = measure_refused(folder, options.seed)
    return report(compared, right, speed)


def measure_accepted(folder: Path, seed: int, count: int) -> tuple[list[Compared], float]:
    """Every clip to accept; also the frames a second that were watched."""
    out: list[Compared] = []
    frames, seconds = 0, 0.0
    for clip in accepted(seed, count):
        path = write(clip, folder / f"{clip.name}.mp4")
        begin = time.perf_counter()
        seen = watch(path)
        seconds += time.perf_counter() - begin
        frames += len(seen.landmarks)
        compared, wrong = compare(clip, seen.watched)
        out += compared
        for one in compared:
            arcs = f"{one.error(Name.ARC_BACK):6.2f}{one.error(Name.ARC_THROUGH):6.2f}"
            told = "" if one.told() else "  not told"
            print(f"{clip.name} {clip.fps:4d}/s {','.join(clip.faults):9s} arcs {arcs}{told}", flush=True)
        if wrong:
            print(f"{clip.name} {clip.fps:4d}/s {','.join(clip.faults):9s} {', '.join(wrong)}", flush=True)
    return out, frames / max(seconds, 1e-9)


def measure_refused(folder: Path, seed: int) -> list[bool]:
    """Whether each clip to refuse was refused for its reason."""
    out = []
    for clip in refused(seed):
        right = refused_rightly(clip, watch(write(clip, folder / f"{clip.name}.mp4")).watched)
        out.append(right)
        print(
            f"{clip.name:<20} {clip.refuse:<14} {'refused' if right else 'NOT refused for this'}", flush=True
        )
    return out


def report(compared: list[Compared], right: list[bool], speed: float) -> int:
    """Print the summary and the gates; 1 when one is missed."""
    print("\n".join(summary(compared)))

    def mean_error(name: Name) -> float:
        return float(np.nanmean([abs(one.error(name)) for one in compared]))

    arcs = (mean_error(Name.ARC_BACK) + mean_error(Name.ARC_THROUGH)) / 2
    told = float(np.mean([one.told() for one in compared]))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    gates = [("hand arcs [deg]", arcs, arcs <= MOST_ARC_DEG)]
    gates += [(str(name), mean_error(name), mean_error(name) <= most) for name, most in GATES.items()]
    gates += [("told good from faulty", told, told >= LEAST_TOLD)]
    gates += [("refused for the right reason", float(np.mean(right)), np.mean(right) >= LEAST_TOLD)]
    gates += [("frames a second", speed, speed >= LEAST_FRAMES_S), ("memory [MB]", memory, memory <= MOST_MB)]
    for what, value, held in gates:
        print(f"{what:<30}{value:8.2f}  {'held' if held else 'MISSED'}")
    return int(not all(held for _, _, held in gates))


if __name__ == "__main__":
    sys.exit(main())
