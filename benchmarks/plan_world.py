"""What a plan saves in a world that follows other laws, after 12 logged balls with two clubs.

`python -m benchmarks.plan_world [--stations 300] [--seed 11] [--balls 12] [--draws 2000]`. A player who
shoots about 90 (level 10 to 18) chips at random stations; every way of choosing is played out in the same
rival day with the same luck. The bag has no putter: from a fairway lie it would often be chosen, and the
question here is which club to chip with. Gates: the plan with the player's balls costs at least 0.08
strokes a chip less than the trade's rule, at least 0.06 less than always the sand wedge, and reaches at least
80 % of the saving over the rule of the best choice that knowing the world allows.
"""

from __future__ import annotations

import argparse
import sys
import time

import numpy as np
from numpy.typing import NDArray

from benchmarks.plan_choosers import (
    Picked,
    of_plan,
    of_rule,
    of_sand_wedge,
    of_the_knowing,
    played_cost,
)
from benchmarks.plan_stations import Place, random_place
from firstbounce.checks.rival import RivalDay
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.planning.plan import plan
from firstbounce.planning.worlds import scene_of
from firstbounce.players.clubs import Bag, Club, usual_club
from firstbounce.players.player import player_of_level
from firstbounce.words import Ball, Level, LieKind, Point

Floats = NDArray[np.float64]

CLUBS = ("7i", "8i", "9i", "PW", "GW", "SW", "LW")
LIES = (LieKind.FAIRWAY, LieKind.FAIRWAY, LieKind.LIGHT_ROUGH)
WAYS = ("best possible", "plan, own balls", "plan, no balls", "always sand wedge", "trade rule")
OVER_RULE, OVER_WEDGE, OF_BEST = 0.08, 0.06, 0.80


def main(argv: list[str] | None = None) -> int:
    """Run, print a table, return 1 when a gate is missed."""
    options = _options(argv)
    rng = np.random.default_rng(options.seed)
    rows, start = [], time.perf_counter()
    for k in range(options.stations):
        rows.append(station_costs(np.random.default_rng(rng.integers(2**63)), options.balls, options.draws))
        if sys.stderr.isatty() or (k + 1) % 25 == 0:
            spent = time.perf_counter() - start
            print(f"station {k + 1} of {options.stations}, {spent:.0f} s", file=sys.stderr, flush=True)
    return report(np.array(rows))


def _options(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--stations", type=int, default=300)
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--balls", type=int, default=12)
    parser.add_argument("--draws", type=int, default=2000)
    return parser.parse_args(argv)


def bag() -> Bag:
    """Usual lofts, read off the clubs; no putter."""
    return Bag(tuple(Club(name=name, loft_deg=usual_club(name).loft_deg) for name in CLUBS))


def station_costs(rng: np.random.Generator, balls: int, draws: int) -> list[float]:
    """Mean strokes of each way of choosing (WAYS) at one random station of one random day."""
    place = random_place(rng, contoured=False, lies=LIES)
    player = player_of_level(Level.TEN_TO_EIGHTEEN, bag=bag())
    day = RivalDay.draw(rng, player=player, ground=place.ground)
    learned = fit(logged_balls(rng, day, place, balls), today=day.today, ground=place.ground, player=player)
    picked = choose(day, place, learned, draws, seed=int(rng.integers(2**62)))
    seed = int(rng.integers(2**62))
    return [float(played_cost(day, place, one, draws, seed).mean()) for one in picked]


def choose(day: RivalDay, place: Place, learned: Fit, draws: int, seed: int) -> list[Picked]:
    """The choice of every way, in the order of WAYS."""
    known = {"player": day.player, "today": day.today, "ground": place.ground}
    usual = prior_fit(day.player, day.today)
    fitted, unfitted = (plan(place.station, fit=one, **known) for one in (learned, usual))
    scene = scene_of(
        place.station, fit=learned, today=day.today, ground=place.ground, rng=np.random.default_rng(seed)
    )
    return [
        of_the_knowing(day, scene, place, draws // 2, seed),
        of_plan(fitted),
        of_plan(unfitted),
        of_sand_wedge(place, unfitted),
        of_rule(place, unfitted, day.today.stimp_ft.value),
    ]


def logged_balls(rng: np.random.Generator, day: RivalDay, place: Place, n: int) -> list[Ball]:
    """Balls with two clubs at least 8 degrees apart, from another place beside the same green, same lie."""
    lofts = [club.loft_deg for club in day.player.bag.clubs]
    pair = [0, 0]
    while abs(lofts[pair[0]] - lofts[pair[1]]) < 8:
        pair = [int(i) for i in rng.choice(len(lofts), 2, replace=False)]
    start = Point(4.0, place.edge_m - 1.5)
    hole = Point(4.0, place.edge_m + 6.0)
    logged: list[Ball] = []
    for k, i in enumerate(pair):
        far = 7.0 if lofts[i] < 44 else 13.0
        carries = rng.uniform(3.0, far, n // 2 + (n % 2 if k == 0 else 0))
        spots = [Point(4.0, float(start.y_m + carry)) for carry in carries]
        club = day.player.bag.clubs[i]
        logged += day.balls(rng, club, start, spots, hole, lie=place.station.lie, prefix=club.name)
    return logged


def report(costs: Floats) -> int:
    """The table, differences with their standard errors over stations, and the gates."""
    n = len(costs)
    print(f"{n} stations, level 10 to 18, strokes to hole out from the chip on")
    for name, column in zip(WAYS, costs.T, strict=True):
        print(f"  {name:20s} {column.mean():.3f} +- {column.std() / np.sqrt(n):.3f}")
    best, own, unfitted, wedge, rule = costs.T
    for name, other in (("trade rule", rule), ("always sand wedge", wedge), ("plan, no balls", unfitted)):
        difference = other - own
        print(
            f"  own balls save over {name:18s} {difference.mean():+.4f}"
            f" +- {difference.std() / np.sqrt(n):.4f}"
        )
    share, error = _share(rule - own, rule - best)
    print(f"  share of the best possible saving over the rule: {share:.2f} +- {error:.2f}")
    held = [
        (rule - own).mean() >= OVER_RULE,
        (wedge - own).mean() >= OVER_WEDGE,
        share >= OF_BEST,
    ]
    for name, ok in zip(("over the rule", "over the sand wedge", "share of the best"), held, strict=True):
        print(f"  gate {name}: {'held' if ok else 'MISSED'}")
    return int(not all(held))


def _share(saved: Floats, possible: Floats) -> tuple[float, float]:
    """Ratio of mean savings, with a bootstrap standard error over stations."""
    rng = np.random.default_rng(0)
    rows = rng.integers(len(saved), size=(500, len(saved)))
    again = saved[rows].mean(axis=1) / possible[rows].mean(axis=1)
    return float(saved.mean() / possible.mean()), float(again.std())


if __name__ == "__main__":
    sys.exit(main())
