"""Plan stations of a day, with the balls logged so far or without any."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from firstbounce.errors import ParameterError
from firstbounce.fitting.result import Fit
from firstbounce.ground.slopes import SlopeWord
from firstbounce.planning.asked import Unmeasured
from firstbounce.planning.plan import plan
from firstbounce.planning.result import Plan
from firstbounce.planning.rough import RoughPlan
from firstbounce.planning.rough_words import PACE_M
from firstbounce.planning.unmeasured import plan_unmeasured
from firstbounce.services.day import Day
from firstbounce.units import LengthUnit
from firstbounce.words import Level, Lie, Station

Progress = Callable[[float], None]


def plan_station(
    day: Day,
    station: Station,
    *,
    fit: Fit | None = None,
    unit: LengthUnit = LengthUnit.METRES,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """The plan of one station: clubs and landing spots, ranked. CannotPlan says what makes it impossible."""
    return plan(
        station,
        player=day.player,
        today=day.today,
        ground=day.ground_at(station),
        fit=fit,
        unit=unit,
        progress=progress,
        cancelled=cancelled,
    )


def plan_stations(
    day: Day,
    names: Sequence[str] = (),
    *,
    fit: Fit | None = None,
    unit: LengthUnit = LengthUnit.METRES,
    progress: Progress | None = None,
) -> list[Plan]:
    """Plans of the stations named, of all when none is named."""
    stations = [day.station(name) for name in names] or [first_station(day), *list(day.stations.values())[1:]]
    plans = []
    for done, station in enumerate(stations):
        say = _part(progress, done, len(stations))
        plans.append(plan_station(day, station, fit=fit, unit=unit, progress=say))
    return plans


def asked_paced(
    *,
    level: Level,
    lie: Lie,
    to_edge_paces: float,
    edge_to_hole_paces: float,
    slope: SlopeWord | None = SlopeWord.LEVEL,
    pace_m: float = PACE_M,
) -> Unmeasured:
    """What was said of a station where nothing was measured but two paced distances."""
    return Unmeasured(
        level=level,
        lie=lie,
        to_edge_m=pace_m * to_edge_paces,
        edge_to_hole_m=pace_m * edge_to_hole_paces,
        slope=slope,
    )


def plan_paced(*, pace_m: float = PACE_M, progress: Progress | None = None, **said: Any) -> RoughPlan:
    """A plan from what `asked_paced` takes: what holds up over all likely greens."""
    return plan_unmeasured(asked_paced(pace_m=pace_m, **said), pace_m=pace_m, progress=progress)


def first_station(day: Day) -> Station:
    """The first station of the file. ParameterError when there is none."""
    if not day.stations:
        raise ParameterError(f"{day.path} has no station; add a [[station]] with name, start and hole.")
    return next(iter(day.stations.values()))


def _part(progress: Progress | None, done: int, of: int) -> Progress | None:
    """Progress of one piece of several."""
    return None if progress is None else lambda share: progress((done + share) / of)
