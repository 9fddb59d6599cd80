"""Fit a day: from the balls logged beside a green to what is known of the green and the player."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.predict import mean_run
from firstbounce.fitting.result import Fit, Known
from firstbounce.planning.worlds import air_today
from firstbounce.services.day import Day
from firstbounce.words import Lie

SHOWN_CARRIES_M = (5.0, 10.0)  #: carries for which the fit tells the run of each club


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubRun:
    """Mean run of one club at one carry on a level green of today, with its 90 % interval."""

    club: str
    loft_deg: float
    carry_m: float
    run_m: float
    low_m: float
    high_m: float
    balls: int  #: balls hit with this club

    def to_dict(self) -> dict[str, Any]:
        """Keys with units."""
        return {
            "club": self.club,
            "loft_deg": self.loft_deg,
            "carry_m": self.carry_m,
            "run_m": self.run_m,
            "run_low_m": self.low_m,
            "run_high_m": self.high_m,
            "balls": self.balls,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedDay:
    """A fit with what it means for each club."""

    fit: Fit
    runs: tuple[ClubRun, ...]

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
            "runs": [run.to_dict() for run in self.runs],
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


def usual_fit(day: Day) -> Fit:
    """What is usual for this player on this day, without balls."""
    return prior_fit(day.player, day.today)


def with_runs(day: Day, fitted: Fit, carries_m: tuple[float, ...] = SHOWN_CARRIES_M) -> FittedDay:
    """The fit, and what it says of each club's run on level ground."""
    clubs = day.player.bag.lofted
    runs = []
    for carry in carries_m:
        told = mean_run(
            fitted, [club.name for club in clubs], carry, Lie(wet=fitted.wet), air=air_today(day.today)
        )
        for k, club in enumerate(clubs):
            low, high = told.mean_90[k]
            runs.append(
                ClubRun(
                    club=club.name,
                    loft_deg=club.loft_deg,
                    carry_m=carry,
                    run_m=float(told.run[k]),
                    low_m=float(low),
                    high_m=float(high),
                    balls=fitted.n_by_club.get(club.name, 0),
                )
            )
    return FittedDay(fit=fitted, runs=tuple(runs))
