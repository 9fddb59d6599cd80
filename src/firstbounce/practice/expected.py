"""What a game's score means: the law of the score for this player, by the model of strike, shot and putt."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.practice.chips import Chipper, Chips
from firstbounce.practice.games import CALL_WITHIN, RULES, Game, GameScore
from firstbounce.practice.putting_out import putt, putts_to_hole
from firstbounce.words import LieKind

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

ROUNDS = 2000  #: games played by the model; standard error of a mean score of nine about 0.035
USUAL_DISTANCES_M = {
    Game.NINE: (5.0, 20.0),
    Game.WORST: (8.0, 20.0),
    Game.CALL: (8.0, 20.0),
}  #: nearest, farthest
MIXED_LIES = (LieKind.FAIRWAY, LieKind.LIGHT_ROUGH)  #: in turn, for the games that are played round a green
TELLS = (1.645 + 0.842) ** 2 * 2  #: one-sided 5 %, power 80 %, two means of equal variance


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The law of a score: chance of each, mean, and what nine in ten games lie between."""

    game: Game
    chances: tuple[float, ...]  #: of 0, 1, ... points
    strokes: float | None  #: mean of all strokes together
    strokes_low: float | None  #: 90 % of games
    strokes_high: float | None
    basis: str

    @property
    def mean(self) -> float:
        """Points to expect."""
        return sum(k * p for k, p in enumerate(self.chances))

    @property
    def variance(self) -> float:
        """Of the points."""
        return sum(k * k * p for k, p in enumerate(self.chances)) - self.mean**2

    @property
    def low(self) -> int:
        """Points that 95 % of games reach."""
        return next(k for k in range(len(self.chances)) if sum(self.chances[: k + 1]) >= 0.05)

    @property
    def high(self) -> int:
        """Points that 95 % of games do not pass."""
        return next(k for k in range(len(self.chances)) if sum(self.chances[: k + 1]) >= 0.95 - 1e-12)

    def at_least(self, points: int) -> float:
        """Chance of so many points or more."""
        return sum(self.chances[points:])

    @property
    def games_to_tell(self) -> int:
        """Games before and after that tell a change of one point (4 times in 5, 1 in 20 false)."""
        return max(math.ceil(TELLS * self.variance), 1)

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON."""
        return {
            "points": round(self.mean, 2),
            "low_points": self.low,
            "high_points": self.high,
            "chances": [round(p, 4) for p in self.chances],
            "strokes": None if self.strokes is None else round(self.strokes, 2),
            "low_strokes": self.strokes_low,
            "high_strokes": self.strokes_high,
            "games_to_tell": self.games_to_tell,
            "basis": self.basis,
        }


def expected_score(
    game: Game,
    chipper: Chipper,
    rng: np.random.Generator,
    *,
    distances_m: Sequence[float] | None = None,
    circle_chance: float | None = None,
    rounds: int = ROUNDS,
) -> Expected:
    """The law of the score for this player.

    `distances_m`: of the holes, start to hole; `circle_chance`: of one ball that counts (from its set-up).
    """
    n = chipper.fit.landing.n_landed
    basis = f"learned from {n} balls" if n else f"typical for {chipper.player.level}"
    if game is Game.ONE:
        if circle_chance is None or not 0 <= circle_chance <= 1:
            raise ParameterError("The one that counts needs the chance of one ball, 0 to 1.")
        return _made(game, _binomial(RULES[game].of, circle_chance), None, basis)
    near, far = USUAL_DISTANCES_M[game]
    distances = np.linspace(near, far, RULES[game].of) if distances_m is None else np.asarray(distances_m)
    if len(distances) != RULES[game].of or not np.all((distances >= 2) & (distances <= 50)):
        raise ParameterError(f"{game.capitalize()} needs {RULES[game].of} distances of 2 to 50 m.")
    play = {Game.NINE: _nine, Game.WORST: _worst, Game.CALL: _call}[game]
    points, strokes = play(chipper, distances, rng, rounds)
    chances = np.bincount(points, minlength=RULES[game].of + 1) / rounds
    return _made(game, tuple(float(p) for p in chances), strokes, basis)


def _made(game: Game, chances: tuple[float, ...], strokes: Floats | None, basis: str) -> Expected:
    ends = [None, None] if strokes is None else [float(q) for q in np.quantile(strokes, (0.05, 0.95))]
    return Expected(
        game=game,
        chances=chances,
        strokes=None if strokes is None else float(strokes.mean()),
        strokes_low=ends[0],
        strokes_high=ends[1],
        basis=basis,
    )


def _binomial(n: int, p: float) -> tuple[float, ...]:
    return tuple(math.comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(n + 1))


def _nine(chipper: Chipper, distances: Floats, rng: np.random.Generator, n: int) -> tuple[Ints, Floats]:
    points, total = np.zeros(n, dtype=np.int64), np.zeros(n)
    for distance, lie in zip(distances, itertools.cycle(MIXED_LIES)):
        strokes = 1 + left_to_play(chipper.chips(float(distance), n, rng, lie), chipper, rng)
        points += strokes <= 2
        total += strokes
    return points, total


def left_to_play(chips: Chips, chipper: Chipper, rng: np.random.Generator) -> Ints:
    """Strokes still to play from each finish: putts on the green, the price of the place off it."""
    putts = putts_to_hole(np.where(chips.on_green, chips.left, 0.0), chipper.player.putting, rng)
    away = np.floor(chips.strokes) + (rng.random(len(putts)) < chips.strokes % 1)
    return np.where(chips.on_green | chips.holed, putts, np.maximum(away, 1)).astype(np.int64)


def _worst(chipper: Chipper, distances: Floats, rng: np.random.Generator, n: int) -> tuple[Ints, Floats]:
    """Two balls each stroke, the worse one counts; off the green the worse of two ways to hole out."""
    points, total = np.zeros(n, dtype=np.int64), np.zeros(n)
    for distance, lie in zip(distances, itertools.cycle(MIXED_LIES)):
        one, two = (chipper.chips(float(distance), n, rng, lie) for _ in range(2))
        on_green = (one.on_green | one.holed) & (two.on_green | two.holed)
        putts = _worse_putts(np.where(on_green, np.maximum(one.left, two.left), 0.0), chipper, rng)
        away = np.maximum(left_to_play(one, chipper, rng), left_to_play(two, chipper, rng))
        strokes = 1 + np.where(on_green, putts, away)
        points += strokes <= 3
        total += strokes
    return points, total


def _worse_putts(length: Floats, chipper: Chipper, rng: np.random.Generator) -> Ints:
    left, count = length.copy(), np.zeros(len(length), dtype=np.int64)
    for _ in range(8):
        playing = left > 0
        count[playing] += 1
        skill = chipper.player.putting
        left[playing] = np.maximum(putt(left[playing], skill, rng), putt(left[playing], skill, rng))
    return count


def _call(chipper: Chipper, distances: Floats, rng: np.random.Generator, n: int) -> tuple[Ints, None]:
    """The call is the usual run of a clean ball, misread as this player misreads a putt of that length."""
    skill = chipper.player.putting
    misread = skill.distance_share * math.sqrt(skill.reading_share)
    points = np.zeros(n, dtype=np.int64)
    for distance in distances:
        chips = chipper.chips(float(distance), n, rng)
        usual = float(np.median(chips.run[chips.clean])) if chips.clean.any() else float(np.median(chips.run))
        called = usual * np.exp(misread * rng.standard_normal(n))
        points += (np.abs(called - chips.run) <= CALL_WITHIN * chips.run) & ~chips.holed
    return points, None


def meaning(score: GameScore, expected: Expected) -> str:
    """What a score says, and how little one game says."""
    said = (
        f"{score.points} of {score.of}: {expected.mean:.1f} is to be expected ({expected.basis}), "
        f"nine games in ten give {expected.low} to {expected.high}."
    )
    if score.points > expected.high:
        said += f" So many or more come by luck in {_rarely(expected.at_least(score.points))} games."
    elif score.points < expected.low:
        said += (
            f" So few or fewer come by bad luck in {_rarely(1 - expected.at_least(score.points + 1))} games."
        )
    else:
        said += " That is within what luck does."
    return (
        f"{said} To tell a change of one point takes {expected.games_to_tell} games before and as many after."
    )


def _rarely(chance: float) -> str:
    return f"1 in {round(1 / chance):,}" if chance > 1e-3 else "fewer than 1 in 1,000"
