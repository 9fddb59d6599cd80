"""Sets of balls for the tests of the review: one station, a level green, everything in round numbers."""

from __future__ import annotations

import math

import numpy as np

from firstbounce.fitting.fit import prior_fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.player import player_of_level
from firstbounce.review.review import Review, review
from firstbounce.words import (
    Ball,
    Circle,
    Level,
    Lie,
    Point,
    Strike,
    Tally,
    TallyFinish,
    TallyLanding,
)

GROUND = Ground.level((-40.0, 40.0, -40.0, 40.0))
TODAY = GreenToday.of_words()
PLAYER = player_of_level(Level.TEN_TO_EIGHTEEN)
FIT = prior_fit(PLAYER, TODAY)


def some_balls(
    n,
    *,
    seed=1,
    turn=0.0,
    mirror=1.0,
    hole=14.0,
    strike=Strike.CLEAN,
    wide=1.0,
    long=0.0,
    right=0.0,
    far=13.0,
):
    """n balls from one station, turned about the start [rad] and mirrored, landings about (0, 6)."""
    rng = np.random.default_rng(seed)
    cos, sin = math.cos(turn), math.sin(turn)

    def put(x, y):
        x = mirror * x
        return Point(cos * x + sin * y, -sin * x + cos * y)

    return [
        Ball(
            id=str(i), club="PW", lie=Lie(), start=Point(0, 0), hole=put(0, hole), aim=put(0, 6),
            landed=put(right + wide * rng.normal(0, 0.4), long + 6 + wide * rng.normal(0, 0.8)),
            finished=put(rng.normal(0, 0.7), far + rng.normal(0, 1.2)), strike=strike, station="Gate",
        )
        for i in range(n)
    ]  # fmt: skip


def some_tallies(*kinds, start=0, radius=1.0, strike=None):
    """Tallies of (landing, finish, how many)."""
    made = []
    for landing, finish, n in kinds:
        for _ in range(n):
            made.append(
                Tally(
                    id=f"t{start + len(made)}", club="PW", lie=Lie(), start=Point(0, 0), hole=Point(0, 14),
                    circle=Circle(centre=Point(0, 6), radius_m=radius), landing=TallyLanding(landing),
                    finish=TallyFinish(finish), strike=strike, station="Gate",
                )
            )  # fmt: skip
    return made


def reviewed(balls, tallies=(), *, then=FIT, **more) -> Review:
    """The review on the level green."""
    return review(balls, tallies, then=then, ground=GROUND, rng=np.random.default_rng(0), **more)
