"""Balls and tallies as arrays: what was struck from where, and which place the model plays from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.fitting.landing import CLEAN, MISHIT, UNTAGGED, Landings
from firstbounce.fitting.layout import lie_group
from firstbounce.players.clubs import tidy_name
from firstbounce.players.mishits import LIE_SHARE_FACTOR
from firstbounce.players.player import Player
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.words import Ball, Lie, Point, Strike, Tally, TallyLanding

Floats = NDArray[np.float64]

SHORTEST_CARRY = 0.5  #: a ball that carried less is no chip: it is set aside [m]
LONGEST_M = 90.0  #: a carry or run beyond this is a slip of the pen for a chip or pitch [m]


@dataclass(frozen=True, slots=True)
class SetAside:
    """A ball that the fit could not use, and why."""

    id: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Shots:
    """n strokes to play by the model; one row a stroke."""

    start: Floats  #: (n, 2) [m]
    spot: Floats  #: (n, 2) where the model lands the ball [m]
    club: NDArray[np.int64]  #: (n,) index into the lofted clubs of the bag
    lies: tuple[Lie, ...]  #: (n,)
    group: NDArray[np.int64]  #: (n,) index into LIE_GROUPS

    def __len__(self) -> int:
        return len(self.club)

    @property
    def carry(self) -> Floats:
        """(n,) [m]."""
        return np.hypot(*(self.spot - self.start).T)

    @property
    def line(self) -> Floats:
        """(n, 2) unit vectors from start to spot."""
        way = self.spot - self.start
        return np.asarray(way / np.maximum(np.hypot(*way.T), 1e-9)[:, None])

    def take(self, rows: NDArray[np.int64]) -> Shots:
        """Some of the strokes."""
        return Shots(
            self.start[rows],
            self.spot[rows],
            self.club[rows],
            tuple(self.lies[i] for i in rows),
            self.group[rows],
        )


def shots_of(
    player: Player, clubs: Sequence[str], starts: Sequence[Point], spots: Sequence[Point], lies: Sequence[Lie]
) -> Shots:
    """Strokes by club name; ParameterError names a club that is not in the bag or is the putter."""
    names = [tidy_name(club.name) for club in player.bag.lofted]
    index = []
    for name in clubs:
        club = player.bag.club(name)
        if club.is_putter:
            raise ParameterError(
                "A putter neither carries nor bounces: the fit takes chips and pitches only."
            )
        index.append(names.index(tidy_name(club.name)))
    return Shots(
        np.array(starts, dtype=np.float64).reshape(-1, 2),
        np.array(spots, dtype=np.float64).reshape(-1, 2),
        np.array(index, dtype=np.int64),
        tuple(lies),
        np.array([lie_group(lie) for lie in lies], dtype=np.int64),
    )


def sort_out(
    balls: Sequence[Ball], tallies: Sequence[Tally], player: Player, wet: bool
) -> tuple[list[Ball], list[Tally], tuple[SetAside, ...]]:
    """The balls that a fit of this day can use, and those set aside with the reason."""
    aside: list[SetAside] = []
    kept: list[Ball] = []
    for ball in balls:
        reason = _why_not(ball, player, wet) or _why_not_placed(ball)
        if reason:
            aside.append(SetAside(ball.id, reason))
        else:
            kept.append(ball)
    fine: list[Tally] = []
    for tally in tallies:
        reason = _why_not(tally, player, wet) or _too_short(tally.start, tally.circle.centre)
        if reason:
            aside.append(SetAside(tally.id, reason))
        else:
            fine.append(tally)
    return kept, fine, tuple(aside)


def _why_not(ball: Ball | Tally, player: Player, wet: bool) -> str | None:
    if player.bag.club(ball.club).is_putter:
        return "a putt says nothing about landing and run"
    if ball.lie.wet != wet:
        return f"hit from a {'wet' if ball.lie.wet else 'dry'} lie, and the day is {'wet' if wet else 'dry'}"
    return None


def _too_short(start: Point, place: Point) -> str | None:
    way = float(np.hypot(place[0] - start[0], place[1] - start[1]))
    if way < SHORTEST_CARRY:
        return f"carried only {way:.1f} m: no chip"
    return f"carried {way:.0f} m: no chip or pitch" if way > LONGEST_M else None


def _why_not_placed(ball: Ball) -> str | None:
    place = ball.landed or ball.aim
    if place is None:
        return "neither where it landed nor where it was meant to land is known"
    if ball.landed is None and ball.finished is None and not ball.holed:
        return "neither where it landed nor where it finished is known"
    if ball.finished is not None:
        rolled = float(np.hypot(ball.finished[0] - place[0], ball.finished[1] - place[1]))
        if rolled > LONGEST_M:
            return f"ran {rolled:.0f} m: no chip or pitch"
    return _too_short(ball.start, place)


def landings_of(balls: Sequence[Ball], tallies: Sequence[Tally]) -> Landings:
    """Landings against the meant spots, balls first, then tallies; a ball without aim is not seen."""
    strokes: list[Ball | Tally] = [*balls, *tallies]
    rows = [_miss(ball) for ball in balls]
    rows += [(_way(t.start, t.circle.centre), np.nan, np.nan) for t in tallies]
    table = np.array(rows, dtype=np.float64).reshape(-1, 3)
    return Landings(
        carry=table[:, 0],
        along=table[:, 1],
        across=table[:, 2],
        placing=np.array([b.landed_sd_m for b in balls] + [0.0] * len(tallies)),
        lie_factor=np.array([LIE_FACTOR[s.lie.kind] for s in strokes], dtype=np.float64),
        tag=np.array([_tag(s.strike) for s in strokes], dtype=np.int64),
        tally=(*([None] * len(balls)), *(_seen(t) for t in tallies)),
        radius=np.array([1.0] * len(balls) + [t.circle.radius_m for t in tallies]),
        share_factor=np.array([LIE_SHARE_FACTOR[s.lie.kind] for s in strokes], dtype=np.float64),
    )


def _seen(tally: Tally) -> TallyLanding:
    return tally.landing


def _way(start: Point, place: Point) -> float:
    return float(np.hypot(place[0] - start[0], place[1] - start[1]))


def _miss(ball: Ball) -> tuple[float, float, float]:
    """Meant carry, and landed less meant along and across [m]; nan when one of the two is not known."""
    if ball.aim is None or ball.landed is None:
        place = ball.aim or ball.landed or ball.start
        return max(_way(ball.start, place), SHORTEST_CARRY), np.nan, np.nan
    carry = max(_way(ball.start, ball.aim), SHORTEST_CARRY)
    ux, uy = (ball.aim[0] - ball.start[0]) / carry, (ball.aim[1] - ball.start[1]) / carry
    dx, dy = ball.landed[0] - ball.aim[0], ball.landed[1] - ball.aim[1]
    return carry, dx * ux + dy * uy, dx * uy - dy * ux


def _tag(strike: Strike | None) -> int:
    if strike is None:
        return UNTAGGED
    return CLEAN if strike is Strike.CLEAN else MISHIT
