"""What a fit says: every unknown with its interval, the verdict, and draws for the planner."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.fitting.assumptions import USUAL_CARRY_M, Assumptions
from firstbounce.fitting.landing import LandingFit
from firstbounce.fitting.layout import FIRMNESS, LEAN, STIMP, Layout, lie_group
from firstbounce.fitting.shots import SetAside
from firstbounce.ground.conditions import GreenToday
from firstbounce.players.clubs import tidy_name
from firstbounce.players.player import Player
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Lie, Source

Floats = NDArray[np.float64]
Verdict = Literal["fitted", "prior only", "balls disagree"]

MODEL_VERSION = "fit-3"
Z90 = 1.6448536269514722  #: standard normal at 95 %
LOWEST_STIMP_FT = 2.5  #: draws of green speed stop here [ft]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A value with its 90 % interval, where it came from and how many balls stand behind it."""

    value: float
    low: float
    high: float
    source: Source
    n: int

    def to_dict(self) -> dict[str, Any]:
        return {
            "value": self.value,
            "low": self.low,
            "high": self.high,
            "source": str(self.source),
            "balls": self.n,
        }


@dataclass(frozen=True, slots=True)
class Suspect:
    """A ball that was probably a mishit though nobody said so: counted, but with little weight."""

    id: str
    probability: float


@dataclass(frozen=True, slots=True, eq=False)
class FitDraws:
    """n draws of what the planner needs; each draw is one world that the balls allow. Arrays (n,)."""

    firmness: Floats  #: index [-]
    green_deceleration: Floats  #: [m/s2]
    loft_deg: Mapping[str, Floats]  #: by club: added to the player's usual delivered loft [deg]
    ln_run: Mapping[str, Floats]  #: by club: discrepancy of ln run at the usual carry of 7 m [-]
    carry_slope: Mapping[str, Floats]  #: by club: change of that with ln carry [-]
    scatter: Mapping[
        str, Floats
    ]  #: by club: relative size of the scatter of single runs, everything included [-]
    floor_m: Floats  #: of the spread of carry [m]
    share: Floats  #: of the spread of carry [-]
    direction_deg: Floats  #: spread of direction [deg]
    carry_bias: Floats  #: landed less meant over meant carry [-]
    direction_bias_deg: Floats  #: right positive [deg]
    mishit_share: Floats  #: from a fairway lie [-]

    def __len__(self) -> int:
        return len(self.firmness)

    def ln_run_at(
        self, club: str, carry_m: ArrayLike, draw: NDArray[np.int64] | slice = slice(None)
    ) -> Floats:
        """Discrepancy of ln run of a club at a carry [m], in these draws; shapes broadcast."""
        way = np.log(np.maximum(np.asarray(carry_m, dtype=np.float64), 0.5) / USUAL_CARRY_M)
        return np.asarray(self.ln_run[club][draw] + self.carry_slope[club][draw] * way)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """The day and the player as the balls leave them. Without balls it holds what is usual (`prior_fit`)."""

    player: Player
    today: GreenToday
    layout: Layout
    assumed: Assumptions
    theta: Floats  #: most likely departures from readings and usual delivery, order of layout.names()
    covariance: Floats
    ln_scatter: tuple[float, float]  #: mean and sd
    ln_scatter_90: tuple[float, float]  #: 90 % interval
    landing: LandingFit
    verdict: Verdict
    n_by_club: Mapping[str, int]  #: balls whose run said something
    n_by_lie: Mapping[int, int]  #: the same by lie group
    suspects: tuple[Suspect, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    remarks: tuple[str, ...] = ()
    wet: bool = False

    @property
    def n_balls(self) -> int:
        """Balls whose run said something."""
        return sum(self.n_by_club.values())

    @property
    def firmness(self) -> Known:
        """Firmness index of the day [-]."""
        return self._grown(self.today.firmness.value, FIRMNESS)

    @property
    def stimp_ft(self) -> Known:
        """Green speed [Stimp ft]."""
        return self._known(self.today.stimp_ft.value + self.theta[STIMP], self._sd(STIMP), self.n_balls)

    @property
    def lean_deg(self) -> Known:
        """Lean of the player beyond the usual for a club [deg]."""
        usual = self.player.extra_lean_deg.value
        return self._known(usual + self.theta[LEAN], self._sd(LEAN), self.n_balls)

    @property
    def scatter(self) -> Known:
        """Relative scatter of single runs at a loft of 47 degrees [-]."""
        middle, (low, high) = self.ln_scatter[0], self.ln_scatter_90
        return self._interval(math.exp(middle), math.exp(low - middle), math.exp(high - middle), self.n_balls)

    @property
    def spread_floor_m(self) -> Known:
        """Part of the spread of carry that does not grow with it [m]."""
        return self._landing_grown(0, 1.0)

    @property
    def spread_share(self) -> Known:
        """Part of the spread of carry that grows with it [-]."""
        return self._landing_grown(1, 1.0)

    @property
    def direction_deg(self) -> Known:
        """Spread of the starting direction [deg]."""
        return self._landing_grown(2, math.degrees(1.0))

    @property
    def carry_bias(self) -> Known:
        """Mean landing less the meant spot along the line, over the meant carry [-]."""
        return self._landing_plain(3, 1.0)

    @property
    def direction_bias_deg(self) -> Known:
        """Mean direction less the meant one, right positive [deg]."""
        return self._landing_plain(4, math.degrees(1.0))

    @property
    def mishit_share(self) -> Known:
        """Share of strikes that are not clean, from a fairway lie [-]."""
        x, sd = self.landing.values[5], math.sqrt(self.landing.covariance[5, 5])
        low, value, high = (1 / (1 + math.exp(-(x + z * sd))) for z in (-Z90, 0.0, Z90))
        return Known(value=value, low=low, high=high, source=self._source, n=self.landing.n_landed)

    def club_lean_deg(self, club: str) -> Known:
        """Lean of one club beyond that of the player [deg]."""
        place = self.layout.club_lean.start + self.club_index(club)
        return self._known(self.theta[place], self._sd(place), self.n_by_club.get(self.club_name(club), 0))

    def run_factor(self, club: str) -> Known:
        """What this club's run is over that of the laws, at the usual carry [-]."""
        place = self.layout.discrepancy.start + self.club_index(club)
        return self._grown(1.0, place, self.n_by_club.get(self.club_name(club), 0))

    def club_index(self, club: str) -> int:
        """Place of a lofted club in the bag; ParameterError for the putter or a club not in it."""
        wanted = self.player.bag.club(club)
        if wanted.is_putter:
            raise ParameterError("A putter neither carries nor bounces: the fit says nothing about it.")
        return [tidy_name(c.name) for c in self.layout.clubs].index(tidy_name(wanted.name))

    def club_name(self, club: str) -> str:
        """The bag's own name of a club."""
        return self.layout.clubs[self.club_index(club)].name

    def draws(self, rng: np.random.Generator, n: int, lie: Lie | None = None) -> FitDraws:
        """n worlds that the balls allow, for strokes from this lie."""
        if lie is not None and lie.wet != self.wet:
            raise ParameterError(
                f"This fit is of a {_wet_word(self.wet)} day; a {_wet_word(lie.wet)} lie needs its own."
            )
        z = rng.standard_normal((n, self.layout.size + 1 + len(self.landing.values)))
        theta = self.theta + z[:, : self.layout.size] @ _root(self.covariance).T
        ln_scatter = self.ln_scatter[0] + self.ln_scatter[1] * z[:, self.layout.size]
        landing = self.landing.values + z[:, self.layout.size + 1 :] @ _root(self.landing.covariance).T
        return self._spread_out(theta, ln_scatter, landing, lie_group(lie or Lie()))

    def middle(self, lie: Lie | None = None) -> FitDraws:
        """One draw: the most likely world."""
        ln_scatter = np.array([self.ln_scatter[0]])
        return self._spread_out(
            self.theta[None], ln_scatter, self.landing.values[None], lie_group(lie or Lie())
        )

    def _spread_out(self, theta: Floats, ln_scatter: Floats, landing: Floats, group: int) -> FitDraws:
        layout, clubs = self.layout, self.layout.clubs
        lean, run = theta[:, layout.club_lean], theta[:, layout.discrepancy]
        rough = theta[:, layout.lie(group)] if group else np.zeros(len(theta))
        slopes = layout.carry_slopes(theta)
        stimp = np.maximum(self.today.stimp_ft.value + theta[:, STIMP], LOWEST_STIMP_FT)
        factor = self.assumed.scatter_factor(layout.lofts_deg)
        return FitDraws(
            firmness=self.today.firmness.value * np.exp(theta[:, FIRMNESS]),
            green_deceleration=stimp_to_deceleration(1.0) / stimp,
            loft_deg={c.name: -(theta[:, LEAN] + lean[:, k]) for k, c in enumerate(clubs)},
            ln_run={c.name: run[:, k] + rough for k, c in enumerate(clubs)},
            carry_slope={c.name: slopes[:, k] for k, c in enumerate(clubs)},
            scatter={c.name: np.exp(ln_scatter) * factor[k] for k, c in enumerate(clubs)},
            floor_m=np.exp(landing[:, 0]),
            share=np.exp(landing[:, 1]),
            direction_deg=np.degrees(np.exp(landing[:, 2])),
            carry_bias=landing[:, 3],
            direction_bias_deg=np.degrees(landing[:, 4]),
            mishit_share=1 / (1 + np.exp(-landing[:, 5])),
        )

    @property
    def _source(self) -> Source:
        return Source.FITTED if self.verdict == "fitted" else Source.PRIOR

    def _sd(self, place: int) -> float:
        return float(math.sqrt(self.covariance[place, place]))

    def _known(self, value: float, sd: float, n: int) -> Known:
        return Known(
            value=float(value),
            low=float(value - Z90 * sd),
            high=float(value + Z90 * sd),
            source=self._source,
            n=n,
        )

    def _interval(self, value: float, low: float, high: float, n: int) -> Known:
        return Known(value=value, low=value * low, high=value * high, source=self._source, n=n)

    def _grown(self, scale: float, place: int, n: int | None = None) -> Known:
        sd = self._sd(place)
        value = scale * math.exp(self.theta[place])
        return self._interval(
            value, math.exp(-Z90 * sd), math.exp(Z90 * sd), self.n_balls if n is None else n
        )

    def _landing_grown(self, place: int, unit: float) -> Known:
        sd = math.sqrt(self.landing.covariance[place, place])
        value = unit * math.exp(self.landing.values[place])
        return self._interval(value, math.exp(-Z90 * sd), math.exp(Z90 * sd), self.landing.n_landed)

    def _landing_plain(self, place: int, unit: float) -> Known:
        sd = unit * math.sqrt(self.landing.covariance[place, place])
        return self._known(unit * self.landing.values[place], sd, self.landing.n_landed)


def _wet_word(wet: bool) -> str:
    return "wet" if wet else "dry"


def _root(covariance: Floats) -> Floats:
    """A square root of a covariance matrix; tiny negative eigenvalues are taken as 0."""
    size, turn = np.linalg.eigh(covariance)
    return np.asarray(turn * np.sqrt(np.maximum(size, 0.0)))
