"""A level green, a player, and balls that follow the fitted law exactly but for stated scatter."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.predict import forecast
from firstbounce.fitting.result import Fit
from firstbounce.fitting.shots import shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.clubs import Bag, Club
from firstbounce.players.player import Player, player_of_level
from firstbounce.words import Ball, Estimate, Level, Lie, Point, Source

START, HOLE = Point(0.0, 0.0), Point(0.0, 18.0)
LOFTS = {"7i": 34.0, "9i": 42.0, "PW": 46.0, "SW": 56.0}


@dataclass(frozen=True)
class Green:
    """Where and by whom the balls of these tests are hit."""

    ground: Ground
    today: GreenToday
    player: Player

    def truth(self, *, ln_firmness: float = 0.0, lean_deg: float = 0.0) -> Fit:
        """A fit that holds these unknowns as if they were known."""
        usual = prior_fit(self.player, self.today)
        theta = usual.theta.copy()
        theta[0], theta[2] = ln_firmness, lean_deg
        return replace(usual, theta=theta)

    def balls(
        self,
        rng: np.random.Generator,
        truth: Fit,
        plan: dict[str, int],
        scatter: float = 0.08,
        lie: Lie | None = None,
    ) -> list[Ball]:
        """Balls of the truth: meant for 4 to 8 m, landed with spread, run with scatter, placed with error."""
        clubs = [club for club, n in plan.items() for _ in range(n)]
        n = len(clubs)
        aims = rng.uniform(4, 8, n)
        landed = np.column_stack([rng.normal(0, 0.3, n), aims + rng.normal(0, 0.8, n)])
        spots = [Point(*map(float, place)) for place in landed]
        lies = [lie or Lie()] * n
        seen = forecast(truth, self.ground, shots_of(self.player, clubs, [START] * n, spots, lies))
        way = (seen.finish - landed) * np.exp(scatter * rng.normal(size=n))[:, None]
        finished = landed + way + rng.normal(0, 0.25, (n, 2))
        placed = landed + rng.normal(0, 0.25, (n, 2))
        return [
            Ball(
                id=f"{club}-{i}",
                club=club,
                lie=lies[i],
                start=START,
                hole=HOLE,
                aim=Point(0.0, float(aims[i])),
                landed=Point(*map(float, placed[i])),
                finished=Point(*map(float, finished[i])),
            )
            for i, club in enumerate(clubs)
        ]


@pytest.fixture(scope="session")
def green() -> Green:
    bag = Bag(tuple(Club(name=name, loft_deg=loft) for name, loft in LOFTS.items()))
    return Green(
        ground=Ground.level((-30.0, 30.0, -10.0, 90.0)),
        today=GreenToday(stimp_ft=Estimate(value=9.5, sd=0.4, source=Source.MEASURED, n=6)),
        player=player_of_level(Level.TEN_TO_EIGHTEEN, bag=bag),
    )


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(20)
