"""What a plan saves in a world that follows other laws, after 12 logged balls with two clubs.

`python -m benchmarks.plan_world [--stations 300] [--seed 11] [--balls 12] [--draws 2000] [--held-out]
[--file rows.jsonl --seconds 500]`: with a file it can stop and go on, station by station. A player who shoots
about 90 (level 10 to 18) chips at random stations; every way of choosing is played out in the same rival day
with the same luck. The bag has no putter: from a fairway lie it would often be chosen, and the question here
is which club to chip with. Gates: the plan with the player's balls costs at least 0.08 strokes a chip less
than the trade's rule, at least 0.06 less than always the sand wedge, and reaches at least 80 % of the saving
over the rule of the best choice that knowing the world allows.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.pieces import UNFINISHED, add_options, in_pieces
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
from firstbounce.checks.rival_laws import FAMILIES, HELD_OUT
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.result import MODEL_VERSION, Fit
from firstbounce.planning.plan import plan
from firstbounce.planning.ranking import Effort
from firstbounce.planning.worlds import scene_of
from firstbounce.players.clubs import Bag, Club, usual_club
from firstbounce.players.player import player_of_level
from firstbounce.words import Ball, Level, LieKind, Point

Floats = NDArray[np.float64]

CLUBS = ("7i", "8i", "9i", "PW", "GW", "SW", "LW")
LIES = (LieKind.FAIRWAY, LieKind.FAIRWAY, LieKind.LIGHT_ROUGH)
WAYS = ("best possible", "plan, own balls", "plan, no balls", "always sand wedge", "trade rule")
LESS = Effort(survey=1024, mishits=48, rounds=(192, 512), close=256)
OVER_RULE, OVER_WEDGE, OF_BEST = 0.08, 0.06, 0.80


def main(argv: list[str] | None = None) -> int:
    """Run, print a table, return 1 when a gate is missed."""
    options = _options(argv)
    families = HELD_OUT if options.held_out else FAMILIES
    label = f"plan_world seed {options.seed} {MODEL_VERSION} {options.balls} balls {options.draws} draws"
    label += f" {', '.join(families)}"

    def row(k: int) -> list[Any]:
        rng = np.random.default_rng([options.seed, k])
        return station_costs(rng, options.balls, options.draws, families)

    rows = in_pieces(row, options.stations, label, options.file, options.seconds)
    if rows is None:
        return UNFINISHED
    print(label)
    return report(np.array([costs for costs, _ in rows]), [logged for _, logged in rows])


def _options(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--stations", type=int, default=300)
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--balls", type=int, default=12)
    parser.add_argument("--draws", type=int, default=2000)
    parser.add_argument("--held-out", action="store_true", help="the families that nothing was designed on")
    add_options(parser)
    return parser.parse_args(argv)


def bag() -> Bag:
    """Usual lofts, read off the clubs; no putter."""
    return Bag(tuple(Club(name=name, loft_deg=usual_club(name).loft_deg) for name in CLUBS))


def station_costs(rng: np.random.Generator, balls: int, draws: int, families: Sequence[str]) -> list[Any]:
    """Mean strokes of each way of choosing (WAYS) at one random station of one random day; clubs logged."""
    place = random_place(rng, contoured=False, lies=LIES)
    player = player_of_level(Level.TEN_TO_EIGHTEEN, bag=bag())
    day = RivalDay.draw(rng, player=player, ground=place.ground, families=families)
    logged = logged_balls(rng, day, place, balls)
    learned = fit(logged, today=day.today, ground=place.ground, player=player)
    picked = choose(day, place, learned, draws, seed=int(rng.integers(2**62)))
    seed = int(rng.integers(2**62))
    costs = [float(played_cost(day, place, one, draws, seed).mean()) for one in picked]
    return [costs, [sorted({ball.club for ball in logged}), picked[0].club, picked[1].club]]


def choose(day: RivalDay, place: Place, learned: Fit, draws: int, seed: int) -> list[Picked]:
    """The choice of every way, in the order of WAYS."""
    known = {"player": day.player, "today": day.today, "ground": place.ground}
    usual = prior_fit(day.player, day.today)
    fitted = plan(place.station, fit=learned, **known)
    unfitted = plan(place.station, fit=usual, effort=LESS, **known)  # no gate rests on it but the side to aim
    scene = scene_of(
        place.station, fit=learned, today=day.today, ground=place.ground, rng=np.random.default_rng(seed)
    )
    return [
        of_the_knowing(day, scene, place, draws, seed),
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


def report(costs: Floats, logged: list[Any]) -> int:
    """The table, differences with their standard errors over stations, and the gates."""
    n = len(costs)
    print(f"{n} stations, level 10 to 18, strokes to hole out from the chip on")
    for name, column in zip(WAYS, costs.T, strict=True):
        print(f"  {name:20s} {column.mean():.3f} +- {column.std() / np.sqrt(n):.3f}")
    best, own, unfitted, wedge, rule = costs.T
    over_rule = _saved("trade rule", rule - own)
    over_wedge = _saved("always sand wedge", wedge - own)
    _saved("plan, no balls", unfitted - own)
    share, error = _share(rule - own, rule - best)
    print(f"  share of the best possible saving over the rule: {share:.3f} +- {error:.3f}")
    _by_club(rule - own, rule - best, logged)
    gates = (
        ("saved over the rule", over_rule, OVER_RULE),
        ("saved over the sand wedge", over_wedge, OVER_WEDGE),
        ("share of the best possible", share, OF_BEST),
    )
    for name, value, least in gates:
        print(f"{'met ' if value >= least else 'MISSED'}  {name}: {value:.3f}, at least {least:g}")
    return int(any(value < least for _, value, least in gates))


def _saved(name: str, difference: Floats) -> float:
    mean, error = float(difference.mean()), float(difference.std() / np.sqrt(len(difference)))
    print(f"  own balls save over {name:18s} {mean:+.4f} +- {error:.4f}")
    return mean


def _by_club(saved: Floats, possible: Floats, logged: list[Any]) -> None:
    """The share where the club of the best possible choice was among those logged, and where it was not."""
    known = np.array([best in clubs for clubs, best, _ in logged])
    same = np.array([best == own for _, best, own in logged])
    for name, rows in (("logged", known), ("not logged", ~known)):
        if rows.sum() > 1:
            share, error = _share(saved[rows], possible[rows])
            print(
                f"    best club {name:10s} ({rows.sum()} stations): share {share:.2f} +- {error:.2f},"
                f" same club chosen {same[rows].mean():.0%}"
            )


def _share(saved: Floats, possible: Floats) -> tuple[float, float]:
    """Ratio of mean savings, with a bootstrap standard error over stations."""
    rng = np.random.default_rng(0)
    rows = rng.integers(len(saved), size=(500, len(saved)))
    again = saved[rows].mean(axis=1) / possible[rows].mean(axis=1)
    return float(saved.mean() / possible.mean()), float(again.std())


if __name__ == "__main__":
    sys.exit(main())
