"""Paces and days as pages say them."""

from __future__ import annotations

import datetime


def paces(length_m: float, pace_m: float) -> str:
    """Whole paces, halves below three."""
    count = length_m / pace_m
    rounded = round(2 * count) / 2 if count < 3 else float(round(count))
    return f"{rounded:g} {'pace' if rounded == 1 else 'paces'}"


def day_text(when: datetime.date) -> str:
    """A day as people write it: 14 May 2026."""
    return f"{when.day} {when:%B %Y}"
