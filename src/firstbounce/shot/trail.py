"""The trail of one ball: points written as it goes, for pictures. An empty trail costs nothing."""

from __future__ import annotations

from firstbounce.shot.compiler import inlined

PHASES = ("flight", "bounce", "skid", "roll")  #: name of each phase code


@inlined
def note(trail, used, phase, t, x, y, z):
    """Write (phase, t, x, y, z) if there is room; return the number of points used."""
    if used < trail.shape[0]:
        trail[used, 0] = phase
        trail[used, 1] = t
        trail[used, 2] = x
        trail[used, 3] = y
        trail[used, 4] = z
        used += 1
    return used
