"""How likely each ball's finish is: a placed ball, a holed one, a tally; each a clean strike or a mishit.

All in the frame of the ball's own run: along it and across it. Clean scatter is Student's t in two
dimensions, growing with the run; a mishit has a wide t about the same place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

from firstbounce.fitting.assumptions import Assumptions
from firstbounce.fitting.ranges import SECTORS, chance_between, chance_beyond, chance_within, cloud
from firstbounce.words import TallyFinish

Floats = NDArray[np.float64]

PACE_M = 0.8  #: a pace, for "within two paces" [m]; choice
GIVEN_M = 0.45  #: a ball this near the hole is given [m]; choice
SHORTEST_RUN = 0.1  #: scatter never falls below that of a run of this share of the carry; choice
MISHIT_TAIL = 3.0  #: degrees of freedom of the run of a mishit; choice
POINT, HOLED, GIVEN, TWO_PACES, SHORT, PAST, NOTHING = range(7)
FINISH_KIND = {
    TallyFinish.HOLED: HOLED,
    TallyFinish.GIVEN: GIVEN,
    TallyFinish.WITHIN_TWO_PACES: TWO_PACES,
    TallyFinish.FURTHER_SHORT: SHORT,
    TallyFinish.FURTHER_PAST: PAST,
    TallyFinish.NOT_SEEN: NOTHING,
}


@dataclass(frozen=True, slots=True, eq=False)
class Finishes:
    """What was seen of n finishes, with the placing error of landing and finish; all (n,), [m]."""

    kind: NDArray[np.int64]
    landed_along: Floats  #: sd of the true landing about the spot that is played from
    landed_across: Floats
    finished: Floats  #: sd of a placed finish
    reach: Floats  #: farthest that a holed ball could have run past, hole covered
    sideways: Floats  #: sd of the finish across the run, per metre of run, by an unsure slope [-]

    def take(self, rows: NDArray[np.int64]) -> Finishes:
        """Some of them."""
        return Finishes(*(getattr(self, part.name)[rows] for part in fields(self)))


@dataclass(frozen=True, slots=True, eq=False)
class Spreads:
    """Standard deviations of finishes about the model's, (n,) or (scales, n) each [m]."""

    along: Floats
    across: Floats
    mishit_along: Floats
    mishit_across: Floats

    def take(self, rows: NDArray[np.int64]) -> Spreads:
        """Those of some finishes."""
        return Spreads(*(getattr(self, part.name)[..., rows] for part in fields(self)))


def spreads(
    seen: Finishes,
    run: Floats,
    carry: Floats,
    gain: tuple[Floats, Floats],
    ln_scatter: Floats,
    assumed: Assumptions,
) -> Spreads:
    """Spreads for ln scatter (n,) or (scales, n). `gain`: metres of finish per metre of landing."""
    grown = np.exp(ln_scatter) * np.maximum(run, SHORTEST_RUN * carry)
    placed_along = np.hypot(seen.finished, gain[0] * seen.landed_along)
    placed_across = np.hypot(seen.finished, gain[1] * seen.landed_across)
    along = np.hypot(placed_along, grown)
    across = np.hypot(np.hypot(placed_across, seen.sideways * run), assumed.across * grown)
    wide = assumed.mishit_spread * np.maximum(run, SHORTEST_RUN * carry)
    return Spreads(along, across, np.hypot(along, wide), np.hypot(across, assumed.across * wide))


def log_student(along: Floats, across: Floats, sd_along: Floats, sd_across: Floats, tail: float) -> Floats:
    """ln density of Student's t in two dimensions with these scales."""
    q = (along / sd_along) ** 2 + (across / sd_across) ** 2
    level = gammaln(0.5 * tail + 1) - gammaln(0.5 * tail) - math.log(tail * math.pi)
    return np.asarray(level - np.log(sd_along * sd_across) - (0.5 * tail + 1) * np.log1p(q / tail))


def log_chances(
    seen: Finishes, along: Floats, across: Floats, s: Spreads, assumed: Assumptions
) -> tuple[Floats, Floats]:
    """ln likelihood as a clean strike and as a mishit, in the shape of the spreads: (n,) or (scales, n).

    along, across: for a placed ball the model's finish less the seen one, else the model's less the hole.
    """
    clean, mishit = np.zeros(s.along.shape), np.zeros(s.along.shape)
    rows = np.flatnonzero(seen.kind == POINT)
    place = (along[rows], across[rows])
    clean[..., rows] = log_student(*place, s.along[..., rows], s.across[..., rows], assumed.tail)
    mishit[..., rows] = log_student(
        *place, s.mishit_along[..., rows], s.mishit_across[..., rows], MISHIT_TAIL
    )
    for kind in (HOLED, GIVEN, TWO_PACES, SHORT, PAST):
        rows = np.flatnonzero(seen.kind == kind)
        if len(rows):
            where = (along[rows], across[rows], seen.reach[rows])
            clean[..., rows] = _ln_range(kind, *where, s.along[..., rows], s.across[..., rows])
            mishit[..., rows] = _ln_range(kind, *where, s.mishit_along[..., rows], s.mishit_across[..., rows])
    return clean, mishit


def _ln_range(
    kind: int, along: Floats, across: Floats, reach: Floats, sd_along: Floats, sd_across: Floats
) -> Floats:
    if kind == HOLED:  # from the front edge to the most the hole still catches; sideways it says little
        return np.asarray(np.log(chance_between(along, sd_along, -0.05, reach)))
    flat = [np.broadcast_to(part, sd_along.shape).ravel() for part in (along, across, sd_along, sd_across)]
    c = cloud(*flat)
    two = 2 * PACE_M
    if kind == GIVEN:
        chance = chance_within(c, GIVEN_M)
    elif kind == TWO_PACES:
        chance = np.maximum(chance_within(c, two) - chance_within(c, GIVEN_M), 1e-12)
    else:
        chance = chance_beyond(c, two, SECTORS["past" if kind == PAST else "not past"])
    return np.asarray(np.log(chance).reshape(sd_along.shape))


@dataclass(frozen=True, slots=True, eq=False)
class Pull:
    """Slope and curvature of ln likelihood by the model's finish, along and across; (n,) or (scales, n)."""

    along: Floats
    across: Floats
    curve_along: Floats  #: minus the second derivative, 0 or more
    curve_across: Floats
    clean: Floats  #: probability that the ball was a clean strike


def pull(
    seen: Finishes, along: Floats, across: Floats, s: Spreads, log_odds: Floats, assumed: Assumptions
) -> Pull:
    """The pull of each ball, by the probability that it was a clean strike; a mishit does not pull."""
    ln_clean, ln_mishit = log_chances(seen, along, across, s, assumed)
    clean = 1 / (1 + np.exp(np.clip(log_odds + ln_mishit - ln_clean, -40, 40)))
    placed = (seen.kind == POINT) * clean
    q = (along / s.along) ** 2 + (across / s.across) ** 2
    weight = placed * (assumed.tail + 2) / (assumed.tail + q)
    info = placed * (assumed.tail + 2) / (assumed.tail + 4)
    pulled = Pull(
        -weight * along / s.along**2,
        -weight * across / s.across**2,
        info / s.along**2,
        info / s.across**2,
        clean,
    )
    ranged = np.flatnonzero((seen.kind != POINT) & (seen.kind != NOTHING))
    if len(ranged):
        _pull_ranges(pulled, ranged, seen, along, across, s)
    return pulled


def _pull_ranges(
    pulled: Pull,
    rows: NDArray[np.int64],
    seen: Finishes,
    along: Floats,
    across: Floats,
    s: Spreads,
) -> None:
    """Fill in the balls seen as ranges, by differences: a range has no closed form worth having."""
    few, part = seen.take(rows), s.take(rows)
    middle, clean = _clean(few, along[rows], across[rows], part), pulled.clean[..., rows]
    for slope, curve, sd, side in (
        (pulled.along, pulled.curve_along, part.along, 0),
        (pulled.across, pulled.curve_across, part.across, 1),
    ):
        h = 0.1 * (sd if sd.ndim == 1 else sd.mean(axis=0))
        shift = (h, 0 * h) if side == 0 else (0 * h, h)
        up = _clean(few, along[rows] + shift[0], across[rows] + shift[1], part)
        down = _clean(few, along[rows] - shift[0], across[rows] - shift[1], part)
        slope[..., rows] = clean * (up - down) / (2 * h)
        curve[..., rows] = clean * np.maximum((2 * middle - up - down) / h**2, 0)


def _clean(seen: Finishes, along: Floats, across: Floats, s: Spreads) -> Floats:
    """ln chance of balls that are all ranges, as clean strikes."""
    out = np.zeros(s.along.shape)
    for kind in np.unique(seen.kind):
        rows = np.flatnonzero(seen.kind == kind)
        place = (along[rows], across[rows], seen.reach[rows])
        out[..., rows] = _ln_range(int(kind), *place, s.along[..., rows], s.across[..., rows])
    return out
