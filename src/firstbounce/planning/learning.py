"""What is worth learning before choosing: single readings, and three test balls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from firstbounce.planning.contest import errors_of, play_units
from firstbounce.planning.information import spread_of_expected, worth_of_knowing
from firstbounce.planning.landing import Floats
from firstbounce.planning.luck import Fortune, clean_luck
from firstbounce.planning.ranking import Ranked
from firstbounce.planning.result import Span
from firstbounce.planning.rough import TestBalls
from firstbounce.planning.scene import Luck, Scene
from firstbounce.planning.search import Spot
from firstbounce.planning.summary import Z90
from firstbounce.shot.laws import N_SCATTER

SHIFTS = (-1.2, -0.6, 0.0, 0.6, 1.2)  #: spots that knowledge might move to, in spreads along
CLUBS = 4  #: leading clubs whose choice might change
BALLS = 3  #: test balls [choice: as many as a coach will wait for]


@dataclass(frozen=True, slots=True)
class Options:
    """Everything that could be chosen once more is known: costs (worlds, options) on the same luck."""

    spots: tuple[Spot, ...]
    costs: Floats


def options_of(scene: Scene, ranked: Ranked, rng: np.random.Generator, units: int) -> Options:
    """The leading clubs at their spots and at spots nearer and farther, played with the same luck."""
    spots = [spot for entry in ranked.entries[:CLUBS] for spot in _shifted(scene, entry.spot)]
    fortune = Fortune.draw(rng, units, scene.run_tail)
    costs = [play_units(scene, spot, fortune, 0, units).cost for spot in spots]
    return Options(tuple(spots), np.column_stack(costs))


def _shifted(scene: Scene, spot: Spot) -> list[Spot]:
    errors = errors_of(scene, spot)
    step = float(errors.sd_long(np.asarray(spot.carry)))
    moved = [replace(spot, carry=spot.carry + shift * step) for shift in SHIFTS]
    return [one for one in moved if one.carry > 0.5]


def worth_of_inputs(options: Options, inputs: Mapping[str, Floats]) -> dict[str, float]:
    """Strokes that knowing each input would save, most worthwhile first; inputs (worlds,) or (worlds, k)."""
    n = len(options.costs)
    worth = {
        name: worth_of_knowing(options.costs, known[np.arange(n) % len(known)])
        for name, known in inputs.items()
    }
    return dict(sorted(worth.items(), key=lambda item: -item[1]))


def best_test(scene: Scene, ranked: Ranked, options: Options, rng: np.random.Generator) -> TestBalls | None:
    """The club and spot whose three balls would save most; None when only a putter is in the bag."""
    spots = [entry.spot for entry in ranked.entries if not entry.spot.club.is_putter][:CLUBS]
    tests = [_test_of(scene, spot, options, rng) for spot in spots]
    return max(tests, key=lambda test: test.worth_strokes, default=None)


def _test_of(scene: Scene, spot: Spot, options: Options, rng: np.random.Generator) -> TestBalls:
    n = len(options.costs)
    seen = _runs_seen(scene, spot, n, rng).mean(axis=1)
    still = Luck(np.zeros((n, N_SCATTER)), np.zeros(n))
    mean = _ln_runs(scene, spot, np.arange(n) % len(scene.unknowns), still)
    before = float(mean.std())
    after = float(np.sqrt(max(before**2 - spread_of_expected(mean, seen) ** 2, 0.0)))
    middle = float(np.median(mean))
    place = scene.places(np.array([spot.carry]), np.array([spot.azimuth]))[0]
    return TestBalls(
        club=spot.club.name,
        balls=BALLS,
        spot_m=(round(float(place[0]), 2), round(float(place[1]), 2)),
        carry_m=spot.carry,
        worth_strokes=worth_of_knowing(options.costs, seen),
        run_before_m=_run_span(middle, before),
        run_after_m=_run_span(middle, after),
    )


def _runs_seen(scene: Scene, spot: Spot, worlds: int, rng: np.random.Generator) -> Floats:
    """ln run (worlds, 3) of test balls that land on their spot, by the ground's luck and the ball's own."""
    luck = clean_luck(rng, BALLS * worlds, scene.run_tail).luck
    world = np.repeat(np.arange(worlds) % len(scene.unknowns), BALLS)
    return _ln_runs(scene, spot, world, luck).reshape(worlds, BALLS)


def _ln_runs(scene: Scene, spot: Spot, world: np.ndarray, luck: Luck) -> Floats:
    n = len(world)
    balls = scene.clean(spot.club, np.full(n, spot.carry), np.full(n, spot.azimuth), world, luck)
    return np.log(np.maximum(balls.run, 0.05))


def _run_span(middle: float, sd: float) -> Span:
    low, value, high = (float(np.exp(middle + z * sd)) for z in (-Z90, 0.0, Z90))
    return Span(value=value, low=low, high=high)
