"""From balls and tallies to what was seen of every stroke, as the solver wants it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from firstbounce.fitting.landing import LandingFit
from firstbounce.fitting.likelihood import FINISH_KIND, HOLED, NOTHING, POINT, Finishes
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.fitting.solve import Seen
from firstbounce.players.player import Player
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.words import Ball, Point, Tally, TallyLanding

Floats = NDArray[np.float64]

LARGEST_DROP_SPEED = 1.63  #: a faster ball jumps a level hole (Holmes 1991, from memory) [m/s]
_GRID = np.linspace(-2.6, 2.6, 27)  #: standard normals over which a tallied landing is averaged


def strokes_of(balls: Sequence[Ball], tallies: Sequence[Tally], player: Player) -> Shots:
    """Every stroke, played to where it landed; to where it was meant to land when nobody placed that."""
    strokes: list[Ball | Tally] = [*balls, *tallies]
    return shots_of(
        player,
        [s.club for s in strokes],
        [s.start for s in strokes],
        [*((b.landed or b.aim or b.start) for b in balls), *(t.circle.centre for t in tallies)],
        [s.lie for s in strokes],
    )


def seen_of(
    balls: Sequence[Ball],
    tallies: Sequence[Tally],
    landing: LandingFit,
    green_deceleration: float,
    sideways: float = 0.0,
) -> Seen:
    """What was seen, given the player's spread of landing (it says where a tallied ball landed).

    `sideways`: sd of every finish across its run, per metre of run, by what is not known of the slope.
    """
    rows = [_ball_row(ball, landing) for ball in balls] + [_tally_row(tally, landing) for tally in tallies]
    table = np.array(rows, dtype=np.float64).reshape(-1, 9)
    n = len(table)
    reach = LARGEST_DROP_SPEED**2 / (2 * green_deceleration)
    finishes = Finishes(
        kind=table[:, 0].astype(np.int64),
        landed_along=table[:, 1],
        landed_across=table[:, 2],
        finished=table[:, 3],
        reach=np.full(n, reach),
        sideways=np.full(n, sideways),
    )
    return Seen(finishes, table[:, 4:6], table[:, 6:8], table[:, 8])


def _row(
    kind: int,
    along: float,
    across: float,
    finished: float,
    point: Point | None,
    shift: Sequence[float],
    hang: float | None,
) -> list[float]:
    x, y = (np.nan, np.nan) if point is None else point
    return [kind, along, across, finished, x, y, *shift, np.nan if hang is None else hang]


def _ball_row(ball: Ball, landing: LandingFit) -> list[float]:
    along = across = ball.landed_sd_m
    shift = (0.0, 0.0)
    if ball.landed is None and ball.aim is not None:
        carry = np.array([np.hypot(ball.aim[0] - ball.start[0], ball.aim[1] - ball.start[1])])
        factor = np.array([LIE_FACTOR[ball.lie.kind]])
        along = float(landing.sd_along(carry, factor)[0])
        across = float(landing.sd_across(carry, factor)[0])
        shift = landing.bias(float(carry[0]))
    hang = ball.hang_time_s if ball.landed is not None else None
    if ball.holed and ball.hole is not None:
        return _row(HOLED, along, across, 0.0, ball.hole, shift, hang)
    if ball.finished is None or ball.holed:
        return _row(NOTHING, along, across, 0.0, None, shift, hang)
    return _row(POINT, along, across, ball.finished_sd_m, ball.finished, shift, hang)


def _tally_row(tally: Tally, landing: LandingFit) -> list[float]:
    centre = tally.circle.centre
    carry = float(np.hypot(centre[0] - tally.start[0], centre[1] - tally.start[1]))
    sd = (
        float(landing.sd_along(np.array([carry]), np.array([LIE_FACTOR[tally.lie.kind]]))[0]),
        float(landing.sd_across(np.array([carry]), np.array([LIE_FACTOR[tally.lie.kind]]))[0]),
    )
    shift, spread = tallied_landing(tally.landing, tally.circle.radius_m, landing.bias(carry), sd)
    return _row(FINISH_KIND[tally.finish], *spread, 0.0, tally.hole, shift, None)


def tallied_landing(
    word: TallyLanding, radius_m: float, bias: tuple[float, float], sd: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Mean and sd [m], along and across, of where a clean ball of this tally landed about the centre."""
    along, across = np.meshgrid(bias[0] + sd[0] * _GRID, bias[1] + sd[1] * _GRID, indexing="ij")
    weight = np.exp(-0.5 * (_GRID[:, None] ** 2 + _GRID**2)) * _inside(word, along, across, radius_m)
    total = weight.sum()
    if total < 1e-9:  # none of the grid: the ball lies just beyond the edge on that side
        return _edge(word, radius_m), (0.5 * sd[0] + 0.1, 0.5 * sd[1] + 0.1)
    mean = (float((weight * along).sum() / total), float((weight * across).sum() / total))
    var = ((weight * (along - mean[0]) ** 2).sum() / total, (weight * (across - mean[1]) ** 2).sum() / total)
    return mean, (float(np.sqrt(var[0])) + 0.05, float(np.sqrt(var[1])) + 0.05)


def _inside(word: TallyLanding, along: Floats, across: Floats, radius_m: float) -> Floats:
    out = np.hypot(along, across) > radius_m
    longways = np.abs(along) >= np.abs(across)
    which = {
        TallyLanding.IN_CIRCLE: ~out,
        TallyLanding.LONG: out & longways & (along > 0),
        TallyLanding.SHORT: out & longways & (along < 0),
        TallyLanding.RIGHT: out & ~longways & (across > 0),
        TallyLanding.LEFT: out & ~longways & (across < 0),
        TallyLanding.NOT_SEEN: np.ones_like(out),
    }
    return which[word].astype(np.float64)


def _edge(word: TallyLanding, radius_m: float) -> tuple[float, float]:
    edge = 1.1 * radius_m
    return {
        TallyLanding.LONG: (edge, 0.0),
        TallyLanding.SHORT: (-edge, 0.0),
        TallyLanding.RIGHT: (0.0, edge),
        TallyLanding.LEFT: (0.0, -edge),
    }.get(word, (0.0, 0.0))
