"""Logged balls to the day and the player, with their uncertainty. See docs/fit.md."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.fitting.assumptions import Assumptions
from firstbounce.fitting.evidence import seen_of, strokes_of
from firstbounce.fitting.forward import World, check_reached, deceleration
from firstbounce.fitting.landing import UNTAGGED, LandingFit, Landings, fit_landings, landing_prior
from firstbounce.fitting.layout import Belief, Layout
from firstbounce.fitting.likelihood import NOTHING
from firstbounce.fitting.result import Z90, Fit, Suspect
from firstbounce.fitting.shots import Shots, landings_of, sort_out
from firstbounce.fitting.slope import UnsureSlope, slope_of
from firstbounce.fitting.solve import Seen, Solution, solve
from firstbounce.fitting.verdict import FEWEST_BALLS, Judged, judge
from firstbounce.fitting.weigh import weigh
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.player import Player
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Strike, Tally

Floats = NDArray[np.float64]

ROUNDS = 2  #: times that landing and run tell each other which balls were mishits
SUSPECT = 0.5  #: an untagged ball more likely than this to be a mishit is named


def prior_fit(player: Player, today: GreenToday, assumed: Assumptions | None = None) -> Fit:
    """What is usual for this player on this day, without any ball: same shape as a fit."""
    assumed = assumed or Assumptions()
    layout = _layout(player)
    mean, sd = landing_prior(player, assumed.share_strength)
    belief = layout.belief(today, player, assumed)
    return Fit(
        player=player,
        today=today,
        layout=layout,
        assumed=assumed,
        theta=belief.mean,
        covariance=belief.covariance,
        ln_scatter=(assumed.ln_scatter, assumed.scatter_sd),
        ln_scatter_90=(
            assumed.ln_scatter - Z90 * assumed.scatter_sd,
            assumed.ln_scatter + Z90 * assumed.scatter_sd,
        ),
        landing=LandingFit(mean, np.diag(sd**2), np.zeros(0), 0),
        verdict="prior only",
        n_by_club={},
        n_by_lie={},
        wet=today.wet,
    )


def fit(
    balls: Sequence[Ball],
    tallies: Sequence[Tally] = (),
    *,
    today: GreenToday,
    ground: Ground,
    player: Player,
    air: AirSpec | None = None,
    laws: Laws | None = None,
    assumed: Assumptions | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Fit:
    """The day and the player from balls and tallies of one day on one ground.

    CannotEstimate when there is no ball that says anything. Fewer than three known runs leave the green as
    read ("prior only"); balls that fit no day and player give "balls disagree" and the usual values.
    """
    assumed = assumed or Assumptions()
    kept, fine, aside = sort_out(balls, tallies, player, today.wet)
    if not kept and not fine:
        raise CannotEstimate(_nothing(len(balls) + len(tallies), aside[0].reason if aside else None))
    world = World(ground.compiled(), today, player, _layout(player), air or AirSpec(), laws or Laws())
    _check_on_map(ground, [*kept, *fine])
    landings, shots = landings_of(kept, fine), strokes_of(kept, fine, player)
    slope = slope_of(ground, shots.spot, today.stimp_ft.value)
    prior = world.layout.belief(
        today, player, replace(assumed, law_sd=float(np.hypot(assumed.law_sd, slope.along)))
    )
    landing, solution, seen = _alternate(world, kept, fine, landings, shots, prior, assumed, slope, cancelled)
    check_reached(shots, solution.at.reached)
    sessions = [ball.session for ball in kept] + [tally.session for tally in fine]
    judged = judge(solution, seen, prior, landings.tag == UNTAGGED, sessions)
    usual = prior_fit(player, today, assumed)
    answer = replace(
        usual,
        landing=landing,
        verdict=judged.verdict,
        suspects=_suspects([*kept, *fine], landing, solution),
        set_aside=aside,
        remarks=judged.remarks,
    )
    if judged.verdict == "fitted":
        solution = weigh(world, shots, seen, landing.log_odds, prior, assumed, solution)
    return _with_day(answer, world, shots, seen, solution, judged)


def _layout(player: Player) -> Layout:
    if not player.bag.lofted:
        raise ParameterError("The bag holds no lofted club, so there is nothing to fit.")
    return Layout(player.bag.lofted)


def _nothing(n: int, reason: str | None) -> str:
    if n == 0:
        return "There are no balls to learn from: log at least three, with two clubs."
    return f"None of the {n} balls can be used; the first was {reason}." if reason else "No ball can be used."


def _check_on_map(ground: Ground, strokes: Sequence[Ball | Tally]) -> None:
    for stroke in strokes:
        if not ground.holds(stroke.start):
            raise ParameterError(f"Ball {stroke.id} was hit from outside the map of the green.")


def _alternate(
    world: World,
    balls: Sequence[Ball],
    tallies: Sequence[Tally],
    landings: Landings,
    shots: Shots,
    prior: Belief,
    assumed: Assumptions,
    slope: UnsureSlope,
    cancelled: Callable[[], bool] | None,
) -> tuple[LandingFit, Solution, Seen]:
    """Landing and run fitted in turn: each says how likely every ball was a mishit."""
    green = float(deceleration(world.today.stimp_ft.value))
    evidence, guess = np.zeros(len(landings)), None
    for _ in range(ROUNDS):
        landing = fit_landings(landings, world.player, assumed.share_strength, evidence)
        seen = seen_of(balls, tallies, landing, green, slope.across)
        solution = solve(
            world, shots, seen, landing.log_odds, prior, assumed, guess=guess, cancelled=cancelled
        )
        evidence, guess = solution.evidence, solution.theta
    return landing, solution, seen


def _suspects(
    strokes: Sequence[Ball | Tally], landing: LandingFit, solution: Solution
) -> tuple[Suspect, ...]:
    odds = np.clip(landing.log_odds + solution.evidence, -30, 30)
    chance = 1 / (1 + np.exp(-odds))
    return tuple(
        Suspect(stroke.id, float(p))
        for stroke, p in zip(strokes, chance, strict=True)
        if p > SUSPECT and stroke.strike in (None, Strike.CLEAN)
    )


def _with_day(answer: Fit, world: World, shots: Shots, seen: Seen, solution: Solution, judged: Judged) -> Fit:
    """The fit with what the runs said of the day; a verdict other than fitted leaves the day as read."""
    known = (seen.finishes.kind != NOTHING) & solution.at.reached
    names = [club.name for club in world.layout.clubs]
    n_by_club = {name: int(known[shots.club == k].sum()) for k, name in enumerate(names)}
    n_by_lie = {int(g): int(known[shots.group == g].sum()) for g in np.unique(shots.group)}
    counted = replace(answer, n_by_club={k: n for k, n in n_by_club.items() if n}, n_by_lie=n_by_lie)
    if judged.verdict != "fitted" or int(known.sum()) < FEWEST_BALLS:
        return counted
    return replace(
        counted,
        theta=solution.theta,
        covariance=solution.covariance,
        ln_scatter=(solution.ln_scatter, solution.ln_scatter_sd),
        ln_scatter_90=solution.ln_scatter_90,
    )
