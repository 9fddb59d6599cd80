"""The chart: how far each club carries and then runs for this player on today's green."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from firstbounce.errors import CannotPlan
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.predict import mean_run
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.planning.result import Span
from firstbounce.planning.worlds import air_today
from firstbounce.players.player import Player
from firstbounce.words import Lie

CARRIES_M = (3.0, 5.0, 8.0, 12.0, 16.0)  #: carries of a chart when nobody names others
LONGEST_M = 60.0  #: carry and run together beyond this are no short game [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One club at one carry on a level green of today's speed and firmness."""

    club: str
    loft_deg: float
    carry_m: float
    run_m: Span  #: the average run, and how well it is known
    ball_run_m: Span  #: the run of single clean strikes, nine of ten
    balls: int  #: balls with this club that the row rests on

    @property
    def total_m(self) -> float:
        """Carry and run together."""
        return self.carry_m + self.run_m.value

    @property
    def ratio(self) -> float:
        """Run over carry."""
        return self.run_m.value / self.carry_m

    def to_dict(self) -> dict[str, Any]:
        return {
            "club": self.club,
            "loft_deg": self.loft_deg,
            "carry_m": self.carry_m,
            "run": self.run_m.to_dict("m"),
            "ball_run": self.ball_run_m.to_dict("m"),
            "total_m": self.total_m,
            "run_over_carry": self.ratio,
            "balls": self.balls,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Rows by club, most run first, then by carry."""

    player: str
    rows: tuple[ChartRow, ...]
    stimp_ft: Span
    firmness: Span
    learned_from: int  #: balls that the chart rests on

    def to_dict(self) -> dict[str, Any]:
        return {
            "player": self.player,
            "stimp": self.stimp_ft.to_dict("ft"),
            "firmness": self.firmness.to_dict(),
            "learned_from_balls": self.learned_from,
            "rows": [row.to_dict() for row in self.rows],
        }


def chart(
    player: Player,
    today: GreenToday,
    *,
    fit: Fit | None = None,
    carries_m: Sequence[float] = CARRIES_M,
    lie: Lie | None = None,
) -> Chart:
    """Carry and run of every lofted club, for the carries that matter; `fit` makes it this player's own.

    Without a fit the player is what is usual for the level. CannotPlan when a carry is no chip or pitch.
    """
    if not carries_m or not all(0.5 <= carry <= 50 for carry in carries_m):
        raise CannotPlan("A chart needs at least one carry, and carries of 0.5 to 50 m.")
    known = fit or prior_fit(player, today)
    struck_from = lie or Lie(wet=known.wet)
    clubs = known.player.bag.lofted
    names = [club.name for club in clubs for _ in carries_m]
    carries = np.tile(np.asarray(carries_m, dtype=np.float64), len(clubs))
    runs = mean_run(known, names, carries, struck_from, air=air_today(today))
    rows = [
        ChartRow(
            club=names[k],
            loft_deg=known.player.bag.club(names[k]).loft_deg,
            carry_m=float(carries[k]),
            run_m=_span(runs.run[k], runs.mean_90[k]),
            ball_run_m=_span(runs.run[k], runs.ball_90[k]),
            balls=known.n_by_club.get(names[k], 0),
        )
        for k in range(len(names))
    ]
    return Chart(
        player=known.player.name,
        rows=tuple(row for row in rows if row.total_m <= LONGEST_M),
        stimp_ft=Span(value=known.stimp_ft.value, low=known.stimp_ft.low, high=known.stimp_ft.high),
        firmness=Span(value=known.firmness.value, low=known.firmness.low, high=known.firmness.high),
        learned_from=known.n_balls,
    )


def _span(value: float, ends: np.ndarray) -> Span:
    return Span(value=float(value), low=float(ends[0]), high=float(ends[1]))
