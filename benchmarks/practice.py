"""Gates of practice: adaptive rules settle at their exact rates; a circle's size is found in 30 balls.

`python -m benchmarks practice [--quick]`. Exit status 1 when a gate is missed.
"""

from __future__ import annotations

import argparse
import math

import numpy as np

from firstbounce.players.circle import circle_radius_m
from firstbounce.practice.adapt import Ladder, Rule, threshold, up_down, weighted


def rules(step: float) -> dict[str, Rule]:
    """The five rules with this step, far from their bounds."""
    named = {f"{hits} hits harder, 1 miss easier": up_down(hits, step, 0.05, 60) for hits in (1, 2, 3, 4)}
    return named | {"weighted, 75 %": weighted(0.75, step, 0.05, 60)}


STEPS = (1.05, 1.15)  #: the first is gated, the second is what drills use
BALLS = 40_000
WITHIN = 0.01  #: of the exact rate
REAL_BALLS, RADIUS_WITHIN, RUNS_SHARE = 30, 0.2, 0.8
PLAYERS = {  #: spread along, across, bias along, over the larger spread
    "round": (1.0, 1.0, 0.0),
    "twice as long as wide": (1.0, 0.5, 0.0),
    "twice as long, usually half a spread short": (1.0, 0.5, -0.5),
}


def far_from_spot(rng: np.random.Generator, player: tuple[float, float, float], n: int) -> np.ndarray:
    """Distances from the spot of n landings."""
    along, across, bias = player
    return np.hypot(bias + along * rng.standard_normal(n), across * rng.standard_normal(n))


def settled_rate(rule: Rule, far: np.ndarray, size: float) -> float:
    """Share of hits of a rule played on these balls."""
    ladder, hits = Ladder(rule=rule, size=size), 0
    for r in far:
        hit = bool(r < ladder.size)
        hits += hit
        after = ladder.after(hit)
        ladder = Ladder(rule=rule, size=after.size, streak=after.streak)
    return hits / len(far)


def found_share(
    rule: Rule,
    player: tuple[float, float, float],
    runs: int,
    seed: int,
    *,
    balls: int = REAL_BALLS,
    start_off: float = 1.0,
    mishits: float = 0.0,
    tagged: bool = False,
) -> tuple[float, float]:
    """Share of runs whose estimated radius is within 20 %, and of intervals that hold the truth."""
    rng = np.random.default_rng(seed)
    along, across, bias = player
    sizes = {"along_m": along, "across_m": across, "bias_along_m": bias}
    wanted = rule.target if tagged else rule.target / (1 - mishits)
    truth = circle_radius_m(wanted, **sizes)
    start = circle_radius_m(0.85, **sizes)
    good = held = 0
    for _ in range(runs):
        ladder = Ladder(rule=rule, size=start * math.exp(rng.uniform(-1, 1) * math.log(start_off)))
        missed = rng.random(balls) < mishits
        for r, mishit in zip(far_from_spot(rng, player, balls), missed, strict=True):
            if not (mishit and tagged):
                ladder = ladder.after(bool(r < ladder.size and not mishit))
        found = threshold(ladder.done, rule.target, mishits=mishits > 0 and not tagged)
        good += abs(found.size / truth - 1) <= RADIUS_WITHIN
        held += found.low <= truth <= found.high
    return good / runs, held / runs


def settle_gate() -> bool:
    """Every rule, every player: the rate after 40,000 balls."""
    missed = False
    for step in STEPS:
        print(f"steps of {step:g}: rate of hits in {BALLS:,} balls, by player: {'; '.join(PLAYERS)}")
        for name, rule in rules(step).items():
            rates = [
                settled_rate(rule, far_from_spot(np.random.default_rng(7), player, BALLS), 1.6)
                for player in PLAYERS.values()
            ]
            missed |= step == STEPS[0] and any(abs(rate - rule.target) > WITHIN for rate in rates)
            cells = " ".join(f"{100 * rate:7.2f}" for rate in rates)
            print(f"  {name:30} exact {100 * rule.target:6.2f} %: {cells}")
    return missed


def found_gate(runs: int) -> bool:
    """30 real balls: how often the radius is within 20 %."""
    missed = False
    print(f"\n{REAL_BALLS} balls, {runs} runs: radius within 20 % (and 90 % interval holds the truth)")
    for hits in (1, 2, 3):
        for name, player in PLAYERS.items():
            for off in (1.0, 1.6):
                good, held = found_share(up_down(hits, 1.15, 0.05, 60), player, runs, 11, start_off=off)
                missed |= hits == 2 and good < RUNS_SHARE
                said = f"{hits} hits, start within x{off:g}, {name}"
                print(f"  {said:72} {100 * good:5.1f} % ({100 * held:5.1f} %)")
    print("the same with two hits, of strikes that are mishits now and then (not gated)")
    for share in (0.05, 0.125, 0.225):
        for tagged in (False, True):
            rule, player = up_down(2, 1.15, 0.05, 60), PLAYERS["twice as long as wide"]
            good, held = found_share(rule, player, runs, 11, mishits=share, tagged=tagged)
            said = f"{100 * share:g} % mishits, {'tagged and left out' if tagged else 'not tagged'}"
            print(f"  {said:72} {100 * good:5.1f} % ({100 * held:5.1f} %)")
    return missed


def main(argv: list[str] | None = None) -> int:
    """Print the tables; 1 when a gate is missed."""
    parser = argparse.ArgumentParser(prog="practice", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer runs")
    options = parser.parse_args(argv)
    missed = [settle_gate(), found_gate(150 if options.quick else 1000)]
    return int(any(missed))


if __name__ == "__main__":
    raise SystemExit(main())
