"""Round steps for axes, height lines and scale bars."""

from __future__ import annotations

import math

import numpy as np

from firstbounce.errors import ParameterError


def nice_step(span: float, at_most: int) -> float:
    """The smallest of 1, 2, 5 times a power of ten that cuts `span` into at most `at_most` steps."""
    if not (span > 0 and math.isfinite(span) and at_most >= 1):
        raise ParameterError(f"No steps for a span of {span:g} in at most {at_most}.")
    power = 10.0 ** math.floor(math.log10(span / at_most))
    for factor in (1, 2, 5, 10):
        if factor * power * at_most >= span * (1 - 1e-9):
            return factor * power
    return 10 * power


def nice_below(length: float) -> float:
    """The largest of 1, 2, 5 times a power of ten not above `length`."""
    if not (length > 0 and math.isfinite(length)):
        raise ParameterError(f"No round length below {length:g}.")
    power = 10.0 ** math.floor(math.log10(length))
    return max(factor * power for factor in (0.5, 1, 2, 5) if factor * power <= length * (1 + 1e-9))


def tick_values(low: float, high: float, at_most: int) -> list[float]:
    """Round values from `low` to `high`, both ends included when they are round."""
    step = nice_step(high - low, at_most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [float(np.round(k * step, 10)) for k in range(first, last + 1)]


def tick_digits(step: float) -> int:
    """Decimals that a label at this step needs."""
    return max(0, -math.floor(math.log10(step) + 1e-9))
