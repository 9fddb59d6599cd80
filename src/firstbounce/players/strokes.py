"""What a finish costs: expected strokes to hole out from where a ball ended.

On the green: expected putts by distance and slope. Off it: a chip or a putter through the grass, whichever
costs less. In water: a penalty stroke and the shot again. See docs/players.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.players.mishits import Mishits
from firstbounce.players.player import Player
from firstbounce.players.price_kernel import PriceRules, empty, price_all, row_at
from firstbounce.players.putts import GRID, PuttTables, putt_tables
from firstbounce.players.recovery import ROOT_STEP, RecoveryTables, recovery_tables
from firstbounce.players.skill import PuttingSkill
from firstbounce.players.spread import Spread
from firstbounce.shot.laws import OUTCOMES
from firstbounce.units import GRAVITY
from firstbounce.words import TurfKind

Floats = NDArray[np.float64]
TURF_CODES: dict[TurfKind, int] = {kind: code for code, kind in enumerate(TurfKind)}

LOST_FURTHER_M = (
    5.0  #: a ball that ran off the map or did not stop is taken to lie this much further, a choice
)
PLUGGED_COSTS = 0.5  #: strokes a plugged ball costs over one that sits, a choice
CHIP_IN = 0.10  #: chance to hole a chip, over 1 + metres to the hole; a choice near 2 % at 4 m
PUTTER_DOUBLES_M = 6.0  #: putt off the green at which the extra cost of its grass has doubled [m], a choice
PENALTY = 1.0  #: stroke for a ball in water, by the rules


class Price(NamedTuple):
    """What n finishes cost, each of shape (n,)."""

    strokes: Floats  #: expected strokes still to play; 0 for a holed ball
    next_holes: Floats  #: chance that the next stroke is holed; 0 for a holed ball


@dataclass(frozen=True, slots=True)
class StrokesTable:
    """Tables of one player from which any finish is priced."""

    putts: PuttTables
    recovery: RecoveryTables

    def price(
        self,
        finish_xy: ArrayLike,
        outcome: ArrayLike,
        turf: ArrayLike,
        hole_xy: ArrayLike,
        *,
        height_finish: ArrayLike,
        height_hole: ArrayLike,
        green_deceleration: ArrayLike,
        start_distance_m: float,
        start_turf: int = 2,
        gradient: ArrayLike = (0.0, 0.0),
    ) -> Price:
        """Strokes still to play from n finishes.

        Parameters
        ----------
        finish_xy : (n, 2) where the balls ended [m].
        outcome : (n,) codes into shot's OUTCOMES.
        turf : (n,) codes of the turf there, the place in words.TurfKind.
        hole_xy : (2,) or (n, 2) [m].
        height_finish, height_hole : surface heights there, one number or (n,) [m].
        green_deceleration : level deceleration of the green, one number or (n,) [m/s2].
        start_distance_m, start_turf : where a ball in water is dropped: distance to the hole, turf code.
        gradient : (2,) or (n, 2) slope of the surface (rise over run in x and y), for the slope across.
        """
        finish = _rows(finish_xy, 2, "finish_xy")
        n = finish.shape[0]
        strokes, next_holes = empty(n)
        price_all(
            finish,
            _column(height_hole, n) - _column(height_finish, n),
            _rows(gradient, 2, "gradient"),
            _rows(hole_xy, 2, "hole_xy"),
            np.atleast_1d(np.ascontiguousarray(green_deceleration, dtype=float)),
            _codes(outcome, n, len(OUTCOMES), "outcome"),
            _codes(turf, n, len(TURF_CODES), "turf"),
            (self.putts.putts, self.putts.makes, self.recovery.strokes),
            self.recovery.putter_costs,
            GRID,
            self._rules(start_distance_m, start_turf),
            strokes,
            next_holes,
        )
        return Price(strokes, next_holes)

    def off_green(self, kind: TurfKind, distance_m: float) -> float:
        """Strokes to hole out by chipping from this ground and distance to the hole [m]."""
        if not distance_m >= 0:
            raise ParameterError(f"The distance to the hole must be 0 m or more, got {distance_m:g}.")
        return float(row_at(self.recovery.strokes[TURF_CODES[kind]], ROOT_STEP, distance_m))

    def _rules(self, start_distance_m: float, start_turf: int) -> PriceRules:
        again = self.off_green(tuple(TurfKind)[start_turf], start_distance_m)
        return PriceRules(
            pull=5 / 7 * GRAVITY,
            root_step=ROOT_STEP,
            penalty=PENALTY + again,
            lost_further=LOST_FURTHER_M,
            lost_turf=TURF_CODES[TurfKind.LIGHT_ROUGH],
            plugged_costs=PLUGGED_COSTS,
            putter_doubles=PUTTER_DOUBLES_M,
            chip_in=CHIP_IN,
        )


def strokes_table(player: Player) -> StrokesTable:
    """Tables of a player; built at first use and kept for players of equal skill."""
    return strokes_table_of(player.putting, player.spread, player.mishits)


def strokes_table_of(putting: PuttingSkill, spread: Spread, mishits: Mishits) -> StrokesTable:
    """Tables for a putting skill, a spread and a share of mishits."""
    return StrokesTable(putt_tables(putting), recovery_tables(putting, spread, mishits))


def _rows(values: ArrayLike, width: int, name: str) -> Floats:
    rows = np.ascontiguousarray(np.atleast_2d(np.asarray(values, float)))
    if rows.ndim != 2 or rows.shape[1] != width:
        raise ParameterError(f"{name} needs shape (n, {width}), got {rows.shape}.")
    return rows


def _column(values: ArrayLike, n: int) -> Floats:
    return np.ascontiguousarray(np.broadcast_to(np.asarray(values, float), (n,)))


def _codes(values: ArrayLike, n: int, count: int, name: str) -> NDArray[np.int64]:
    codes = np.ascontiguousarray(np.broadcast_to(np.asarray(values, dtype=np.int64), (n,)))
    if n and not (codes.min() >= 0 and codes.max() < count):
        raise ParameterError(f"Codes of {name} must lie in 0..{count - 1}.")
    return codes
