"""Which untagged balls were probably mishits: a mixture of clean strikes and mishits, never a cut.

A ball's landing and run are weighed under both (Dempster and others 1977); the clean spread is found at
the same time, so that a player who scatters more is not taken for one who mishits.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.landing import MISHIT_ACROSS, MISHIT_CARRY
from firstbounce.review.split import CLEAN, MISHIT, UNTAGGED, Split

Floats = NDArray[np.float64]

ROUNDS = 8  #: of the mixture
PROBABLY = 0.5  #: shown as "probably a mishit" from this chance on
RUN_MISHIT_SD = 0.6  #: relative spread of the run of a mishit, as in the fit
LARGEST_FACTOR = 2.5  #: a clean spread is at most this many times the usual one, or it is not clean


def mishit_chance(split: Split, sd: Floats, share: Floats) -> Floats:
    """Chance (n,) that each ball was a mishit: 0 or 1 for tagged balls.

    sd (n, 2): the usual spread of clean landings along and across, placing included [m];
    share (n,): the usual share of mishits of this player from this lie.
    """
    share = np.clip(share, 1e-3, 0.9)
    run_sd = np.hypot(split.then.scatter, 0.1)
    chance = np.where(split.kind == UNTAGGED, share, (split.kind == MISHIT).astype(np.float64))
    if not len(split):
        return chance
    for turn in range(ROUNDS):
        factor, centre = _clean_spread(split, sd, chance) if turn else _first_spread(split, sd)
        clean = _log_clean(split, sd * factor, centre, run_sd)
        odds = np.log(share / (1 - share)) + _log_mishit(split) - clean
        found = 1 / (1 + np.exp(-np.clip(odds, -40, 40)))
        chance = np.where(split.kind == UNTAGGED, found, chance)
    return chance


def is_clean(split: Split, chance: Floats) -> NDArray[np.bool_]:
    """(n,) balls that are judged: tagged clean, or untagged and rather clean than not."""
    return (split.kind == CLEAN) | ((split.kind == UNTAGGED) & (chance < PROBABLY))


def _first_spread(split: Split, sd: Floats) -> tuple[Floats, Floats]:
    """A start that mishits do not move: medians in place of means."""
    rows = split.kind != MISHIT
    if not rows.any():
        return np.ones(2), np.zeros(2)
    centre = np.median(split.missed[rows], axis=0)
    away = np.median(np.abs((split.missed[rows] - centre) / sd[rows]), axis=0)
    return np.clip(1.4826 * away, 1.0, LARGEST_FACTOR), centre


def _clean_spread(split: Split, sd: Floats, chance: Floats) -> tuple[Floats, Floats]:
    """Factor on the usual spread (2,) and centre (2,) of the clean balls, by their weights."""
    weight = (1 - chance)[:, None]
    total = max(float(weight.sum()), 1e-9)
    centre = (weight * split.missed).sum(0) / total
    square = (weight * ((split.missed - centre) / sd) ** 2).sum(0)
    return np.sqrt(np.clip((square + 4) / (total + 4), 1.0, LARGEST_FACTOR**2)), centre


def _log_clean(split: Split, sd: Floats, centre: Floats, run_sd: Floats) -> Floats:
    z = (split.missed - centre) / sd
    run = np.where(split.finished, split.unforeseen - _middle(split), 0.0) / run_sd
    return np.asarray(-0.5 * (z**2).sum(1) - np.log(sd).sum(1) - 3.0 * np.log1p(run**2 / 5) - np.log(run_sd))


def _log_mishit(split: Split) -> Floats:
    sd = np.column_stack([MISHIT_CARRY[1] * split.carry + 0.5, MISHIT_ACROSS * split.carry + 0.5])
    centre = np.column_stack([MISHIT_CARRY[0] * split.carry, np.zeros(len(split))])
    z = (split.missed - centre) / sd
    run = np.where(split.finished, split.unforeseen - _middle(split), 0.0) / RUN_MISHIT_SD
    tail = 2.0 * np.log1p(run**2 / 3)  # a thin ball may run many times as far as was expected
    return np.asarray(-0.5 * (z**2).sum(1) - np.log(sd).sum(1) - tail - np.log(RUN_MISHIT_SD))


def _middle(split: Split) -> float:
    """Median of how much further than expected the balls ran: the day's part, that all balls share."""
    known = split.unforeseen[split.finished]
    return float(np.median(known)) if len(known) else 0.0
