"""The moments that are measured, looked at again: the mean of several looks is believed there.

The landmark model errs a little differently when its square is larger, turned or shifted, or when it looks
in a mirror. On rendered people the mean of 16 looks errs a quarter less from one pose of a person to
another than a single look (docs/technique.md). So a few frames of the address, the top and the finish are
looked at again, each in two ways; how far their mean lies from the first look is added there, and in
between in proportion to the time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final, NamedTuple

import numpy as np

from firstbounce.errors import Cancelled
from firstbounce.technique.pose import LEAST_PRESENCE, PoseModel, Square, faces
from firstbounce.technique.reader import Frame
from firstbounce.technique.signals import Array
from firstbounce.technique.swings import Moments
from firstbounce.technique.tracking import Tracked


class Change(NamedTuple):
    """How a square is changed: times larger, turned by [rad], shifted by shares of its side."""

    larger: float = 1.0
    turn: float = 0.0
    across: float = 0.0
    down: float = 0.0


CHANGES: Final = (
    Change(),
    Change(larger=1.08),
    Change(larger=0.94),
    Change(turn=0.06),
    Change(turn=-0.06),
    Change(across=0.03),
    Change(down=0.03),
    Change(1.04, 0.03, -0.02, -0.02),
)
FRAMES: Final = 8  #: of each moment, so that every change is used once, plainly and in a mirror
STILL_S: Final = 0.3  #: address and finish are still for at least about this long [s]
TOP_S: Final = 0.05  #: the hands hardly move this near the top [s]
MOST_SHIFT: Final = 0.04  #: larger differences are slips of the model, share of the square


class Moment(NamedTuple):
    """One moment: where its shift holds without change [s], and the frames to look at again, by number."""

    first: float
    last: float
    frames: tuple[int, ...]


def moments_to_see(times: Sequence[float], swings: Iterable[Moments]) -> list[Moment]:
    """Address, top and finish of each swing, in order of time."""
    at = np.asarray(times)
    out = []
    for swing in swings:
        for first, last, until in (
            (max(swing.address, swing.start - STILL_S), swing.start, swing.start),
            (swing.top - TOP_S, swing.top + TOP_S, None),
            (swing.finish, min(swing.leaves, swing.finish + STILL_S), swing.leaves),
        ):
            inside = np.flatnonzero((at >= first - 1e-6) & (at <= last + 1e-6))
            if len(inside):
                chosen = inside[np.unique(np.linspace(0, len(inside) - 1, FRAMES).round().astype(int))]
                middle = (first + last) / 2
                held = (middle, middle) if until is None else (first, until)
                out.append(Moment(*held, tuple(int(i) for i in chosen)))
    return out


def look_again(
    frames: Iterable[Frame],
    model: PoseModel,
    tracked: Tracked,
    moments: Sequence[Moment],
    *,
    progress: Callable[[float], None] = lambda seconds: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> None:
    """Look at the frames of these moments again and move the points of `tracked`.

    frames: at least those, with the times of `tracked`.
    """
    order = {frame: k for moment in moments for k, frame in enumerate(moment.frames)}
    numbers = {round(tracked.times[frame], 6): frame for frame in order}
    shifts: dict[int, Array] = {}
    for time, rgb in frames:
        if cancelled():
            raise Cancelled("Stopped; nothing was kept.")
        progress(time)
        frame = numbers.get(round(time, 6))
        if frame is not None:
            change = CHANGES[order[frame] % len(CHANGES)]
            square = changed(tracked.squares[frame], change)
            looks = [
                seen.xy for seen in model.looks(rgb, square) if seen.presence > LEAST_PRESENCE and faces(seen)
            ]
            if looks:
                shifts[frame] = _within(
                    np.mean(looks, axis=0) - tracked.xy[frame], MOST_SHIFT * tracked.squares[frame].side
                )
    move(tracked, moments, shifts)


def changed(square: Square, change: Change) -> Square:
    """The square made larger, turned and shifted."""
    return Square(
        square.x + change.across * square.side,
        square.y + change.down * square.side,
        square.side * change.larger,
        square.turn + change.turn,
    )


def move(tracked: Tracked, moments: Sequence[Moment], shifts: dict[int, Array]) -> None:
    """Add the mean shift of each moment to the points, between moments in proportion to the time [px]."""
    times: list[float] = []
    means: list[Array] = []
    for moment in moments:
        found = [shifts[frame] for frame in moment.frames if frame in shifts]
        if found:
            times += [moment.first, moment.last]
            means += [np.mean(found, axis=0)] * 2
    if not times:
        return
    order = np.argsort(times, kind="stable")
    knots, values = np.array(times)[order], np.array(means)[order]
    at = np.asarray(tracked.times)
    after = np.clip(np.searchsorted(knots, at), 1, len(knots) - 1)
    gap = np.maximum(knots[after] - knots[after - 1], 1e-9)
    share = np.clip((at - knots[after - 1]) / gap, 0, 1)[:, None, None]
    moved = (1 - share) * values[after - 1] + share * values[after]
    tracked.xy = [(xy + by).astype(np.float32) for xy, by in zip(tracked.xy, moved, strict=True)]


def _within(shift: Array, most: float) -> Array:
    """The shift of each point; none where it is larger than `most`."""
    return np.where(np.hypot(*shift.T)[:, None] <= most, shift, 0.0)
