"""Speed of a plan, its memory, what it loses to brute force, and how steady its first choice is.

`python -m benchmarks.plan_speed [--stations N] [--seeds N] [--draws N] [--no-brute]`. Gates: eight clubs in
at most 1 s warm (median) and 500 MB; at most 0.01 strokes lost to a brute-force search whose finalists are
played with a million draws; the same first choice for ten seeds in nine of ten stations whose choices are not
equal.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time

import numpy as np

from benchmarks.plan_brute import brute_force, played_cost
from benchmarks.plan_stations import Place, random_place
from firstbounce.fitting.fit import prior_fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.planning.plan import plan
from firstbounce.planning.race import INDIFFERENCE
from firstbounce.planning.result import Plan
from firstbounce.players.player import player_of_level
from firstbounce.words import Level

MOST_SECONDS, MOST_MB, MOST_REGRET, LEAST_STEADY = 1.0, 500.0, 0.01, 0.9


def main(argv: list[str] | None = None) -> int:
    """Run, print a table, return 1 when a gate is missed."""
    options = _options(argv)
    rng = np.random.default_rng(options.seed)
    places = [random_place(rng, contoured=True) for _ in range(options.stations)]
    player, today = player_of_level(Level.TEN_TO_EIGHTEEN), GreenToday.of_words()
    fit = prior_fit(player, today)

    def make(place: Place, seed: int | None = None) -> Plan:
        return plan(place.station, player=player, today=today, ground=place.ground, fit=fit, seed=seed)

    make(places[0])
    seconds = [_timed(make, place) for place in places]
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    steady = _steady(make, places, options.seeds)
    regrets = [] if options.no_brute else _regrets(make, places, fit, today, options.draws)
    return _verdict(seconds, memory, steady, regrets)


def _options(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--stations", type=int, default=10)
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--draws", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--no-brute", action="store_true", help="leave the brute-force search out")
    return parser.parse_args(argv)


def _timed(make, place: Place) -> tuple[float, float]:
    """Seconds on the clock and seconds of processor time."""
    start, work = time.perf_counter(), time.process_time()
    make(place)
    return time.perf_counter() - start, time.process_time() - work


def _steady(make, places: list[Place], seeds: int) -> list[tuple[bool, bool]]:
    """For each station: are its best two equal, and is the first choice the same for every seed."""
    rows = []
    for k, place in enumerate(places):
        plans = [make(place, seed) for seed in range(seeds)]
        firsts = [p.first.club for p in plans]
        usual = max(set(firsts), key=firsts.count)
        gaps = [_gap(p, usual) for p in plans]
        mean, error = float(np.mean(gaps)), float(np.std(gaps) / np.sqrt(len(gaps)))
        equal = mean <= max(INDIFFERENCE, 2 * error)
        same = len(set(firsts)) == 1
        rows.append((equal, same))
        print(
            f"  station {k}: {place.station.lie.kind}, {place.edge_m:.1f} m to the edge,"
            f" hole {place.station.hole.y_m:.1f} m: {usual} ahead by {mean:.3f}"
            f" {'(equal)' if equal else ''} same {firsts.count(usual)}/{seeds}",
            flush=True,
        )
    return rows


def _gap(made: Plan, club: str) -> float:
    """Strokes by which a club beats the best of the others (below zero: is beaten)."""
    mine = next(choice for choice in made.choices if choice.club == club)
    return min(choice.behind for choice in made.choices if choice.club != club) - mine.behind


def _regrets(make, places: list[Place], fit, today: GreenToday, draws: int) -> list[tuple[float, float]]:
    """Strokes lost to brute force at each station, with the standard error."""
    rows = []
    for k, place in enumerate(places):
        made, start = make(place), time.perf_counter()
        best, chosen = brute_force(place, fit, today, made)
        lost = played_cost(place, fit, today, (chosen, best), draws)
        rows.append(lost)
        print(
            f"  station {k}: plan {chosen.club.name} {chosen.carry:.2f} m,"
            f" brute force {best.club.name} {best.carry:.2f} m:"
            f" lost {lost[0]:+.4f} +- {lost[1]:.4f} ({time.perf_counter() - start:.0f} s)",
            flush=True,
        )
    return rows


def _verdict(
    seconds: list[tuple[float, float]],
    memory: float,
    steady: list[tuple[bool, bool]],
    regrets: list[tuple[float, float]],
) -> int:
    unequal = [same for equal, same in steady if not equal]
    share = float(np.mean(unequal)) if unequal else 1.0
    median, work = np.median(seconds, axis=0)
    rows = [
        (f"seconds a plan, warm, median (processor {work:.2f})", f"{median:.2f}", median <= MOST_SECONDS),
        ("memory of the process [MB]", f"{memory:.0f}", memory <= MOST_MB),
        (f"same first choice, {len(unequal)} stations not equal", f"{share:.0%}", share >= LEAST_STEADY),
    ]
    if regrets:
        worst = max(lost - 2 * error for lost, error in regrets)
        mean = float(np.mean([lost for lost, _ in regrets]))
        rows.append(
            (f"most strokes lost to brute force (mean {mean:+.4f})", f"{worst:+.4f}", worst <= MOST_REGRET)
        )
    for what, value, held in rows:
        print(f"{what:60s} {value:>10s}  {'held' if held else 'MISSED'}")
    return int(not all(held for _, _, held in rows))


if __name__ == "__main__":
    sys.exit(main())
