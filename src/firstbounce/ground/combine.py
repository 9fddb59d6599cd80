"""Several readings of one thing become one estimate."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.words import Estimate, Source

_RANK = (Source.FITTED, Source.MEASURED, Source.CLASS_WORD, Source.PRIOR)


def combine(estimates: Sequence[Estimate], *, floor_sd: float = 0.0, of_logarithm: bool = False) -> Estimate:
    """One estimate from several of the same quantity, in the same unit.

    Weights are inverse variances. When the estimates disagree by more than their errors, the sd grows by
    the square root of chi-square over its degrees of freedom. `floor_sd` is the part that more readings of
    the same kind cannot remove: the sd never falls below it. With `of_logarithm` each sd is that of the
    natural logarithm and the means are geometric. The source is the best one in the list. CannotEstimate
    for an empty list.
    """
    if not estimates:
        raise CannotEstimate("There is no reading to combine.")
    if any(estimate.sd == 0 for estimate in estimates):
        raise ParameterError("A reading without any error cannot be combined with others: state its sd.")
    values = np.array([estimate.value for estimate in estimates], dtype=float)
    if of_logarithm and (values <= 0).any():
        raise ParameterError(
            f"A quantity that is combined by its logarithm must be above 0, got {values.min():g}."
        )
    values = np.log(values) if of_logarithm else values
    weights = np.array([estimate.sd for estimate in estimates]) ** -2.0
    mean = float((weights * values).sum() / weights.sum())
    spread = 1.0
    if len(values) > 1:
        spread = max(1.0, float((weights * (values - mean) ** 2).sum()) / (len(values) - 1))
    return Estimate(
        value=math.exp(mean) if of_logarithm else mean,
        sd=max(floor_sd, math.sqrt(spread / float(weights.sum()))),
        source=min((estimate.source for estimate in estimates), key=_RANK.index),
        n=sum(estimate.n for estimate in estimates),
    )


def pooled_share(lengths: Sequence[Sequence[float]], usual_share: float, usual_weight: int = 4) -> float:
    """Spread of single readings as a share of their size [-], pooled over groups.

    A handful of readings says little about their own spread, so a usual value joins as if it came from
    `usual_weight` more readings.
    """
    squares, freedom = usual_weight * usual_share**2, usual_weight
    for group in lengths:
        values = np.asarray(group, dtype=float)
        if len(values) > 1:
            squares += float(((values / values.mean() - 1) ** 2).sum())
            freedom += len(values) - 1
    return math.sqrt(squares / freedom)


def centre_and_share(group: Sequence[float], share: float) -> tuple[float, float]:
    """Median of a few readings and its relative sd, from the spread of one: 1.25 s / sqrt(n) beyond two."""
    n = len(group)
    return float(np.median(group)), (1.25 if n > 2 else 1.0) * share / math.sqrt(n)
