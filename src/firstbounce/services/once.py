"""Fits and plans that this process has made: asked for the same again, they are not worked out anew.

The same inputs always give the same fit and the same plan, so that what is kept is what would come out. A
player's guide, log sheet and card rest on one fit and one plan.
"""

from __future__ import annotations

from collections.abc import Callable

from firstbounce.files.balls import LoggedBalls
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.planning.draws import seed_of
from firstbounce.planning.plan import plan_seed
from firstbounce.planning.result import Plan
from firstbounce.services.day import Day
from firstbounce.services.fit import fit_day
from firstbounce.services.plan import plan_station
from firstbounce.services.remembered import Remembered
from firstbounce.units import LengthUnit
from firstbounce.words import Station

MOST = 32  #: answers of a kind that are kept
Cancel = Callable[[], bool]

_fits: Remembered[Fit] = Remembered(MOST)
_plans: Remembered[Plan] = Remembered(MOST)


def fit_once(day: Day, logged: LoggedBalls, cancelled: Cancel | None = None) -> Fit:
    """`fit_day`, from what is kept when these balls were learned from before."""
    key = seed_of(
        day.file.model_dump_json(),
        tuple(day.stations.values()),
        day.today,
        day.player,
        repr(logged),
    )
    return _fits.get(key, lambda: fit_day(day, logged, cancelled))


def plan_once(
    day: Day,
    station: Station,
    *,
    fit: Fit | None = None,
    unit: LengthUnit = LengthUnit.METRES,
    cancelled: Cancel | None = None,
) -> Plan:
    """`plan_station`, from what is kept when this station was planned before with the same knowledge."""
    known = fit or prior_fit(day.player, day.today)
    seed = plan_seed(station, known, day.today, day.ground_at(station))
    key = seed_of(seed, day.file.model_dump_json(), station, str(unit), known.verdict, known.n_balls)
    return _plans.get(key, lambda: plan_station(day, station, fit=fit, unit=unit, cancelled=cancelled))


def forget() -> None:
    """Nothing is kept any more: the next fit and the next plan are worked out."""
    _fits.forget()
    _plans.forget()
