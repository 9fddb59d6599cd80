"""A player's lasting miss of the landing: when it is clear, and how to aim off for it."""

from __future__ import annotations

import math

from firstbounce.fitting.result import Z90, Fit, Known
from firstbounce.planning.sentences import Say

Z99 = 2.5758  #: half width of a 99 % interval in standard deviations
WORTH_M = 0.25  #: a habit that moves the landing by less is not worth a word [m], a choice


def aim_off(fit: Fit) -> tuple[float, float]:
    """How much farther, over the carry [-], and to the right [rad] to aim; 0 where no habit is clear."""
    along = -fit.carry_bias.value if _clear(fit.carry_bias) else 0.0
    across = -math.radians(fit.direction_bias_deg.value) if _clear(fit.direction_bias_deg) else 0.0
    return (along, across)


def _clear(habit: Known) -> bool:
    """Seen, not believed, and far enough from nothing that chance would hardly show it.

    Aiming off for a habit that is not there costs about 0.1 strokes a chip (two of the six worst stations of
    a trial in which no player had one, when nine in ten was enough), so 99 in 100 are asked for.
    """
    half = (habit.high - habit.low) / 2 * (Z99 / Z90)
    return habit.n > 0 and abs(habit.value) > half


def habit_text(off: tuple[float, float], carry_m: float, say: Say) -> str:
    """Where balls meant for this carry usually land, and what to do about it; empty for nothing worth it."""
    along, across = off[0] * carry_m, math.tan(off[1]) * carry_m
    parts = []
    if abs(along) >= WORTH_M:
        parts.append(f"{say(abs(along))} {'short' if along > 0 else 'long'}")
    if abs(across) >= WORTH_M:
        parts.append(f"{say(abs(across))} {'left' if across > 0 else 'right'}")
    if not parts:
        return ""
    return f"These balls usually land {' and '.join(parts)} of the spot meant: aim off by as much."
