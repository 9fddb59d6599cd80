"""How far from the spot a player's balls land: own balls where there are some, else the level's values."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.fitting.landing import landing_prior
from firstbounce.fitting.result import Fit
from firstbounce.players.circle import circle_chance, circle_radius_m
from firstbounce.players.player import Player
from firstbounce.players.spread import Spread
from firstbounce.units import balls
from firstbounce.words import LieKind

Floats = NDArray[np.float64]

Z90 = 1.6448536269514722  #: standard normal at 95 %
LARGEST_SHARE = 0.9  #: of clean strikes that a circle is ever sized for [choice]
STEP = 1e-4  #: of the numeric slopes of the delta method


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A length with its 90 % interval [m]."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """Spread, bias and mishits of one player, and the balls behind them (0: what is usual for the level)."""

    spread: Spread
    carry_bias: float = 0.0  #: mean landing less the spot over the carry [-]
    direction_bias_deg: float = 0.0  #: right positive
    mishit_share: float = 0.0
    n: int = 0
    #: of ln floor, ln share, ln direction, carry bias and direction bias [rad]; rows
    covariance: tuple[tuple[float, ...], ...]

    def __post_init__(self) -> None:
        if np.shape(self.covariance) != (5, 5):
            raise ParameterError("A landing needs a covariance of 5 rows of 5 numbers.")

    @property
    def rests_on(self) -> str:
        """Said to the coach and the player."""
        return f"learned from {balls(self.n)}" if self.n else "typical for the level"

    def _values(self) -> Floats:
        s = self.spread
        grown = [math.log(max(x, 1e-6)) for x in (s.floor_m, s.share, math.radians(s.direction_deg))]
        return np.array([*grown, self.carry_bias, math.radians(self.direction_bias_deg)])

    def circle(
        self, success: float, carry_m: float, *, about_spot: bool, lie: LieKind = LieKind.FAIRWAY
    ) -> Interval:
        """Radius [m] hit with this share of clean strikes, about the spot or about the own centre."""

        def radius(x: Floats) -> float:
            return circle_radius_m(success, **_sizes(x, carry_m, lie, biased=about_spot))

        return self._delta(radius)

    def strip(self, success: float, carry_m: float, lie: LieKind = LieKind.FAIRWAY) -> Interval:
        """Depth [m] of a strip about the own mean carry that holds this share of clean strikes."""
        two_sided = 2 * _quantile(0.5 + success / 2)
        return self._delta(lambda x: two_sided * _sizes(x, carry_m, lie, biased=False)["along_m"])

    def chance_in_circle(self, radius_m: float, carry_m: float, lie: LieKind = LieKind.FAIRWAY) -> float:
        """Share of all strikes that land within `radius_m` of the spot; mishits count as out."""
        return self.clean * circle_chance(radius_m, **_sizes(self._values(), carry_m, lie, biased=True))

    def chance_within(self, half_m: float, carry_m: float, lie: LieKind = LieKind.FAIRWAY) -> float:
        """Share of all strikes whose carry is within `half_m` of the wanted one; mishits count as out."""
        size = _sizes(self._values(), carry_m, lie, biased=True)
        ends = [(side * half_m - size["bias_along_m"]) / size["along_m"] for side in (-1, 1)]
        return self.clean * (_normal(ends[1]) - _normal(ends[0]))

    @property
    def clean(self) -> float:
        """Share of strikes that are clean."""
        return 1 - self.mishit_share

    def of_clean(self, success: float) -> float:
        """Share of clean strikes that must hit for `success` of all; at most LARGEST_SHARE."""
        return min(success / self.clean, LARGEST_SHARE)

    def _delta(self, length: Callable[[Floats], float]) -> Interval:
        """A length with an interval by the delta method on its logarithm."""
        x = self._values()
        middle = math.log(length(x))
        slopes = np.zeros(5)
        for i in range(5):
            ends = []
            for side in (-1, 1):
                moved = x.copy()
                moved[i] += side * STEP
                ends.append(math.log(length(moved)))
            slopes[i] = (ends[1] - ends[0]) / (2 * STEP)
        sd = math.sqrt(max(float(slopes @ np.array(self.covariance) @ slopes), 0.0))
        return Interval(
            value=math.exp(middle), low=math.exp(middle - Z90 * sd), high=math.exp(middle + Z90 * sd)
        )


def landing_of_player(player: Player) -> Landing:
    """What is usual for the player's level, with the uncertainty of not having seen a ball."""
    sd = landing_prior(player, 10.0)[1][:5]
    return Landing(
        spread=player.spread, mishit_share=player.mishits.share, covariance=_rows(np.diag(np.square(sd)))
    )


def landing_of_fit(fit: Fit) -> Landing:
    """What the logged balls say; the level's values when none of them said where it landed."""
    if fit.landing.n_landed == 0:
        return landing_of_player(fit.player)
    return Landing(
        spread=Spread(
            floor_m=min(fit.spread_floor_m.value, 5.0),
            share=min(fit.spread_share.value, 1.0),
            direction_deg=min(fit.direction_deg.value, 30.0),
        ),
        carry_bias=fit.carry_bias.value,
        direction_bias_deg=fit.direction_bias_deg.value,
        mishit_share=min(fit.mishit_share.value, 0.9),
        n=fit.landing.n_landed,
        covariance=_rows(fit.landing.covariance[:5, :5]),
    )


def _sizes(x: Floats, carry_m: float, lie: LieKind, *, biased: bool) -> dict[str, float]:
    spread = Spread(floor_m=math.exp(x[0]), share=math.exp(x[1]), direction_deg=math.degrees(math.exp(x[2])))
    return {
        "along_m": max(float(spread.along_m(carry_m, lie)), 1e-3),
        "across_m": max(float(spread.across_m(carry_m, lie)), 1e-3),
        "bias_along_m": float(x[3]) * carry_m if biased else 0.0,
        "bias_across_m": math.tan(float(x[4])) * carry_m if biased else 0.0,
    }


def _rows(matrix: Floats) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(float(value) for value in row) for row in matrix)


def _normal(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def _quantile(p: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(p))
