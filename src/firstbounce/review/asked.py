"""What the questions of a review are put to: the balls of one green and day, split and sorted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate
from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.planning.worlds import drawn_grounds
from firstbounce.review.mishits import is_clean, mishit_chance
from firstbounce.review.split import UNTAGGED, LeftOut, Split, nothing_words, split
from firstbounce.review.tallied import TallySet, tally_set
from firstbounce.review.usual import Usual, usual_of
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Ball, Tally

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """The balls and tallies of one green and day, with the models that they are held against."""

    day: str  #: its name, as people say it; empty when there is only one
    split: Split
    clean: Rows
    chance: Floats  #: (n,) of being a mishit; 0 or 1 when tagged
    usual: Usual
    tallied: TallySet
    left_out: tuple[LeftOut, ...]
    then: Fit  #: the model when the plan was made; it has not seen these balls
    now: Fit  #: the model after them
    usual_fit: Fit  #: where the usual comes from

    @property
    def weight(self) -> Floats:
        """(n,) chance that a ball was clean; 1 when tagged so."""
        return np.where(self.split.kind == UNTAGGED, 1 - self.chance, 1.0)

    @property
    def judged(self) -> Rows:
        """(n,) clean balls with a finish."""
        return self.clean & self.split.finished

    @property
    def all(self) -> int:
        """All balls, placed and tallied."""
        return len(self.split) + len(self.tallied)

    @property
    def learned_from(self) -> int:
        """Balls that the model now was fitted to."""
        return 0 if self.now is self.then else self.now.n_balls


def asked_of(
    balls: Sequence[Ball],
    tallies: Sequence[Tally] = (),
    *,
    then: Fit,
    now: Fit | None = None,
    usual: Fit | None = None,
    ground: Ground,
    rng: np.random.Generator,
    air: AirSpec | None = None,
    laws: Laws | None = None,
    day: str = "",
) -> Asked:
    """Split and sort the balls and tallies of one green and day.

    then: the model when the plan was made, not fitted to these balls. now: the model after them; None: the
    same. usual: where the player's usual spread comes from, not these balls; None: `then`.
    CannotEstimate when no ball can be split and no tally used; ParameterError for balls of another green or
    unknown clubs.
    """
    air, laws = air or AirSpec(), laws or Laws()
    shapes = _shapes(ground, [*balls, *tallies], rng)
    whole, out = split(balls, then=then, now=now, ground=ground, air=air, laws=laws, shapes=shapes)
    counted = tally_set(tallies, then, ground, air, laws, shapes)
    out = (*out, *counted.left_out)
    if not len(whole) and not len(counted):
        raise CannotEstimate(nothing_words(len(balls) + len(tallies), out))
    normal = usual_of(usual or then, whole)
    chance = mishit_chance(whole, np.hypot(normal.sd, placing_sd(whole)[0][:, None]), normal.share)
    return Asked(
        day=day,
        split=whole,
        clean=is_clean(whole, chance),
        chance=chance,
        usual=normal,
        tallied=counted,
        left_out=out,
        then=then,
        now=now or then,
        usual_fit=usual or then,
    )


def placing_sd(split: Split) -> tuple[Floats, Floats]:
    """Placing errors (n,) of landings and finishes [m]."""
    landed = np.array([b.landed_sd_m for b in split.balls], dtype=np.float64)
    return landed, np.array([b.finished_sd_m for b in split.balls], dtype=np.float64)


def _shapes(ground: Ground, every: Sequence[Ball | Tally], rng: np.random.Generator) -> tuple[Ground, ...]:
    """The green as it may be by its slope readings, about the first hole; itself when the slope is known."""
    hole = next((one.hole for one in every if one.hole is not None), None)
    return () if hole is None else drawn_grounds(ground, hole, rng)
