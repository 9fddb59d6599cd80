"""Fit a day: from the balls logged beside a green to what is known of the green and the player."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.fit import fit
from firstbounce.fitting.result import Fit, Known
from firstbounce.planning.chart import Chart, chart
from firstbounce.planning.worlds import air_today
from firstbounce.services.day import Day

SHOWN_CARRIES_M = (5.0, 10.0)  #: carries for which a fit tells the run of each club


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedDay:
    """A fit with what it means for each club."""

    fit: Fit
    chart: Chart

    def to_dict(self) -> dict[str, Any]:
        """The shape of `fit --json`."""
        fitted = self.fit
        known: dict[str, Known] = {
            "firmness": fitted.firmness,
            "stimp_ft": fitted.stimp_ft,
            "extra_lean_deg": fitted.lean_deg,
            "spread_floor_m": fitted.spread_floor_m,
            "spread_share": fitted.spread_share,
            "direction_deg": fitted.direction_deg,
            "carry_bias_share": fitted.carry_bias,
            "direction_bias_deg": fitted.direction_bias_deg,
            "mishit_share": fitted.mishit_share,
            "run_scatter_share": fitted.scatter,
        }
        return {
            "verdict": fitted.verdict,
            "balls": fitted.n_balls,
            "balls_by_club": dict(fitted.n_by_club),
            "known": {name: value.to_dict() for name, value in known.items()},
            "runs": [row.to_dict() for row in self.chart.rows],
            "perhaps_mishit": [{"id": one.id, "chance": one.probability} for one in fitted.suspects],
            "set_aside": [{"id": one.id, "reason": one.reason} for one in fitted.set_aside],
            "remarks": list(fitted.remarks),
        }


def fit_day(day: Day, logged: LoggedBalls, cancelled: Callable[[], bool] | None = None) -> Fit:
    """The fit of the day's balls. CannotEstimate when they say nothing."""
    return fit(
        logged.balls,
        logged.tallies,
        today=day.today,
        ground=day.ground,
        player=day.player,
        air=air_today(day.today),
        cancelled=cancelled,
    )


def with_chart(day: Day, fitted: Fit) -> FittedDay:
    """The fit, and what it says of each club's run on level ground."""
    return FittedDay(fit=fitted, chart=chart(day.player, day.today, fit=fitted, carries_m=SHOWN_CARRIES_M))
