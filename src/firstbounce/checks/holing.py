"""Checks of the hole and of putting: capture speeds, published make rates, expected putts."""

from __future__ import annotations

from collections.abc import Iterator

from firstbounce.checks.case import Case, Seen
from firstbounce.shot.hole import capture_speed_free_fall, capture_speed_holmes_1991

HOLMES = "Holmes, Am. J. Phys. 59 (1991) 129; Penner's fit, Can. J. Phys. 80 (2002) 83"


def _capture_cases() -> Iterator[Case]:
    for offset_mm, free, holmes in ((0, 1.314, 1.630), (20, 1.152, 1.406)):
        yield Case(
            what=f"greatest speed of a captured ball, {offset_mm} mm off centre, free fall",
            published=free,
            tolerance=0.01,
            unit="m/s",
            source="the ball drops one radius before the far rim",
            seen=Seen.IDENTITY,
            compute=lambda d: capture_speed_free_fall(d / 1000),
            given=(offset_mm,),
        )
        yield Case(
            what=f"greatest speed of a captured ball, {offset_mm} mm off centre",
            published=holmes,
            tolerance=0.01,
            unit="m/s",
            source=HOLMES,
            seen=Seen.MEMORY,
            compute=lambda d: capture_speed_holmes_1991(d / 1000),
            given=(offset_mm,),
        )


def cases() -> Iterator[Case]:
    """Capture, then putting."""
    yield from _capture_cases()
