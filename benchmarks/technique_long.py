"""Speed at 720p and memory over ten minutes: one rendered swing played again and again.

`python -m benchmarks.technique_long [--seconds N]`, also a part of `python -m benchmarks technique`.
Gates: 30 frames a second by the clock, the full model and everything after it included; under 1 GB.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import av

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "technique"))

from render.catalogue import accepted
from render.clips import Clip, kept

LEAST_FRAMES_S, MOST_MB = 30.0, 1000.0
SECONDS, RATE = 600, 30
#: watches one clip in a process of its own and prints frames, seconds and the most memory used [MB]
WATCH = """
import resource, sys, time
from pathlib import Path
from firstbounce.services.watch import watch
begin = time.perf_counter()
seen = watch(Path(sys.argv[1]))
took = time.perf_counter() - begin
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(len(seen.landmarks), took, memory, len(seen.watched.swings))
"""


def long_clip(like: Clip, folder: Path, *, seconds: int = SECONDS) -> list[tuple[str, float, bool]]:
    """Frames a second of a short and of a long 720p clip, and the memory that the long one takes."""
    view = replace(like.view, width=720, height=1280, field=42.0)
    clip = replace(like, name="hd", view=view, fps=RATE, shutter=1, seed=1, blur=0.5, noise=2.0, crf=23)
    short = kept(clip, folder)
    long = looped(short, folder / f"{short.stem}-{seconds}s.mp4", seconds)
    gates = []
    for path, what in ((short, "one swing"), (long, f"{seconds / 60:.0f} minutes")):
        frames, took, megabytes, swings = watched_alone(path)
        gates.append((f"720p frames a second, {what}, 30", frames / took, frames / took >= LEAST_FRAMES_S))
        print(f"{path.name}: {frames:.0f} frames, {swings:.0f} swings in {took:.1f} s, {megabytes:.0f} MB")
    gates.append((f"memory over {seconds / 60:.0f} minutes [MB], under 1000", megabytes, megabytes < MOST_MB))
    return gates


def watched_alone(path: Path) -> list[float]:
    """Frames, seconds, megabytes and swings of a clip watched in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", WATCH, str(path)], capture_output=True, text=True, check=True, timeout=7200
    )
    return [float(x) for x in done.stdout.split()]


def looped(short: Path, path: Path, seconds: float) -> Path:
    """The packets of a clip one run after another until `seconds` are filled; nothing is encoded again."""
    if path.exists():
        return path
    half = path.with_suffix(".part.mp4")
    with av.open(str(short)) as first, av.open(str(half), "w") as out:
        source = first.streams.video[0]
        stream = out.add_stream_from_template(source)
        packets = [(p.pts, p.dts, p.is_keyframe, bytes(p)) for p in first.demux(source) if p.pts is not None]
        tick = Fraction(source.time_base)
        run = max(p[0] for p in packets) + round(1 / RATE / tick)
        for number in range(int(seconds / (run * tick)) + 1):
            for pts, dts, key, data in packets:
                packet = av.Packet(data)
                packet.pts, packet.dts, packet.time_base = pts + number * run, dts + number * run, tick
                packet.is_keyframe, packet.stream = key, stream
                out.mux(packet)
    half.replace(path)
    return path


def main(argv: list[str] | None = None) -> int:
    """Watch a short and a long clip, print speed and memory; 1 when a gate is missed."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.technique_long", description=__doc__)
    parser.add_argument("--seconds", type=int, default=SECONDS, help="length of the long clip")
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "firstbounce-clips")
    options = parser.parse_args(argv)
    gates = long_clip(accepted(5)[0], options.folder, seconds=options.seconds)
    for what, value, held in gates:
        print(f"{what:<44}{value:9.2f}  {'held' if held else 'MISSED'}")
    return int(not all(held for _, _, held in gates))


if __name__ == "__main__":
    sys.exit(main())
