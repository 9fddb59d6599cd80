"""Ways to choose a club and a landing spot, to be compared in a world that follows other laws.

The trade's rule is common practice without a source: land the ball 1 to 2 m onto the green and take the club
whose run for one of carry fits the rest (7-iron 5, 8-iron 4, 9-iron 3, PW 2, GW 1.5, SW 1, LW 0.75); one club
more loft for each 2 feet of Stimp above 9 or 2.5 % of downhill, one less the other way. It lands 1.5 m on; 1
m where even the lob wedge runs too far, 2 m where even the 7-iron does not run far enough. "Always the sand
wedge" lands it half-way (run 1 for 1), at least 1 m onto the green. Both get the side to aim from the planner
without balls, as a good eye sees it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from benchmarks.plan_stations import Place
from firstbounce.checks.rival import RivalDay
from firstbounce.planning.landing import SHORTEST_CARRY, LandingErrors
from firstbounce.planning.luck import clean_luck
from firstbounce.planning.prices import TablePrices
from firstbounce.planning.result import Plan
from firstbounce.planning.scene import Scene
from firstbounce.planning.search import promising
from firstbounce.planning.survey import price_spots, sample_mixture
from firstbounce.players.clubs import Club
from firstbounce.shot.laws import HoleSpec
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Point

Floats = NDArray[np.float64]

ONTO_M = (1.0, 1.5, 2.0)  #: how far onto the green the rule lands: short-sided, usually, long
RULE = (("7i", 5.0), ("8i", 4.0), ("9i", 3.0), ("PW", 2.0), ("GW", 1.5), ("SW", 1.0), ("LW", 0.75))
FINALISTS = 6  #: spots that one who knows the world plays more often before choosing
MEDIUM_FT, FEET_A_CLUB, PERCENT_A_CLUB = 9.0, 2.0, 2.5


@dataclass(frozen=True)
class Picked:
    """A club and where to land it."""

    club: str
    spot: Point


def of_plan(plan: Plan) -> Picked:
    """The first choice of a plan, aimed off for a habit where the plan says that there is one."""
    start, (x, y) = plan.station.start, plan.first.spot
    farther, right = plan.aim_off
    dx, dy = ((1 + farther) * (x - start.x_m), (1 + farther) * (y - start.y_m))
    cos, sin = float(np.cos(right)), float(np.sin(right))
    return Picked(plan.first.club, Point(start.x_m + cos * dx + sin * dy, start.y_m + cos * dy - sin * dx))


def of_rule(place: Place, unfitted: Plan, stimp_ft: float) -> Picked:
    """The trade's carry-to-run rule."""
    far = float(np.hypot(*np.subtract(place.station.hole, place.station.start)))
    carry = place.edge_m + ONTO_M[1]
    wanted = (far - carry) / carry
    if wanted < RULE[-1][1]:
        carry = place.edge_m + ONTO_M[0]
    elif wanted > RULE[0][1]:
        carry = place.edge_m + ONTO_M[2]
    wanted = max(far - carry, 0.1) / carry
    fits = int(np.argmin([abs(np.log(wanted / ratio)) for _, ratio in RULE]))
    shift = (stimp_ft - MEDIUM_FT) / FEET_A_CLUB - uphill_percent(place) / PERCENT_A_CLUB
    club = RULE[int(np.clip(fits + round(shift), 0, len(RULE) - 1))][0]
    return _aimed(place, unfitted, club, carry)


def of_sand_wedge(place: Place, unfitted: Plan) -> Picked:
    """Always the sand wedge, landed half-way."""
    far = float(np.hypot(*np.subtract(place.station.hole, place.station.start)))
    return _aimed(place, unfitted, "SW", min(max(far / 2, place.edge_m + 1.0), far))


def uphill_percent(place: Place) -> float:
    """Mean slope from the edge of the green to the hole, uphill positive [percent]."""
    surface, hole = place.ground.surface, place.station.hole
    rise = float(surface.height(*hole)) - float(surface.height(0.0, place.edge_m))
    return 100 * rise / max(float(hole.y_m) - place.edge_m, 0.5)


def _aimed(place: Place, unfitted: Plan, club: str, carry: float) -> Picked:
    spot = next(choice.spot for choice in unfitted.choices if choice.club == club)
    turn = float(np.arctan2(spot[0], spot[1]))
    return Picked(club, Point(carry * float(np.sin(turn)), carry * float(np.cos(turn))))


def of_the_knowing(day: RivalDay, scene: Scene, place: Place, balls: int, seed: int) -> Picked:
    """The best choice of one who knows the world: its balls price every spot of every club.

    Chosen on draws that nothing is scored on: a survey of clean strikes for each club's spots, then strikes
    with mishits for three spots of each club, then more of them for the best six.
    """
    spots = [Picked(club.name, spot) for club in scene.bag for spot in _best_spots(day, scene, club, seed)]
    rough = [played_cost(day, place, picked, balls // 4, seed + 1).mean() for picked in spots]
    few = [spots[k] for k in np.argsort(rough)[:FINALISTS]]
    costs = [played_cost(day, place, picked, balls, seed + 2).mean() for picked in few]
    return few[int(np.argmin(costs))]


def _best_spots(day: RivalDay, scene: Scene, club: Club, seed: int, n: int = 1024) -> list[Point]:
    """The spot that is best for clean strikes, one a little shorter and one a little longer."""
    rng = np.random.default_rng(seed)
    grid, errors = promising(scene, club), LandingErrors.of(day.player.spread, scene.lie.kind)
    sample = sample_mixture(grid, errors, clean_luck(rng, n, scene.run_tail).normals)
    places = scene.places(np.maximum(sample.carry, SHORTEST_CARRY), sample.azimuth)
    hole = HoleSpec(scene.hole.x, scene.hole.y)
    played = day.clean(rng, club, scene.start, places, scene.lie, hole)
    cost = price_of(day, scene.start, Point(hole.x, hole.y), played.finished, played.outcome)
    mean = price_spots(cost, sample).mean
    i, j = np.unravel_index(int(mean.argmin()), mean.shape)
    step = float(errors.sd_long(grid.carries[i]))
    carries = np.array([grid.carries[i], grid.carries[i] - 0.4 * step, grid.carries[i] + 0.4 * step])
    found = scene.places(np.maximum(carries, SHORTEST_CARRY), np.full(3, grid.azimuths[j]))
    return [Point(float(x), float(y)) for x, y in found]


def price_of(day: RivalDay, start: Point, hole: Point, finished: Floats, outcome: NDArray) -> Floats:
    """Expected strokes of balls that finished somewhere, by the true green speed."""
    from firstbounce.players.strokes import strokes_table

    prices = TablePrices(strokes_table(day.player), start, hole)
    green = np.full(len(outcome), stimp_to_deceleration(day.laws.stimp_ft))
    return prices.price(finished[:, :2], outcome, day.ground, green).cost


def played_cost(day: RivalDay, place: Place, picked: Picked, balls: int, seed: int) -> Floats:
    """Costs of `balls` strikes of the player in the true world; the same seed gives the same luck."""
    station = place.station
    club = day.player.bag.club(picked.club)
    hole = HoleSpec(float(station.hole.x_m), float(station.hole.y_m))
    rng = np.random.default_rng(seed)
    hit = day.strike(rng, club, station.start, picked.spot, balls, station.lie, hole).played
    return price_of(day, station.start, station.hole, hit.finished, hit.outcome)
