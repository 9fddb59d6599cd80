"""A plan when nothing was measured: the choice that holds up over all likely greens. See docs/plan.md."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

import numpy as np

from firstbounce.errors import CannotPlan
from firstbounce.fitting.fit import prior_fit
from firstbounce.planning.asked import Unmeasured
from firstbounce.planning.draws import generator, seed_of
from firstbounce.planning.landing import Floats
from firstbounce.planning.learning import best_test, options_of, worth_of_inputs
from firstbounce.planning.plan import told
from firstbounce.planning.ranking import Effort, Progress, Ranked, head_of, rank
from firstbounce.planning.result import Choice, Plan, Span
from firstbounce.planning.rough import Reading, RoughChoice, RoughPlan, TestBalls
from firstbounce.planning.rough_words import PACE_M, answer_text, how_text, reading_text, test_text
from firstbounce.planning.scene import Scene
from firstbounce.planning.sentences import paces_text
from firstbounce.planning.summary import Entry, bad_day_strokes
from firstbounce.planning.worlds import scene_of
from firstbounce.players.clubs import MEASURED_LOFT_SD_DEG
from firstbounce.players.delivery import CLUB_LEAN_SD_DEG
from firstbounce.players.player import player_of_level

UNITS = 512  #: worlds in which readings and test balls are weighed [choice]


def plan_unmeasured(
    asked: Unmeasured,
    *,
    pace_m: float = PACE_M,
    seed: int | None = None,
    effort: Effort | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> RoughPlan:
    """The choice with the fewest expected strokes over all greens, slopes and players that are likely.

    Also the one reading whose knowledge would save most, and the three test balls that would.
    """
    if not 0.4 <= pace_m <= 1.5:
        raise CannotPlan(f"A pace is 0.4 to 1.5 m, got {pace_m:g}.")
    seed = seed_of(asked) if seed is None else seed
    rng = generator(seed)
    player = player_of_level(asked.level, hand=asked.hand, bag=asked.bag)
    known = prior_fit(player, asked.today)
    scene = scene_of(
        asked.station, fit=known, today=asked.today, ground=asked.ground, rng=rng, cancelled=cancelled
    )
    ranked = rank(scene, rng, effort or Effort(), None if progress is None else _share(progress, 0.6))
    options = options_of(scene, ranked, rng, UNITS)
    worth = worth_of_inputs(options, readable_inputs(scene, rng))
    test = best_test(scene, ranked, options, rng)
    if progress is not None:
        progress(1.0)
    plan = told(asked.station, scene, ranked, known, seed, partial(paces_text, pace=pace_m))
    return _rough(scene, ranked, plan, worth, test, pace_m)


def _share(progress: Progress, of: float) -> Progress:
    return lambda share: progress(of * share)


def readable_inputs(scene: Scene, rng: np.random.Generator) -> dict[str, Floats]:
    """What could be read before choosing, in each world: (worlds,) or (worlds, k)."""
    unknowns = scene.unknowns
    hole = (scene.hole.x, scene.hole.y)
    climb = np.array(
        [_along(scene, *(float(g) for g in ground.surface.gradient(*hole))) for ground in scene.grounds]
    )
    inputs = {
        "green speed": np.log(unknowns.deceleration),
        "firmness": np.log(unknowns.firmness),
        "slope": climb[unknowns.ground],
    }
    lofts = _loft_errors(scene, rng)
    return inputs if lofts is None else {**inputs, "lofts": lofts}


def _along(scene: Scene, gx: float, gy: float) -> float:
    return gx * float(np.sin(scene.bearing)) + gy * float(np.cos(scene.bearing))


def _loft_errors(scene: Scene, rng: np.random.Generator) -> Floats | None:
    """What the lofts are off from those stated (worlds, clubs) [deg]: drawn from each club's whole departure.

    The part of a club's delivery that all clubs share is the player's, not the loft's, so it is taken off.
    """
    clubs = [club for club in scene.bag if not club.is_putter and club.loft_sd_deg > MEASURED_LOFT_SD_DEG]
    if not clubs:
        return None
    whole = np.column_stack([scene.unknowns.loft_deg[club.name] for club in clubs])
    own = whole - whole.mean(axis=1, keepdims=True)
    loft_sd = np.array([club.loft_sd_deg for club in clubs])
    share = loft_sd**2 / (loft_sd**2 + CLUB_LEAN_SD_DEG**2)
    noise = np.sqrt(share * (1 - share)) * np.hypot(loft_sd, CLUB_LEAN_SD_DEG)
    return share * own + noise * rng.standard_normal(own.shape)


def _rough(
    scene: Scene,
    ranked: Ranked,
    plan: Plan,
    worth: Mapping[str, float],
    test: TestBalls | None,
    pace_m: float,
) -> RoughPlan:
    readings = tuple(
        Reading(name=name, worth_strokes=saved, how=how_text(name)) for name, saved in worth.items()
    )
    choices = tuple(
        _rough_choice(choice, entry, pace_m)
        for choice, entry in zip(plan.choices, ranked.entries, strict=True)
    )
    head = head_of(scene, ranked.entries[0], plan.first, partial(paces_text, pace=pace_m))
    return RoughPlan(
        plan=plan,
        choices=choices,
        pace_m=pace_m,
        answer=answer_text(head, choices, pace_m),
        readings=readings,
        reading_advice=reading_text(readings),
        test_balls=test,
        test_advice=test_text(test, pace_m),
    )


def _rough_choice(choice: Choice, entry: Entry, pace_m: float) -> RoughChoice:
    return RoughChoice(
        choice=choice,
        bad_day_strokes=bad_day_strokes(entry),
        carry_paces=_paces(choice.carry_m, pace_m),
        run_paces=_paces(choice.run_m, pace_m),
    )


def _paces(span: Span, pace_m: float) -> tuple[int, int]:
    """A range in whole paces, outward."""
    return int(span.low // pace_m), int(-(-span.high // pace_m))
