"""What balls say that were only tallied: counts and ranges, never invented points.

Each question has an exact chance from the counts alone (sign test, or the counts against what the model and
the usual spread give), and a range of effects that the counts allow, from the likelihood of the ranges. An
end that the tallies leave open is infinite.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, bdtrc, ndtr

from firstbounce.fitting.landing import MISHIT_TALLY
from firstbounce.fitting.ranges import SECTORS, chance_beyond, chance_within, cloud
from firstbounce.fitting.result import Fit
from firstbounce.ground.ground import Ground
from firstbounce.players.spread import LIE_FACTOR
from firstbounce.review.expected import Foresight, foresee, places, shots_to
from firstbounce.review.questions import FEWEST_TO_ASK, Answer, Question
from firstbounce.review.split import SHORTEST_LINE, LeftOut, label_words, to_line
from firstbounce.review.usual import ln_sd_of, mishit_share, usual_sd
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.words import Strike, Tally, TallyFinish, TallyLanding

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]
TWO_PACES_M = 1.8  #: [m]
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(15)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()
_CUT = 1.353  #: ln likelihood below the best that a 90 % range reaches down to
CLOSE = (TallyFinish.HOLED, TallyFinish.GIVEN, TallyFinish.WITHIN_TWO_PACES)


@dataclass(frozen=True, slots=True, eq=False)
class TallySet:
    """n tallies of one green and day, with what the model foresaw for a ball in the middle of the circle."""

    tallies: tuple[Tally, ...]
    then: Foresight
    carry: Floats  #: (n,) start to the centre of the circle [m]
    radius: Floats  #: (n,) [m]
    past: Floats  #: (n,) the foreseen finish past the hole [m]
    left_out: tuple[LeftOut, ...]

    def __len__(self) -> int:
        return len(self.tallies)

    @classmethod
    def together(cls, sets: Sequence[TallySet]) -> TallySet:
        """The tallies of several days, one after another."""
        if len(sets) == 1:
            return sets[0]
        return cls(
            tallies=tuple(tally for one in sets for tally in one.tallies),
            then=Foresight.together([one.then for one in sets]),
            carry=np.concatenate([one.carry for one in sets]),
            radius=np.concatenate([one.radius for one in sets]),
            past=np.concatenate([one.past for one in sets]),
            left_out=tuple(out for one in sets for out in one.left_out),
        )

    @property
    def struck_well(self) -> Rows:
        """(n,) not called a mishit."""
        return np.array([t.strike in (None, Strike.CLEAN) for t in self.tallies], dtype=bool)

    def landed(self, *words: TallyLanding) -> Rows:
        """(n,) landed so."""
        return np.array([t.landing in words for t in self.tallies], dtype=bool)

    def finished(self, *words: TallyFinish) -> Rows:
        """(n,) finished so."""
        return np.array([t.finish in words for t in self.tallies], dtype=bool)


def tally_set(
    tallies: Sequence[Tally], fit: Fit, ground: Ground, air: AirSpec, laws: Laws, shapes: Sequence[Ground]
) -> TallySet:
    """The tallies that a review of this day can use, and why not the others."""
    out = [(t, reason) for t in tallies if (reason := _why_not(t, fit, ground))]
    dropped = {id(t) for t, _ in out}
    kept = tuple(t for t in tallies if id(t) not in dropped)
    centres, starts = places(t.circle.centre for t in kept), places(t.start for t in kept)
    holes = places(t.hole for t in kept)
    seen = foresee(fit, ground, shots_to(fit, kept, centres), air, laws, shapes)
    line = holes - starts
    line = line / np.maximum(np.hypot(*line.T), 1e-9)[:, None]
    return TallySet(
        tallies=kept,
        then=seen,
        carry=np.hypot(*(centres - starts).T),
        radius=np.array([t.circle.radius_m for t in kept], dtype=np.float64),
        past=to_line(seen.finish - holes, line)[:, 0],
        left_out=tuple(LeftOut(t.id, reason) for t, reason in out),
    )


def _why_not(tally: Tally, fit: Fit, ground: Ground) -> str | None:
    if fit.player.bag.club(tally.club).is_putter:
        return "a putt has no landing"
    if tally.lie.wet != fit.wet:
        return "its lie is wet and the day is dry" if tally.lie.wet else "its lie is dry and the day is wet"
    if math.dist(tally.start, tally.hole) < SHORTEST_LINE:
        return "it was hit from beside the hole"
    if math.dist(tally.start, tally.circle.centre) < SHORTEST_LINE:
        return "its circle lies at its start"
    if not all(ground.holds(place) for place in (tally.start, tally.hole, tally.circle.centre)):
        return "it lies outside the map of this green"
    return None


def tally_answers(seen: TallySet, fit: Fit) -> list[Answer]:
    """What the tallies alone answer; too few of a kind answer nothing."""
    if not len(seen):
        return []
    return [*_plans(seen), *_reading(seen, fit), *_landings(seen, fit)]


# -- finishes ---------------------------------------------------------------------------------------


def _judged(seen: TallySet) -> Rows:
    """In the circle, not called a mishit, finish seen: the landing miss is out of it."""
    return seen.struck_well & seen.landed(TallyLanding.IN_CIRCLE) & ~seen.finished(TallyFinish.NOT_SEEN)


def _finish_sd(seen: TallySet) -> Floats:
    """Spread (n,) of finishes of balls that landed in the circle, about the foreseen one [m]."""
    return np.hypot(seen.then.scatter * seen.then.run, seen.then.gain * seen.radius / 2)


def _plans(seen: TallySet) -> Iterable[Answer]:
    """By station and club: past against short, of balls that landed in the circle (sign test)."""
    rows, sd = _judged(seen), _finish_sd(seen)
    past, short = seen.finished(TallyFinish.FURTHER_PAST), seen.finished(TallyFinish.FURTHER_SHORT)
    names = np.array([label_words(t) for t in seen.tallies])
    for name in dict.fromkeys(names[rows].tolist()):
        mine = rows & (names == name)
        n, k, m = int(mine.sum()), int((mine & past).sum()), int((mine & short).sum())
        if n < FEWEST_TO_ASK:
            continue
        wide = float(sd[mine].mean())
        grid = np.linspace(-10, 10, 401)
        effect, low, high = allowed(grid, _three(n, k, m, grid, wide))
        yield Answer(
            question=Question.PLAN,
            effect=effect if k != m else 0.0,
            low=low,
            high=high,
            chance=sign_chance(k, m),
            n=0,
            tallied=n,
            costs=effect**2 * n / max(int(rows.sum()), 1),
            own=float(seen.past[mine].mean()),
            where=str(name),
        )


def _three(n: int, past: int, short: int, middle: Floats, sd: float) -> Floats:
    """ln likelihood of the counts past, short and between, for finishes about `middle` (k,) [m]."""
    far, near = ndtr((middle - TWO_PACES_M) / sd), ndtr((-TWO_PACES_M - middle) / sd)
    chances = np.clip(np.stack([far, near, 1 - far - near]), 1e-12, 1.0)
    return np.asarray(np.array([past, short, n - past - short]) @ np.log(chances))


def _reading(seen: TallySet, fit: Fit) -> Iterable[Answer]:
    """How many finished past (short), against how many the model held possible."""
    rows = _judged(seen)
    n = int(rows.sum())
    if n < FEWEST_TO_ASK:
        return
    then, sd = seen.then, _finish_sd(seen)
    slope = then.slope[rows].mean(0)
    unknown = math.sqrt(float(slope @ fit.covariance @ slope) + float(then.unsure_slope[rows].mean()) ** 2)
    k = int((rows & seen.finished(TallyFinish.FURTHER_PAST)).sum())
    m = int((rows & seen.finished(TallyFinish.FURTHER_SHORT)).sum())
    mean, wide, run = (float(v[rows].mean()) for v in (seen.past, sd, then.run))
    at = mean + _NODES * unknown * run
    many_past = _WEIGHTS @ _tail(k, n, ndtr((at - TWO_PACES_M) / wide))
    many_short = _WEIGHTS @ _tail(m, n, ndtr((-TWO_PACES_M - at) / wide))
    grid = np.linspace(-0.8, 0.8, 161)
    effect, low, high = allowed(grid, _three(n, k, m, mean + grid * run, wide))
    chance = min(1.0, 2 * float(min(many_past, many_short)))
    sign = 1.0 if many_past < many_short else -1.0
    yield Answer(
        question=Question.READING,
        effect=effect if effect * sign > 0 else 0.0,
        low=low,
        high=high,
        chance=chance,
        n=0,
        tallied=n,
        costs=(effect * run) ** 2,
    )


def _tail(k: int, n: int, chance: Floats) -> Floats:
    """Chance of k or more of n."""
    return np.ones_like(chance) if k == 0 else np.asarray(bdtrc(k - 1, n, chance))


# -- landings ---------------------------------------------------------------------------------------


def _landings(seen: TallySet, fit: Fit) -> Iterable[Answer]:
    """Short against long, left against right, and how many missed the circle."""
    rows = seen.struck_well & ~seen.landed(TallyLanding.NOT_SEEN)
    n = int(rows.sum())
    if n < FEWEST_TO_ASK:
        return
    untagged = np.mean([t.strike is None for t, keep in zip(seen.tallies, rows, strict=True) if keep])
    share = mishit_share(fit) * float(untagged)
    carry, radius = float(seen.carry[rows].mean()), float(seen.radius[rows].mean())
    lie = float(np.mean([LIE_FACTOR[t.lie.kind] for t in seen.tallies]))
    sd = usual_sd(fit, np.array([carry]), np.array([lie]))[0]
    counts = {word: int((rows & seen.landed(word)).sum()) for word in TallyLanding}
    ln_sd = ln_sd_of(fit, carry)
    gains = (float(seen.then.gain[rows].mean()), float(seen.then.side_gain[rows].mean()))
    for axis, (more, less) in enumerate(_SIDES):
        bias, scatter = _QUESTIONS[axis]
        yield _bias(bias, axis, counts, (more, less), sd, radius, share, gains[axis])
        yield _scatter(scatter, axis, counts, (more, less), sd, ln_sd[axis], radius, share, n, gains[axis])


_SIDES = ((TallyLanding.LONG, TallyLanding.SHORT), (TallyLanding.RIGHT, TallyLanding.LEFT))
_QUESTIONS = (
    (Question.DISTANCE_BIAS, Question.DISTANCE_SPREAD),
    (Question.DIRECTION_BIAS, Question.DIRECTION_SPREAD),
)
Sides = tuple[TallyLanding, TallyLanding]


def _chances(centre: tuple[Floats, Floats], sd: tuple[Floats, Floats], radius: float, share: float) -> dict:
    """Chance of each tally of a landing, mishits mixed in."""
    c = cloud(*centre, *sd)
    clean = {word: chance_beyond(c, radius, SECTORS[word]) for word in ("short", "long", "left", "right")}
    clean["in"] = chance_within(c, radius)
    return {word: (1 - share) * chance + share * MISHIT_TALLY[word] for word, chance in clean.items()}


def _bias(
    question: Question,
    axis: int,
    counts: dict[TallyLanding, int],
    sides: Sides,
    sd: Floats,
    radius: float,
    share: float,
    gain: float,
) -> Answer:
    k, m = counts[sides[0]], counts[sides[1]]
    none = np.zeros(1)
    usual = _chances((none, none), (sd[:1], sd[1:]), radius, share)
    even = float(usual[str(sides[0])][0] / (usual[str(sides[0])][0] + usual[str(sides[1])][0]))
    grid = np.linspace(-5, 5, 201)
    flat = np.zeros_like(grid)
    centre = (grid, flat) if axis == 0 else (flat, grid)
    chances = _chances(centre, (flat + sd[0], flat + sd[1]), radius, share)
    effect, low, high = allowed(grid, _log(counts, chances))
    balls = sum(n for word, n in counts.items() if word is not TallyLanding.NOT_SEEN)
    return Answer(
        question=question,
        effect=effect if (effect > 0) == (k > m) else 0.0,
        low=low,
        high=high,
        chance=sign_chance(k, m, even),
        n=0,
        tallied=balls,
        costs=(effect * gain) ** 2,
    )


def _scatter(
    question: Question,
    axis: int,
    counts: dict[TallyLanding, int],
    sides: Sides,
    sd: Floats,
    ln_sd: float,
    radius: float,
    share: float,
    n: int,
    gain: float,
) -> Answer:
    """How many missed the circle on these two sides, against the usual spread as well as it is known."""
    more, less = (counts[side] for side in sides)
    k = min(2 * min(more, less) + 1, more + less)  # one side alone is a habit, not scatter

    def outside(factor: Floats) -> tuple[Floats, dict]:
        flat = np.zeros_like(factor)
        wide = [flat + sd[0], flat + sd[1]]
        wide[axis] = wide[axis] * factor
        chances = _chances((flat, flat), (wide[0], wide[1]), radius, share)
        return chances[str(sides[0])] + chances[str(sides[1])], chances

    by_luck = float(_WEIGHTS @ _tail(k, n, np.clip(outside(np.exp(ln_sd * _NODES))[0], 0, 1)))
    grid = np.exp(np.linspace(math.log(0.3), math.log(8), 141))
    effect, low, high = allowed(grid, _log(counts, outside(grid)[1]))
    return Answer(
        question=question,
        effect=effect - 1,
        low=low - 1,
        high=high - 1,
        chance=by_luck,
        n=0,
        tallied=n,
        costs=max(effect**2 - 1, 0.0) * float(sd[axis]) ** 2 * gain**2,
    )


def _log(counts: dict[TallyLanding, int], chances: dict[str, Floats]) -> Floats:
    """ln likelihood of the counts of landings."""
    seen = [(counts[word], chances[str(word)]) for word in TallyLanding if word is not TallyLanding.NOT_SEEN]
    return np.asarray(sum(n * np.log(np.maximum(chance, 1e-12)) for n, chance in seen))


# -- statistics -------------------------------------------------------------------------------------


def sign_chance(k: int, m: int, even: float = 0.5) -> float:
    """Exact two-sided chance of k on one side and m on the other; `even`: chance of the first side."""
    n = k + m
    if n == 0:
        return 1.0
    up = 1.0 if k == 0 else float(bdtrc(k - 1, n, even))
    return min(1.0, 2 * min(up, float(bdtr(k, n, even))))


def allowed(grid: Floats, height: Floats) -> tuple[float, float, float]:
    """Most likely value on a grid with the 90 % range that the counts allow; open ends are infinite.

    When the counts only bound it from one side, the value is that bound.
    """
    inside = np.flatnonzero(height >= height.max() - _CUT)
    low = -math.inf if inside[0] == 0 else float(grid[inside[0]])
    high = math.inf if inside[-1] == len(grid) - 1 else float(grid[inside[-1]])
    best = float(grid[int(height.argmax())])
    if math.isinf(high) and math.isfinite(low):
        return low, low, high
    if math.isinf(low) and math.isfinite(high):
        return high, low, high
    return best, low, high
