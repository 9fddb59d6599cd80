"""Speed gate: whole shots on a contoured green (height grid, turf map, hole, wind), all processors.

Options: the number of shots (default 40000). Gate: 60,000 shots a second, and 500 times the referee in the
same run. Printed beside: where the time goes, and how far it is from the arithmetic limit.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np

from benchmarks.scene import HOLE, WIND, Shots, contoured_ground, random_shots
from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot import executor
from firstbounce.shot.laws import AirSpec
from firstbounce.shot.play import Played, play, play_on, roll
from firstbounce.shot.referee import referee
from firstbounce.shot.referee_world import World

GATE, GATE_RATIO = 60_000, 500
#: Additions and multiplications as written in the source; a division or root counts 1, exp and log 20.
FLOPS_AIR_STEP = 4 * 85 + 60 + 2 * 80 + 140  #: four accelerations, the sums, two looks at the surface, wind
AIR_STEPS, ROLL_STEPS = 16, 10  #: a shot of this mix, counted on its trail
FLOPS_ROLL_STEP = 2 * 160 + 4 * 30 + 40 + 130  #: two looks at the surface with its bend, the sums, events


def the_shots(n: int) -> Shots:
    """Chips with every club alike: mean carry about 8 m, mean run about 11 m."""
    rng = np.random.default_rng(8)
    carry = np.clip(rng.gamma(4.0, 2.0, n), 1.5, 30)
    return random_shots(rng, n, contoured_ground(), carry, 0.2, per_start=2500)


def best_of(work: Callable[[], object], repeats: int = 3) -> float:
    """Shortest wall time [s] of some runs: others use the machine too."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def settings(shots: Shots, ground: GroundArrays) -> dict:
    """What every ball of the benchmark meets."""
    return {
        "ground": ground,
        "green_deceleration": shots.green,
        "firmness": shots.firmness,
        "ln_run": shots.ln_run,
        "scatter": shots.scatter,
        "hole": HOLE,
    }


def referee_rate(shots: Shots, ground: GroundArrays, seconds: float = 8.0) -> float:
    """Shots a second of the referee, one process."""
    start, i = time.perf_counter(), 0
    while time.perf_counter() - start < seconds:
        world = World(
            ground=ground,
            green_deceleration=float(shots.green[i]),
            firmness=float(shots.firmness[i]),
            ln_run=float(shots.ln_run[i]),
            scatter=tuple(shots.scatter[i]),
            hole=HOLE,
            air=WIND,
        )
        referee(shots.start[i], shots.velocity[i], shots.spin[i], world)
        i += 1
    return i / (time.perf_counter() - start)


def peak_flops() -> float:
    """Additions and multiplications a second of one core on scalars in registers, measured."""
    from firstbounce.shot.compiler import FLOAT, INT, kernel, writable

    def chains(n, out):
        a, b, c, d, e, f, g, h = out[0], out[1], out[2], out[3], out[4], out[5], out[6], out[7]
        x = 0.999999
        y = 1e-9
        for _ in range(n):
            a = a * x + y
            b = b * x + y
            c = c * x + y
            d = d * x + y
            e = e * x + y
            f = f * x + y
            g = g * x + y
            h = h * x + y
        out[0], out[1], out[2], out[3], out[4], out[5], out[6], out[7] = a, b, c, d, e, f, g, h

    compiled = kernel(INT, writable(FLOAT, 1), cache=False)(chains)
    n, out = 20_000_000, np.ones(8)
    return 16 * n / best_of(lambda: compiled(n, out))


def phases(shots: Shots, played: Played, ground: GroundArrays) -> list[tuple[str, float]]:
    """Seconds of each part: first flight, bounces and hops, skid and roll, by leaving parts out."""
    base = settings(shots, ground)
    whole = best_of(lambda: play(shots.start, shots.velocity, shots.spin, air=WIND, **base))
    landed = (played.landed, played.landing_velocity, played.landing_spin)
    after = best_of(lambda: play_on(*landed, air=WIND, **base))
    still = best_of(lambda: play_on(*landed, air=AirSpec(), **base))
    way = (played.finished - played.landed)[:, :2]
    speed = np.sqrt(2 * shots.green * 0.5 * np.hypot(*way.T))
    heading = way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    only_roll = {key: base[key] for key in ("ground", "green_deceleration", "scatter", "hole")}
    rolling = best_of(lambda: roll(played.landed[:, :2], speed[:, None] * heading, **only_roll))
    return [
        ("whole shot", whole),
        ("first flight", whole - after),
        ("bounces, hops, roll", after),
        ("of which wind in the hops", after - still),
        ("a roll over half the run, alone", rolling),
    ]


def main(options: list[str] | None = None) -> int:
    """Print the figures; 1 when the gate is missed."""
    n = int(options[0]) if options else 40_000
    shots, ground = the_shots(n), contoured_ground().compiled()
    start = time.perf_counter()
    played = play(shots.start, shots.velocity, shots.spin, air=WIND, **settings(shots, ground))
    print(f"first call, with compiling or loading: {time.perf_counter() - start:.1f} s")
    carry = np.hypot(*(played.landed - shots.start)[:, :2].T)
    run = np.hypot(*(played.finished - played.landed)[:, :2].T)
    words, counts = np.unique(played.outcomes(), return_counts=True)
    threads = executor.thread_count()
    print(f"{n} shots, {threads} threads: mean carry {carry.mean():.1f} m, mean run {run.mean():.1f} m,")
    said = ", ".join(f"{word} {count}" for word, count in zip(words, counts, strict=True))
    print(f"  {played.n_bounces.mean():.1f} bounces; {said}")
    parts = phases(shots, played, ground)
    rate, slow = n / parts[0][1], referee_rate(shots, ground)
    for name, seconds in parts:
        print(f"  {name}: {1e6 * seconds / n * threads:.1f} us of one thread a ball")
    flops = peak_flops()
    steps = AIR_STEPS * FLOPS_AIR_STEP + ROLL_STEPS * FLOPS_ROLL_STEP
    limit = flops * threads / steps
    print(f"scalar peak {flops / 1e9:.2f} Gflop/s a thread, {steps} flop a shot:")
    print(f"  limit {limit:,.0f} shots/s")
    ratio = rate / slow
    print(f"kernel {rate:,.0f} shots/s (gate {GATE:,}), referee {slow:.2f}/s: {ratio:,.0f} times")
    start_cpu = time.process_time()
    play(shots.start, shots.velocity, shots.spin, air=WIND, **settings(shots, ground))
    alone = n * threads / (time.process_time() - start_cpu)
    print(f"by processor time, as on an idle machine: {alone:,.0f} shots/s")
    print(f"share of the arithmetic limit: {100 * rate / limit:.0f} %")
    return int(rate < GATE or rate / slow < GATE_RATIO)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
