"""Balls that can hardly be: feet typed as metres, landed and finished swapped, stopped in the hole."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from firstbounce.units import METRES_PER_FOOT
from firstbounce.words import Ball, Point, Tally

LONGEST_CARRY_M = 60.0  #: the tool is for chips and pitches [m]
LONGEST_RUN_M = 20.0  #: beyond the longest carry [m]
IN_THE_HOLE_M = 0.04  #: nearer to the hole's centre than this a ball on the grass would hang over it [m]

NEAR_ENOUGH = 1e-6  #: balls this near to a limit get the exact look [m]

Found = Iterator[tuple[str, str]]
Places = NDArray[np.float64]  #: (n, 2) [m], not a number where there is none


def worth_a_look(start: Places, hole: Places, landed: Places, finished: Places) -> NDArray[np.bool_]:
    """(n,) whether `doubts` could find anything in a placed ball: the same limits on whole columns."""
    far_hole = np.nan_to_num(_far_apart(start, hole), nan=math.inf)
    far_landed, far_finished = _far_apart(start, landed), _far_apart(start, finished)
    carry, run = landed - start, finished - landed
    back = -np.einsum("ij,ij->i", carry, run)
    return (
        (far_landed > np.minimum(LONGEST_CARRY_M, 1.8 * far_hole + 4.0) - NEAR_ENOUGH)
        | (far_finished > np.minimum(LONGEST_CARRY_M + LONGEST_RUN_M, 2.2 * far_hole + 4.0) - NEAR_ENOUGH)
        | (_far_apart(finished, hole) < IN_THE_HOLE_M + NEAR_ENOUGH)
        | (back > np.maximum(1.5, 0.35 * far_landed) * far_landed - NEAR_ENOUGH)
    )


def _far_apart(a: Places, b: Places) -> NDArray[np.float64]:
    return np.hypot(a[:, 0] - b[:, 0], a[:, 1] - b[:, 1])


def doubts(ball: Ball | Tally) -> Found:
    """Column and sentence for everything about the ball that is hard to believe."""
    if isinstance(ball, Tally):
        yield from _far(ball, "aim_x_m", "the circle is", ball.circle.centre, 1.5)
        return
    if ball.landed is not None:
        yield from _far(ball, "landed_x_m", "landed", ball.landed, 1.8)
    if ball.finished is not None:
        yield from _far(ball, "finished_x_m", "finished", ball.finished, 2.2)
        yield from _at_hole(ball, ball.finished)
    if ball.landed is not None and ball.finished is not None:
        yield from _came_back(ball.start, ball.landed, ball.finished)


def _far(ball: Ball | Tally, column: str, did: str, place: Point, times: float) -> Found:
    """Farther than a chip goes, or many times as far as the hole: feet, most likely."""
    far = math.dist(ball.start, place)
    hole = math.inf if ball.hole is None else math.dist(ball.start, ball.hole)
    longest = LONGEST_CARRY_M + (LONGEST_RUN_M if did == "finished" else 0.0)
    if far <= min(longest, times * hole + 4.0):
        return
    feet = f"{far:.1f} feet would be {far * METRES_PER_FOOT:.1f} metres: were feet typed as metres?"
    if far > longest:
        yield column, f"{did} {far:.1f} metres from the start, farther than any chip or pitch; {feet}"
    else:
        yield (
            column,
            f"{did} {far:.1f} metres from the start though the hole is {hole:.1f} metres away; {feet}",
        )


def _at_hole(ball: Ball, finished: Point) -> Found:
    if ball.hole is not None and math.dist(finished, ball.hole) < IN_THE_HOLE_M:
        yield "finished_x_m", "finished in the hole; write holed = yes and leave finished empty"


def _came_back(start: Point, landed: Point, finished: Point) -> Found:
    """Spin and slope bring a ball back a little; landed far beyond finished is two numbers swapped."""
    carry_x, carry_y = landed.x_m - start.x_m, landed.y_m - start.y_m
    run_x, run_y = finished.x_m - landed.x_m, finished.y_m - landed.y_m
    if run_x * carry_x + run_y * carry_y >= 0:
        return
    carry = math.hypot(carry_x, carry_y)
    back = -(run_x * carry_x + run_y * carry_y) / carry
    if back > max(1.5, 0.35 * carry):
        said = f"landed {back:.1f} metres beyond where it finished; were the two swapped?"
        yield "landed_x_m", f"{said} If a slope or spin brought it back, write yes in column checked"
