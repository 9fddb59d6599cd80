"""The coach's own settings, with what is usual."""

from __future__ import annotations

from firstbounce.services import kept
from firstbounce.services.store import Store

PACE_M = 0.9  #: a walking coach's pace when nobody states another


def pace_m(store: Store) -> float:
    """The length of the coach's pace [m]."""
    return float(kept.setting(store, "pace_m", PACE_M))
