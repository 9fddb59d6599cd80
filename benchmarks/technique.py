"""Clips of rendered people through the whole of `watch`: errors, verdicts, refusals, speed and memory.

`python -m benchmarks technique`, or `python -m benchmarks.technique [--seed N] [--clips N] [--minutes M]`.
Needs the landmark model and the test bodies (make model bodies). Rendered clips and what the model saw there
are kept in a temporary folder, named by a hash of their sources: a run goes on where the last one stopped.
Gates: see GATES; 90 % of swings told good from faulty, where too close to call counts as not told; 90 % of
clips to refuse refused for the right reason; ranges hold the truth
in 85 to 97 %; 720p faster than 30 frames a second; ten minutes of it in under 1 GB.
"""

from __future__ import annotations

import argparse
import hashlib
import pickle
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "technique"))

from render.catalogue import accepted, refused
from render.clips import Clip, kept
from render.judging import Compared, compare, picture_errors, refused_rightly, summary

from benchmarks.technique_long import long_clip
from firstbounce.services.watch import WatchedClip, judge, track
from firstbounce.technique import pose, reader, second_look, swings, tracking
from firstbounce.technique.measures import Name
from firstbounce.technique.reader import read_facts

#: seeds 1, 2, 5, 7, 8 and 21 were looked at while this was made; nothing was chosen on this one
SEED = 6
LEAST_TOLD = 0.9
COVERED = (0.85, 0.97)
#: largest mean absolute errors: degrees, seconds, or none
GATES = {
    "hand arcs": ((Name.ARC_BACK, Name.ARC_THROUGH), 2.0),
    "through over back": ((Name.RATIO,), 0.08),
    "shoulder line": ((Name.SHOULDERS_ADDRESS, Name.SHOULDERS_TOP, Name.SHOULDERS_FINISH), 2.0),
    "arm line": ((Name.LEAD_ARM_ADDRESS, Name.LEAD_ARM_TOP, Name.LEAD_ARM_FINISH), 4.0),
    "finish held": ((Name.HELD,), 0.15),
    "recoil": ((Name.RECOIL,), 3.0),
}
SEEN_BY = (pose, reader, tracking, second_look, swings)  #: what decides on what is seen in a clip
TEMPO = 0.25  #: of clips at 60 frames a second


def main(argv: list[str] | None = None) -> int:
    """Render, watch, print a table; 1 when a gate is missed or the time was not enough."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.technique", description=__doc__)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--clips", type=int, default=28)
    parser.add_argument("--minutes", type=float, default=9.0, help="stop and ask to be run again after this")
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "firstbounce-clips")
    parser.add_argument("--no-speed", action="store_true", help="leave speed and memory out")
    options = parser.parse_args(argv)
    end = time.monotonic() + 60 * options.minutes
    clips = accepted(options.seed, options.clips) + refused(options.seed)
    compared: list[Compared] = []
    lost: list[str] = []
    right: list[bool] = []
    for clip in clips:
        if time.monotonic() > end:
            print(f"stopped at {clip.name}, {len(clips)} clips in all: run again to go on")
            return 1
        seen = watched(clip, options.folder)
        if clip.refuse:
            right.append(refused_rightly(clip, seen.watched))
            print(f"{clip.name:<20} {clip.refuse:<14} {'refused' if right[-1] else 'NOT refused for this'}")
            continue
        found, wrong = compare(clip, seen.watched)
        compared += found
        lost += [f"{clip.name}: {reason}" for reason in wrong]
        print_clip(clip, found, wrong)
    gates = [*report(compared, lost, right, sum(len(clip.truths) for clip in clips if not clip.refuse))]
    if not options.no_speed:
        gates += long_clip(accepted(options.seed)[0], options.folder)
    for what, value, held in gates:
        print(f"{what:<44}{value:9.2f}  {'held' if held else 'MISSED'}")
    return int(not all(held for _, _, held in gates))


def watched(clip: Clip, folder: Path) -> WatchedClip:
    """The clip watched; what the model saw is kept beside the clip until the code that saw it changes."""
    path = kept(clip, folder)
    sources = b"".join(Path(str(m.__file__)).read_bytes() for m in SEEN_BY)
    notes = path.with_name(f"{path.stem}-{hashlib.sha256(sources).hexdigest()[:12]}.pickle")
    facts = read_facts(path)
    if notes.exists():
        return judge(path, facts, pickle.loads(notes.read_bytes()))
    tracked = track(facts)
    notes.write_bytes(pickle.dumps(tracked))
    return judge(path, facts, tracked)


def print_clip(clip: Clip, found: list[Compared], wrong: list[str]) -> None:
    """A line for each swing of a clip."""
    name = f"{clip.name} {clip.fps:4d}/s {','.join(clip.faults) or 'good':9s}"
    for one in found:
        cells = [f"{one.error(measure):7.2f}" for measure in one.truth]
        said = "" if one.outcome() == "right" else f"told: {one.outcome().upper()}"
        print(f"{name} {said}\n   {''.join(cells)}", flush=True)
    for reason in wrong:
        print(f"{name} NOT MEASURED: {reason}", flush=True)


def report(
    compared: list[Compared], lost: list[str], right: list[bool], swings: int
) -> Iterator[tuple[str, float, bool]]:
    """Print the summary; yields each gate with its figure and whether it held.

    A swing that is not measured counts as not told.
    """
    print("\n".join(summary(compared)))
    print(f"{len(compared)} of {swings} swings measured; not: {', '.join(lost) or 'none'}")
    seen, aimed = picture_errors(compared)
    print(f"shoulder and arm lines against the joints in the picture itself: {seen:.2f} and {aimed:.2f} deg")

    def mean(names: tuple[Name, ...], use: Callable[[Compared], bool] = lambda one: True) -> float:
        return float(np.nanmean([abs(one.error(name)) for one in compared if use(one) for name in names]))

    for what, (names, most) in GATES.items():
        yield f"{what}, at most {most:g}", mean(names), mean(names) <= most
    tempo = mean((Name.TEMPO,), lambda one: one.clip.fps == 60)
    yield f"tempo at 60 a second, at most {TEMPO:g}", tempo, tempo <= TEMPO
    print(tally(compared))
    told = sum(one.outcome() == "right" for one in compared) / max(swings, 1)
    yield "told good from faulty, at least 0.9", told, told >= LEAST_TOLD
    share = float(np.mean(right)) if right else 1.0
    yield f"of {len(right)} refused for the right reason, 0.9", share, share >= LEAST_TOLD
    holds = [c for one in compared for name in one.truth if (c := one.covered(name)) is not None]
    yield (
        "ranges hold the truth, 0.85 to 0.97",
        float(np.mean(holds)),
        COVERED[0] <= np.mean(holds) <= COVERED[1],
    )


def tally(compared: list[Compared]) -> str:
    """How many good and faulty swings were called right, called wrong, or too close to call."""
    lines = [f"{'':<10}{'swings':>8}{'right':>8}{'close':>8}{'wrong':>8}"]
    for what, faulty in (("good", False), ("faulty", True)):
        found = [one.outcome() for one in compared if bool(one.clip.faults) is faulty]
        counts = (len(found), *(found.count(outcome) for outcome in ("right", "close", "wrong")))
        lines.append(f"{what:<10}" + "".join(f"{count:8d}" for count in counts))
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main())
