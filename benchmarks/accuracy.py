"""Accuracy gate: 500 random shots on contoured ground, the compiled kernel against the SciPy referee.

The mix: carry 2 to 40 m (even in its logarithm), all seven clubs, starts all around the green, landings and
rolls on all kinds of turf, wind, flagstick in, firmness, green speed, run factor and the ground's own scatter
drawn. The referee (shot/referee.py) integrates every phase with DOP853 at rtol 1e-10, atol 1e-11, steps of at
most 50 ms, turf edges looked for every 2 mm and bisected to 1e-12 s.

Options: the number of shots (default 500).
"""

from __future__ import annotations

import multiprocessing
import os
import sys
import time
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from benchmarks.scene import HOLE, WIND, Shots, contoured_ground, random_shots
from firstbounce.shot.laws import OUTCOMES, Steps
from firstbounce.shot.play import Played, play
from firstbounce.shot.referee import referee
from firstbounce.shot.referee_world import Verdict, World

HAIR = 1e-6  #: of the speed of a shot
FINE = Steps(flight_s=0.01, turn_share=1.0, roll_m=0.05, roll_s=0.05, stop_m=0.005)


class Judged(NamedTuple):
    """One shot, kernel against referee."""

    miss_mm: float
    fine_mm: float  #: of the same kernel with tiny steps
    hair_mm: float  #: moved by a millionth of its speed, tiny steps
    verdict: Verdict


def the_shots(n: int) -> Shots:
    """The mix, the same for the same n."""
    rng = np.random.default_rng(20)
    carry = np.exp(rng.uniform(np.log(2), np.log(40), n))
    return random_shots(rng, n, contoured_ground(), carry, 0.5)


def play_all(shots: Shots, steps: Steps | None = None) -> Played:
    """All shots by the kernel."""
    return play(
        shots.start,
        shots.velocity,
        shots.spin,
        ground=contoured_ground().compiled(),
        green_deceleration=shots.green,
        firmness=shots.firmness,
        ln_run=shots.ln_run,
        scatter=shots.scatter,
        hole=HOLE,
        air=WIND,
        steps=steps,
    )


def _judge(job: tuple[int, int, int]) -> list[Verdict]:
    """Verdicts of every `stride`-th shot from `first`, in a process of its own."""
    n, first, stride = job
    shots, ground = the_shots(n), contoured_ground().compiled()
    return [
        referee(
            shots.start[i],
            shots.velocity[i],
            shots.spin[i],
            World(
                ground=ground,
                green_deceleration=float(shots.green[i]),
                firmness=float(shots.firmness[i]),
                ln_run=float(shots.ln_run[i]),
                scatter=tuple(shots.scatter[i]),
                hole=HOLE,
                air=WIND,
            ),
        )
        for i in range(first, n, stride)
    ]


def judge(n: int) -> list[Judged]:
    """Every shot by the referee (all processors), the kernel, and the kernel with tiny steps."""
    shots = the_shots(n)
    quick, fine = play_all(shots), play_all(shots, FINE)
    hair = _hair(shots, fine)
    workers = os.cpu_count() or 1
    with multiprocessing.get_context("spawn").Pool(workers) as pool:
        parts = pool.map(_judge, [(n, first, workers) for first in range(workers)])
    verdicts = [parts[i % workers][i // workers] for i in range(n)]
    return [
        Judged(
            1e3 * float(np.linalg.norm(quick.finished[i] - verdict.finished)),
            1e3 * float(np.linalg.norm(fine.finished[i] - verdict.finished)),
            1e3 * float(hair[i]),
            verdict,
        )
        for i, verdict in enumerate(verdicts)
    ]


def _hair(shots: Shots, fine: Played) -> NDArray[np.float64]:
    """How far a millionth of its speed, each way along each axis, moves the finish of each shot (n,) [m]."""
    size = HAIR * np.linalg.norm(shots.velocity, axis=1)
    moved = np.zeros(len(size))
    for nudge in (sign * axis for axis in np.eye(3) for sign in (1.0, -1.0)):
        nudged = play_all(replace(shots, velocity=shots.velocity + size[:, None] * nudge), FINE)
        moved = np.maximum(moved, np.linalg.norm(nudged.finished - fine.finished, axis=1))
    return moved


def cause(judged: Judged, quick: Played, i: int) -> str:
    """Why a kernel's finish differs by more than 1 mm."""
    verdict = judged.verdict
    if OUTCOMES[quick.outcome[i]] != verdict.outcome:
        return (
            f"another outcome: {OUTCOMES[quick.outcome[i]]} against {verdict.outcome} (the edge of an event)"
        )
    if quick.n_bounces[i] != verdict.n_bounces:
        return f"a hop more or less: {quick.n_bounces[i]} against {verdict.n_bounces}"
    if judged.hair_mm > 1.0:
        return f"on a knife's edge: a millionth of its speed moves it {judged.hair_mm:.1f} mm"
    if judged.fine_mm < 0.3 * judged.miss_mm:
        return "step length: tiny steps agree"
    return "tiny steps differ too: an edge of turf or the hole touched within a hair"


def main(options: list[str] | None = None) -> int:
    """Print the figures; 1 when the gate is missed."""
    n = int(options[0]) if options else 500
    start = time.perf_counter()
    judged = judge(n)
    shots, quick = the_shots(n), play_all(the_shots(n))
    miss = np.array([j.miss_mm for j in judged])
    run = np.hypot(*(quick.finished - quick.landed)[:, :2].T)
    words, counts = np.unique(quick.outcomes(), return_counts=True)
    clubs, of_club = np.unique(shots.club, return_counts=True)
    print(
        f"{n} shots, carry {shots.carry.min():.1f} to {shots.carry.max():.1f} m, mean run {run.mean():.1f} m"
    )
    print("clubs:", ", ".join(f"{club} {k}" for club, k in zip(clubs, of_club, strict=True)))
    print("outcomes:", ", ".join(f"{word} {k}" for word, k in zip(words, counts, strict=True)))
    print("difference of the finish from the referee, mm:")
    for share in (50, 90, 95, 99, 100):
        print(f"  {share:3d} % within {np.percentile(miss, share):.3f}")
    for i in np.flatnonzero(miss > 1):
        what = f"{shots.club[i]}, carry {shots.carry[i]:.1f} m, {miss[i]:.2f} mm"
        print(f"  shot {i}: {what}: {cause(judged[i], quick, i)}")
    within_1, within_5 = (miss <= 1).mean(), (miss <= 5).mean()
    print(f"within 1 mm: {100 * within_1:.1f} % (gate 95), within 5 mm: {100 * within_5:.1f} % (gate 99)")
    print(f"{time.perf_counter() - start:.0f} s")
    return int(within_1 < 0.95 or within_5 < 0.99)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
