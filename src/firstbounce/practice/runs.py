"""How far balls run after they land, for set-ups: from the player's chart, or what is usual.

Usual values are our model's for a level green of medium speed (8.5 ft) and medium firmness, middle level
(a snapshot; a test holds them to the model). They set where a hole or a second circle goes, nothing finer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.planning.chart import Chart
from firstbounce.players.clubs import Bag, Club

REFERENCE_M = 8.0  #: carry at which the run over carry is stated [m]
LOFTS_DEG = (34.0, 38.0, 42.0, 46.0, 50.0, 56.0, 60.0)
USUAL_RATIO = (2.77, 2.25, 1.82, 1.47, 1.10, 0.70, 0.48)  #: run over carry at 8 m, by LOFTS_DEG
USUAL_POWER = (-0.39, -0.40, -0.43, -0.46, -0.51, -0.61, -0.81)  #: of carry, by LOFTS_DEG
LOW_LOFT_DEG, MIDDLE_LOFT_DEG, HIGH_LOFT_DEG = 38.0, 46.0, 56.0  #: clubs a drill calls low, usual, high


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLaw:
    """Run over carry of one club: ratio at 8 m, times (carry / 8 m) to a power."""

    club: str
    loft_deg: float
    ratio: float
    power: float

    def total_m(self, carry_m: float) -> float:
        """Carry and run together [m]."""
        return carry_m * (1 + self.ratio * (carry_m / REFERENCE_M) ** self.power)

    def carry_for(self, total_m: float) -> float:
        """The carry [m] after which the ball stops this far from its start [m]."""
        low, high = 0.0, total_m
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.total_m(max(middle, 1e-9)) < total_m else (low, middle)
        return 0.5 * (low + high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """Run laws of a bag and what they rest on."""

    laws: tuple[RunLaw, ...]
    n: int = 0  #: balls behind them

    def __post_init__(self) -> None:
        if not self.laws:
            raise ParameterError("A set-up needs at least one lofted club in the bag.")

    def nearest(self, loft_deg: float) -> RunLaw:
        """The club whose loft is nearest."""
        return min(self.laws, key=lambda law: abs(law.loft_deg - loft_deg))

    @property
    def rests_on(self) -> str:
        """Said to the coach."""
        return f"learned from {self.n} balls" if self.n else "typical for a medium green"


def usual_runs(bag: Bag) -> Runs:
    """What is usual for the lofted clubs of a bag."""
    return Runs(laws=tuple(_usual(club) for club in bag.lofted))


def _usual(club: Club) -> RunLaw:
    return RunLaw(
        club=club.name,
        loft_deg=club.loft_deg,
        ratio=math.exp(float(np.interp(club.loft_deg, LOFTS_DEG, np.log(USUAL_RATIO)))),
        power=float(np.interp(club.loft_deg, LOFTS_DEG, USUAL_POWER)),
    )


def runs_of_chart(chart: Chart) -> Runs:
    """The laws that go through a chart's rows, for this player on today's green."""
    names = dict.fromkeys(row.club for row in chart.rows)
    laws = []
    for name in names:
        rows = [row for row in chart.rows if row.club == name and row.run_m.value > 0.05]
        if rows:
            laws.append(_through(name, rows[0].loft_deg, [(row.carry_m, row.ratio) for row in rows]))
    return Runs(laws=tuple(laws), n=chart.learned_from)


def _through(club: str, loft_deg: float, points: Sequence[tuple[float, float]]) -> RunLaw:
    x = np.log([carry / REFERENCE_M for carry, _ in points])
    y = np.log([ratio for _, ratio in points])
    if len(points) > 1 and float(np.ptp(x)) > 0:
        power, level = np.polyfit(x, y, 1)
    else:
        power, level = 0.0, float(y.mean())
    return RunLaw(club=club, loft_deg=loft_deg, ratio=math.exp(float(level)), power=float(power))
