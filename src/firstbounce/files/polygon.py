"""Plain checks of a polygon that a person drew: area, crossing sides, inside or not."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

Corner = tuple[float, float]


def sides(corners: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    """Sides in order, the last back to the first corner."""
    return list(pairwise([*corners, corners[0]]))


def area(corners: Sequence[Corner]) -> float:
    """Area by the shoelace formula, whichever way round [units squared]."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in sides(corners))) / 2


def contains(corners: Sequence[Corner], at: Corner) -> bool:
    """True when the place is inside, by the even-odd rule."""
    x, y = at
    inside = False
    for (ax, ay), (bx, by) in sides(corners):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def first_crossing(corners: Sequence[Corner]) -> tuple[int, int] | None:
    """Numbers (from 0) of the first two sides that touch though they are not neighbours, or None."""
    all_sides = sides(corners)
    n = len(all_sides)
    for i in range(n):
        for j in range(i + 2, n):
            if not (i == 0 and j == n - 1) and touch(*all_sides[i], *all_sides[j]):
                return i, j
    return None


def touch(a: Corner, b: Corner, c: Corner, d: Corner) -> bool:
    """True when the piece of line a-b meets the piece c-d."""
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    ends = ((turns[0], a, b, c), (turns[1], a, b, d), (turns[2], c, d, a), (turns[3], c, d, b))
    return any(turn == 0 and _in_box(p, q, r) for turn, p, q, r in ends)


def extent(corners: Sequence[Corner]) -> float:
    """The longer side of the box around the corners [units]."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return max(max(xs) - min(xs), max(ys) - min(ys))


def _turn(a: Corner, b: Corner, c: Corner) -> float:
    twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return 0.0 if twice == 0 else (1.0 if twice > 0 else -1.0)


def _in_box(a: Corner, b: Corner, c: Corner) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])
