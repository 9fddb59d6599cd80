"""Find each swing in the hand angle over time, and the moments of a swing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.technique.course import Course, fitted_course
from firstbounce.technique.signals import Array, Fitted, fitted, spells

FIT_WIDTH_S: Final = 0.12  #: width of the parabola that smooths the hand angle [s]
STILL_WIDTH_S: Final = 0.20  #: the same where stillness is judged [s]
STILL_DEG_S: Final = 10.0  #: slower is still (coaching practice, editable) [deg/s]
TURN_DEG: Final = 5.0  #: a turning point needs this much movement back [deg]
LEAST_BACK_DEG: Final = 10.0  #: smaller movements back are a waggle, not a backswing [deg]
LEAST_MOVE_DEG: Final = 1.5  #: smaller movements are the shake of the landmarks [deg]
MOST_REVISED_S: Final = 0.2  #: a course that moves start or top further than this is not believed [s]
VERTEX_S: Final = 0.10  #: frames this near a turning point locate it [s]
SAME_STILL_S: Final = 0.5  #: a still spell that ends this near the last turning point belongs to it [s]
LEAST_STILL_S: Final = 0.12  #: an address or a hold is at least this long [s]
FASTER_THROUGH: Final = (
    1.25  #: without a still address, how much faster the hands come through than they go back
)
FASTER_FROM_STILL: Final = 0.95  #: the same from a still address: a quick start back may be nearly as fast
NO_SHAKE_DEG: Final = (
    0.02  #: hands that scatter less than this about their course are exact, not smoothed [deg]
)
LEAST_THROUGH_SHARE: Final = 0.25  #: the follow-through passes the address by this share of the backswing


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """The moments of one swing [s] and the hand angle at each [deg], towards the target positive.

    side: +1 when the target is at picture right (right-handed), -1 when at picture left.
    leaves: when the hands leave the finish; the end of the clip when they do not (`held_to_end`).
    address_seen: False when the player was never still before the swing; the angle is then that of the
    strike.
    """

    side: int
    address: float
    start: float
    top: float
    strike: float
    finish: float
    leaves: float
    address_deg: float
    top_deg: float
    finish_deg: float
    held_to_end: bool
    address_seen: bool


def find_swings(time: Array, angle: Array, *, still_deg_s: float = STILL_DEG_S) -> list[Moments]:
    """Every swing in the hand angle `angle` [deg, positive to picture right] over `time` [s].

    A swing is a movement one way from stillness, then a faster one the other way past where it began.
    """
    if len(time) < 5:
        return []
    smooth, slow = smoothed(time, angle), fitted(time, angle, STILL_WIDTH_S)
    turns = turning_points(smooth.value, TURN_DEG)
    found = []
    for before, top, after in zip(turns, turns[1:], turns[2:], strict=False):
        side = 1 if smooth.value[after] > smooth.value[top] else -1
        swing = _swing(time, side * angle, smooth, slow, (before, top, after), side, still_deg_s)
        if swing is not None:
            found.append(swing)
    return found


def smoothed(time: Array, angle: Array) -> Fitted:
    """The hand angle and its rate, by parabolas over FIT_WIDTH_S or five frames, whichever is longer.

    Over three frames when the angle does not scatter, as from exact landmarks.
    """
    step = float(np.median(np.diff(time)))
    if scatter(time, angle) < NO_SHAKE_DEG:
        return fitted(time, angle, 2.2 * step)
    return fitted(time, angle, max(FIT_WIDTH_S, 4.2 * step))


def scatter(time: Array, angle: Array) -> float:
    """Frame-to-frame scatter about a smooth course: a robust standard deviation from third differences [deg].

    A third difference of independent errors has 20 times their variance (1 + 9 + 9 + 1).
    """
    if len(angle) < 8:
        return float("inf")
    third = np.abs(np.diff(angle, 3))
    return float(np.percentile(third, 75) / 1.1503 / np.sqrt(20))


def turning_points(signal: Array, least: float) -> list[int]:
    """Indices of the ends and of the extremes that are followed by a movement back of at least `least`."""
    ends, low, high, rising = [0], 0, 0, 0
    for i, value in enumerate(signal):
        low = i if value < signal[low] else low
        high = i if value > signal[high] else high
        if rising >= 0 and signal[high] - value >= least:
            ends.append(high)
            rising, low = -1, i
            high = i
        elif rising <= 0 and value - signal[low] >= least:
            ends.append(low)
            rising, high = 1, i
            low = i
    ends.append(len(signal) - 1)
    return sorted(set(ends))


def _swing(
    time: Array,
    angle: Array,
    smooth: Fitted,
    slow: Fitted,
    turns: tuple[int, int, int],
    side: int,
    still_deg_s: float,
) -> Moments | None:
    before, top, after = turns
    value, rate = side * smooth.value, side * smooth.rate
    still = _still_before(time, side * slow.value, np.abs(slow.rate) < 1.2 * still_deg_s, before, top)
    address = float(np.median(angle[still[0] : still[1] + 1])) if still else float(value[before])
    begin = still[1] if still else before
    top = begin + int(np.argmin(value[begin : after + 1]))
    back, through = address - value[top], value[after] - address
    if back < LEAST_BACK_DEG or through < LEAST_THROUGH_SHARE * back:
        return None
    faster = FASTER_FROM_STILL if still else FASTER_THROUGH
    if rate[top : after + 1].max() < faster * -rate[begin : top + 1].min():
        return None
    strike = _crossing(time, value, address, top, after)
    finish, leaves, peak, to_end = _finish(
        time, value, movements(time, Fitted(value, rate), still_deg_s), strike, address
    )
    course = _course(time, angle, address, begin, top, strike)
    return Moments(
        side=side,
        address=float(time[still[0]]) if still else float(time[before]),
        start=course.start,
        top=course.top,
        strike=strike,
        finish=finish,
        leaves=leaves,
        address_deg=address,
        top_deg=course.top_deg,
        finish_deg=vertex(time, angle, float(time[peak]), -1)[1],
        held_to_end=to_end,
        address_seen=still is not None,
    )


def _course(time: Array, angle: Array, address: float, begin: int, top: int, strike: float) -> Course:
    """Start and top from every frame between them; from their own neighbourhoods when that does not fit."""
    turn, lowest = vertex(time, angle, float(time[top]), 1)
    guess = Course(_start(time, angle, address, lowest, begin, top), turn, address, lowest)
    found = fitted_course(time, angle, guess.start, guess.top, strike)
    if found is None or max(abs(found.start - guess.start), abs(found.top - guess.top)) > MOST_REVISED_S:
        return guess
    return found


def _still_before(
    time: Array, value: Array, still: NDArray[np.bool_], before: int, top: int
) -> tuple[int, int] | None:
    """The last still spell between two turning points that lies well away from the top.

    At most its last 0.4 s.
    """
    for first, last in reversed(spells(still[: top + 1])):
        if last < before and (
            time[before] - time[last] > SAME_STILL_S or abs(value[before] - value[last]) > LEAST_MOVE_DEG
        ):
            return None
        if time[last] - time[first] < LEAST_STILL_S or value[last] - value[top] < LEAST_BACK_DEG / 2:
            continue
        return max(first, int(np.searchsorted(time, time[last] - 0.4))), last
    return None


def _crossing(time: Array, value: Array, level: float, first: int, last: int) -> float:
    """When the signal first rises through a level between two frames, by a straight line between samples."""
    above = np.flatnonzero(value[first : last + 1] >= level)
    j = first + (int(above[0]) if len(above) else last - first)
    if j == first:
        return float(time[first])
    share = (level - value[j - 1]) / max(value[j] - value[j - 1], 1e-9)
    return float(time[j - 1] + np.clip(share, 0, 1) * (time[j] - time[j - 1]))


def vertex(time: Array, angle: Array, near: float, sign: float) -> tuple[float, float]:
    """Time and value of a turning point near a time; `sign` +1 for a lowest point, -1 for a highest.

    Two half parabolas that share their vertex are fitted to the frames within VERTEX_S, least squares, the
    vertex tried every 2 ms: a swing speeds up faster than it slowed down, so one parabola would be biased.
    """
    reach = max(VERTEX_S, 2.6 * float(np.median(np.diff(time))))
    use = np.abs(time - near) <= reach
    t, a = time[use] - near, sign * angle[use]
    if len(t) < 4:
        return near, float(np.interp(near, time, angle))
    best = (np.inf, 0.0, 0.0)
    for place in np.arange(-0.05, 0.0501, 0.002):
        away = (t - place) / reach
        columns = [np.ones_like(t), np.where(away < 0, away**2, 0.0), np.where(away > 0, away**2, 0.0)]
        value, rest = _least_squares(columns, a)
        best = min(best, (rest, float(place), value))
    return near + best[1], sign * best[2]


def _least_squares(columns: list[Array], a: Array) -> tuple[float, float]:
    """The first coefficient and the sum of squares left.

    Other coefficients that come out negative are dropped.
    """
    matrix = np.column_stack(columns)
    solution = np.linalg.lstsq(matrix, a, rcond=None)[0]
    kept = [0, *(k for k in (1, 2) if solution[k] > 0)]
    if len(kept) < 3:
        matrix = matrix[:, kept]
        solution = np.linalg.lstsq(matrix, a, rcond=None)[0]
    return float(solution[0]), float(((a - matrix @ solution) ** 2).sum())


def _start(time: Array, angle: Array, address: float, top: float, begin: int, end: int) -> float:
    """When the hands leave the address.

    The share p of the way back is taken to rise as sin^2, so that asin(sqrt(p)) is a straight line in time;
    the line through 4 to 35 % of the way is followed down to 0.
    """
    stop = min(end + 1, len(time))
    first = max(0, begin - 3)
    share = (address - angle[first:stop]) / max(address - top, 1e-9)
    late = int(np.argmax(share > 0.35)) or len(share)
    early = np.flatnonzero(share[:late] < 0.04)
    low = int(early[-1]) + 1 if len(early) else 0
    use = slice(max(0, low - 1), late + 1)
    p, t = np.clip(share[use], 0, 1), time[first:stop][use]
    if len(t) < 2 or np.ptp(p) < 0.05:
        return float(time[begin])
    slope, cut = np.polyfit(t, np.arcsin(np.sqrt(p)), 1)
    if slope <= 0:
        return float(time[begin])
    return float(np.clip(-cut / slope, time[first] - 0.05, time[end]))


class Movement(NamedTuple):
    """The hands really move from `start` to `end` [s]; sign +1 towards the target, -1 away from it."""

    start: float
    end: float
    sign: float


def movements(time: Array, smooth: Fitted, least_deg_s: float) -> list[Movement]:
    """Where the hands really move, in order of time.

    A movement counts when its speed is above `least_deg_s` and it covers at least LEAST_MOVE_DEG. It starts
    and ends where the speed crosses that, by a straight line between frames.
    """
    out = []
    for sign in (1.0, -1.0):
        speed = sign * smooth.rate
        for first, last in spells(speed > least_deg_s):
            a, b = max(first - 1, 0), min(last + 1, len(time) - 1)
            if abs(smooth.value[b] - smooth.value[a]) >= LEAST_MOVE_DEG:
                out.append(
                    Movement(
                        _between(time, speed, a, first, least_deg_s),
                        _between(time, speed, last, b, least_deg_s),
                        sign,
                    )
                )
    return sorted(out)


def _between(time: Array, signal: Array, a: int, b: int, level: float) -> float:
    """When the signal passes a level between two neighbouring frames."""
    if a == b or signal[a] == signal[b]:
        return float(time[a])
    share = np.clip((level - signal[a]) / (signal[b] - signal[a]), 0, 1)
    return float(time[a] + share * (time[b] - time[a]))


def _finish(
    time: Array, value: Array, moves: list[Movement], strike: float, address: float
) -> tuple[float, float, int, bool]:
    """When the follow-through ends, when the hands leave, the frame of the peak.

    And whether the clip ended first.
    """
    after = min(int(np.searchsorted(time, strike)), len(time) - 1)
    peak = after
    for i in range(after, len(value)):
        peak = i if value[i] > value[peak] else peak
        if value[peak] - value[i] > TURN_DEG or time[i] - time[peak] > 0.5:
            break
    rising = [m.end for m in moves if m.sign > 0 and m.start <= time[peak] and m.end >= strike]
    end = max(rising, default=float(time[peak]))
    half = address + 0.5 * (value[peak] - address)
    gone = np.flatnonzero((value[peak:] < half) | (value[peak:] > value[peak] + 12))
    if not len(gone):
        return end, float(time[-1]), peak, True
    leaving = peak + int(gone[0])
    sign = -1.0 if value[leaving] < half else 1.0
    going = [m.start for m in moves if m.sign == sign and m.start <= time[leaving] <= m.end]
    return end, max(min(going, default=float(time[leaving])), end), peak, False
