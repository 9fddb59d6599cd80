"""The plan of a station: which club, where to land it, and why. See docs/plan.md."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from firstbounce.errors import CannotPlan
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground, hole_fault, start_fault
from firstbounce.planning.draws import generator, seed_of
from firstbounce.planning.habit import aim_off, habit_text
from firstbounce.planning.prices import Prices
from firstbounce.planning.ranking import (
    STAYS,
    Effort,
    Progress,
    Ranked,
    choices_of,
    rank,
    reason_of,
    stays_of,
    warning_of,
)
from firstbounce.planning.result import Certainty, Choice, Plan
from firstbounce.planning.scene import Scene
from firstbounce.planning.sentences import Say, certainty_of, length_text
from firstbounce.planning.worlds import scene_of
from firstbounce.players.player import Player
from firstbounce.shot.laws import Laws
from firstbounce.units import LengthUnit
from firstbounce.words import Station

NEAREST = 0.5  #: a hole nearer than this is a tap-in, no station [m]
FURTHEST = 70.0  #: the short game ends here [m]


def plan(
    station: Station,
    *,
    player: Player,
    today: GreenToday,
    ground: Ground,
    fit: Fit | None = None,
    seed: int | None = None,
    laws: Laws | None = None,
    prices: Prices | None = None,
    flagstick: bool = False,
    effort: Effort | None = None,
    unit: LengthUnit = LengthUnit.METRES,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Rank every club of the bag, each at its best landing spot, by expected strokes to hole out.

    Without a fit the player and the day are the usual ones for what is stated. The seed is a hash of the
    inputs unless given, so the same inputs give the same plan. `progress` is told a share from 0 to 1;
    `cancelled` is asked every 100 ms or so. `unit` is that of the sentences only. CannotPlan says what makes
    a plan impossible.
    """
    _check(station, ground, player)
    known = fit or prior_fit(player, today)
    seed = plan_seed(station, known, today, ground) if seed is None else seed
    rng = generator(seed)
    scene = scene_of(
        station,
        fit=known,
        today=today,
        ground=ground,
        rng=rng,
        laws=laws,
        prices=prices,
        flagstick=flagstick,
        cancelled=cancelled,
    )
    ranked = rank(scene, rng, effort or Effort(), progress)
    return told(station, scene, ranked, known, seed, partial(length_text, unit=unit))


def plan_seed(station: Station, fit: Fit, today: GreenToday, ground: Ground) -> int:
    """The seed of a plan: a hash of everything it rests on."""
    arrays = ground.compiled()
    ground_parts = tuple(part for part in arrays)
    return seed_of(
        station.start,
        station.hole,
        station.lie,
        fit.player,
        fit.theta,
        fit.covariance,
        fit.landing.values,
        fit.ln_scatter,
        today,
        ground_parts,
    )


def _check(station: Station, ground: Ground, player: Player) -> None:
    fault = start_fault(ground, station.start) or hole_fault(ground, station.hole)
    if fault:
        raise CannotPlan(fault)
    far = float(np.hypot(station.hole.x_m - station.start.x_m, station.hole.y_m - station.start.y_m))
    if not NEAREST <= far <= FURTHEST:
        raise CannotPlan(
            f"The hole is {far:.1f} m from the ball: a plan is for {NEAREST:g} to {FURTHEST:g} m."
        )
    if not player.bag.lofted:
        raise CannotPlan("The bag holds no lofted club: add at least one to plan a chip.")


def told(station: Station, scene: Scene, ranked: Ranked, fit: Fit, seed: int, say: Say) -> Plan:
    """The plan that a ranking makes, with its sentences."""
    choices, off = choices_of(scene, ranked), aim_off(fit)
    putt = choices[0].is_putt
    return Plan(
        station=station,
        player=fit.player.name,
        choices=choices,
        reason=reason_of(scene, ranked, choices, say),
        certainty=certainty_in(choices),
        stops_on_green=stays_of(ranked) >= STAYS,
        warning=warning_of(scene, ranked, choices, say),
        learned_from=fit.n_balls if fit.verdict == "fitted" else 0,
        seed=seed,
        left_out=_left_out(scene),
        habit="" if putt else habit_text(off, ranked.entries[0].spot.carry, say),
        aim_off=off,
    )


def certainty_in(choices: tuple[Choice, ...]) -> Certainty:
    """How sure it is that the first choice (or one equal to it) beats the next best."""
    rest = [choice for choice in choices if not choice.equal]
    return certainty_of(min(choice.beaten for choice in rest)) if rest else "hunch"


def _left_out(scene: Scene) -> tuple[str, ...]:
    used = {club.name for club in scene.bag}
    return tuple(
        f"{club.name}: no putting from {scene.lie.kind}"
        for club in scene.player.bag.clubs
        if club.name not in used
    )
