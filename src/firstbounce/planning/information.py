"""What knowing one thing more would be worth, from draws that were already played.

M. Strong, J. Oakley, A. Brennan, "Estimating multiparameter partial expected value of perfect information
from a probabilistic sensitivity analysis sample: a nonparametric regression approach", Med. Decis. Making
34 (2014) 311: regress each choice's cost on the input; the fitted values stand for the expected cost once the
input is known; what the best choice would then save, on average, is the worth of knowing it. The same with a
summary of future balls in place of the input gives the worth of those balls (Strong, Oakley, Brennan, Breeze,
Med. Decis. Making 35 (2015) 570). Both cited from memory.
"""

from __future__ import annotations

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.planning.landing import Floats

FEWEST_DRAWS = 64  #: below this a curve through the draws says nothing
WIDEST = 2.5  #: standard deviations at which an input is cut off before the curve [-]


def expected_once_known(values: Floats, known: Floats) -> Floats:
    """Expected `values`, (n, k), once `known`, (n,) or (n, m), is known: a smooth curve through the draws."""
    centre, scale = _scale(known)
    design = _basis(known, centre, scale)
    fitted: Floats = design @ _least_squares(design, values)[0]
    return fitted


def spread_of_expected(values: Floats, known: Floats) -> float:
    """Standard deviation of the expected value once `known` is known; noise is taken off."""
    centre, scale = _scale(known)
    design = _basis(known, centre, scale)
    curve, terms = _least_squares(design, values)
    n = len(values)
    if n <= 2 * terms:
        return 0.0
    fitted = design @ curve
    noise = float(((values - fitted) ** 2).sum()) / (n - terms)
    return float(np.sqrt(max(fitted.var() - noise * (terms - 1) / n, 0.0)))


def worth_of_knowing(costs: Floats, known: Floats) -> float:
    """Strokes saved on average by choosing after `known` is seen: costs (n, k) of k choices on common draws.

    Half of the draws choose and the other half pay, both ways round, so that noise does not look like worth.
    Never below zero. Needs at least 64 draws (ParameterError).
    """
    if len(costs) < FEWEST_DRAWS:
        raise ParameterError(f"The worth of knowing needs at least {FEWEST_DRAWS} draws, got {len(costs)}.")
    base = int(np.argmin(costs.mean(axis=0)))
    saving = costs[:, [base]] - costs
    return max(0.0, float(np.mean([_saved(saving, known, half) for half in (0, 1)])))


def _saved(saving: Floats, known: Floats, half: int) -> float:
    """Choose by a curve learned on every second draw, pay on the others."""
    learn = np.arange(len(saving)) % 2 == half
    centre, scale = _scale(known)
    design = _basis(known, centre, scale)
    curve = _least_squares(design[learn], saving[learn])[0]
    choice = np.argmax(design[~learn] @ curve, axis=1)
    return float(saving[~learn][np.arange(len(choice)), choice].mean())


def _least_squares(design: Floats, values: Floats) -> tuple[Floats, int]:
    """Coefficients of a short basis, and how many of its columns are independent.

    Through the small matrix of products: the columns lie within -1 and 1, so little is lost, and it costs a
    hundredth of a singular value decomposition of the tall one.
    """
    size, turn = np.linalg.eigh(design.T @ design)
    kept = size > 1e-9 * size[-1]
    inverse = turn[:, kept] / size[kept]
    return inverse @ (turn[:, kept].T @ (design.T @ values)), int(kept.sum())


def _scale(known: Floats) -> tuple[Floats, Floats]:
    columns = _columns(known)
    scale = columns.std(axis=0)
    return columns.mean(axis=0), np.where(scale > 0, scale, 1.0)


def _columns(known: Floats) -> Floats:
    return known[:, None] if known.ndim == 1 else known


def _basis(known: Floats, centre: Floats, scale: Floats) -> Floats:
    """Cubic in one input; with several, linear, squares and products."""
    u = np.clip((_columns(known) - centre) / (WIDEST * scale), -1, 1)
    if u.shape[1] == 1:
        return np.asarray(np.polynomial.legendre.legvander(u[:, 0], 3), dtype=np.float64)
    products = [u[:, i] * u[:, j] for i in range(u.shape[1]) for j in range(i + 1)]
    return np.column_stack([np.ones(len(u)), *u.T, *products])
