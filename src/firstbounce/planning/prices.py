"""The price of a finish: expected strokes to hole out, and the chance that the next stroke does it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.ground import Ground
from firstbounce.planning.balls import Bools
from firstbounce.planning.landing import Floats
from firstbounce.players.strokes import StrokesTable
from firstbounce.shot.laws import HOLED_FLYING, HOLED_ROLLING, LEFT_MAP
from firstbounce.words import Point

Codes = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Price:
    """n finishes priced, one row a ball."""

    cost: Floats  #: expected strokes to hole out, the stroke just played included
    up_and_down: Floats  #: chance to be in the hole in two strokes or fewer, this one included [-]
    on_green: Bools  #: finished on the green or in the hole


class Prices(Protocol):
    """Anything that prices finishes at one station."""

    def price(self, finished: Floats, outcome: Codes, ground: Ground, deceleration: Floats) -> Price:
        """Price balls that finished at (n, 2) [m] with outcomes that index shot.OUTCOMES.

        `ground` is the surface they rolled on, `deceleration` (n,) that of its level green [m/s2].
        """


@dataclass(frozen=True, slots=True)
class TablePrices:
    """Prices from the player's tables of putts and recovery strokes."""

    table: StrokesTable
    start: Point
    hole: Point

    def price(self, finished: Floats, outcome: Codes, ground: Ground, deceleration: Floats) -> Price:
        x, y = finished[:, 0], finished[:, 1]
        price = self.table.price(
            finished,
            outcome,
            ground.turf_code_at(x, y),
            self.hole,
            height_finish=ground.surface.height(x, y),
            height_hole=float(ground.surface.height(*self.hole)),
            green_deceleration=deceleration,
            start_distance_m=float(np.hypot(self.hole[0] - self.start[0], self.hole[1] - self.start[1])),
            start_turf=int(ground.turf_code_at(*self.start)),
            gradient=np.column_stack(ground.surface.gradient(x, y)),
        )
        holed = (outcome == HOLED_ROLLING) | (outcome == HOLED_FLYING)
        on_green = holed | (ground.on_green(x, y) & (outcome != LEFT_MAP))
        return Price(1 + price.strokes, np.where(holed, 1.0, price.next_holes), on_green)
