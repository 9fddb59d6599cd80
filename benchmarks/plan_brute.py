"""Brute force: play every club at every spot of a grid, and the best of them more and more often.

Independent of the planner's search: no weights, no race, plain random draws instead of even ones, and its own
draws of what is unknown. It shares the scene that turns an intention into a priced ball.
"""

from __future__ import annotations

import numpy as np

from benchmarks.plan_stations import Place
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.planning.balls import CLEAN_PER_UNIT
from firstbounce.planning.contest import play_units
from firstbounce.planning.luck import Clean, Fortune, Missed
from firstbounce.planning.result import Choice, Plan
from firstbounce.planning.scene import Luck, Scene
from firstbounce.planning.search import Spot
from firstbounce.planning.unknowns import Unknowns
from firstbounce.planning.worlds import scene_of
from firstbounce.players.clubs import Club
from firstbounce.players.mishits import draw_noise
from firstbounce.shot.laws import N_SCATTER

WORLDS = 8192  #: draws of the unknowns in a search
ROUNDS = ((400, 48), (4000, 8), (25_000, 3))  #: balls a spot, and how many spots stay for the next round


def brute_force(place: Place, fit: Fit, today: GreenToday, made: Plan) -> tuple[Spot, Spot]:
    """The best spot that a search over a grid finds, and the plan's own first choice."""
    rng = np.random.default_rng(99)
    scene = brute_scene(place, fit, today, rng, WORLDS)
    chosen = spot_of(scene, made.first)
    spots = [spot for club in scene.bag for spot in _grid(scene, club)]
    for balls, stay in ROUNDS:
        cost = _costs(scene, spots, balls, rng)
        spots = [spots[k] for k in np.argsort(cost)[:stay]]
        if balls == ROUNDS[0][0]:
            spots = spots + [near for spot in spots[:12] for near in _around(scene, spot)]
    return spots[0], chosen


def played_cost(
    place: Place, fit: Fit, today: GreenToday, pair: tuple[Spot, Spot], draws: int, lot: int = 50_000
) -> tuple[float, float]:
    """Mean strokes by which the first of a pair is dearer, and its standard error; `draws` balls each."""
    rng = np.random.default_rng(7)
    differences = []
    for _ in range(max(1, draws // lot)):
        units = max(1, lot // (CLEAN_PER_UNIT + 1))
        scene = brute_scene(place, fit, today, rng, units)
        fortune = random_fortune(rng, units, fit.assumed.tail)
        one, other = (play_units(scene, spot, fortune, 0, units).cost for spot in pair)
        differences.append(one - other)
    all_units = np.concatenate(differences)
    return float(all_units.mean()), float(all_units.std() / np.sqrt(len(all_units)))


def brute_scene(place: Place, fit: Fit, today: GreenToday, rng: np.random.Generator, worlds: int) -> Scene:
    """The scene with its own plain random draws of the unknowns."""
    scene = scene_of(place.station, fit=fit, today=today, ground=place.ground, rng=rng)
    draws = fit.draws(rng, worlds, place.station.lie)
    return scene.with_unknowns(Unknowns.of(draws, len(scene.grounds)))


def random_fortune(rng: np.random.Generator, units: int, tail: float) -> Fortune:
    """Plain random luck in place of the even draws."""
    n = CLEAN_PER_UNIT * units
    return Fortune(
        Clean(rng.standard_normal((n, 2)), _luck(rng, n, tail)),
        Missed(draw_noise(rng, units), _luck(rng, units, tail)),
    )


def _luck(rng: np.random.Generator, n: int, tail: float) -> Luck:
    from firstbounce.planning.luck import SIZES

    return Luck(rng.standard_normal((n, N_SCATTER)) * SIZES, rng.standard_t(tail, n))


def spot_of(scene: Scene, choice: Choice) -> Spot:
    """A plan's choice as a spot."""
    dx, dy = choice.spot[0] - scene.start[0], choice.spot[1] - scene.start[1]
    length = choice.putt_length_m if choice.is_putt else float(np.hypot(dx, dy))
    club = scene.player.bag.club(choice.club)
    return Spot(club, float(length or 0.0), float(np.arctan2(dx, dy)), choice.strokes.value, 0)


def _grid(scene: Scene, club: Club) -> list[Spot]:
    far = scene.distance
    lengths = np.geomspace(0.7, 3.0, 16) * far if club.is_putter else np.geomspace(1.0, far + 1.0, 18)
    turns = scene.bearing + np.radians(np.arange(-12, 12.1, 3))
    return [Spot(club, float(length), float(turn), 0.0, 0) for length in lengths for turn in turns]


def _around(scene: Scene, spot: Spot) -> list[Spot]:
    steps = [(a, b) for a in (-0.06, 0.0, 0.06) for b in (-1.5, 0.0, 1.5) if (a, b) != (0.0, 0.0)]
    return [
        Spot(spot.club, spot.carry * (1 + a), spot.azimuth + float(np.radians(b)), 0.0, 0) for a, b in steps
    ]


def _costs(scene: Scene, spots: list[Spot], balls: int, rng: np.random.Generator) -> np.ndarray:
    """Mean cost of every spot with the same luck for all."""
    units = max(1, balls // (CLEAN_PER_UNIT + 1))
    fortune = random_fortune(rng, units, scene.run_tail)
    return np.array([play_units(scene, spot, fortune, 0, units).cost.mean() for spot in spots])
