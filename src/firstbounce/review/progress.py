"""Progress over weeks: each ball against what was expected of this player at the start, on that day's green.

A ball's miss is divided by the miss that this player's spread at the start gives at the same distance, lie
and club on that day's green: so sessions of different length and speed can be compared. Sessions are pooled
with what differs between sessions beyond the balls themselves, and a change is only told when it is beyond
luck.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ellipe, ndtr

from firstbounce.errors import CannotEstimate
from firstbounce.review.asked import placing_sd
from firstbounce.review.questions import BETWEEN_WORTH, holm
from firstbounce.review.reliability import Reliability, balls_for_change, smallest_change
from firstbounce.review.split import Split
from firstbounce.review.usual import Usual

Floats = NDArray[np.float64]

WINDOW = 4  #: sessions in a running mean [choice; coaching sources say 3 to 4]
FEWEST_BALLS = 30  #: before a change is judged [choice, common practice]
Z90, Z95 = 1.6449, 1.96
BETWEEN = {"landing": 0.10, "finish": 0.12, "contact": 0.03}  #: usual sd between sessions [choices]
ACROSS = 0.4  #: scatter of a run across it over that along it, as in the fit


class Measure(StrEnum):
    """What is followed."""

    LANDING = "landing"
    FINISH = "finish"
    CONTACT = "contact"


@dataclass(frozen=True, slots=True, eq=False)
class Session:
    """One session's balls over what was expected of them."""

    name: str
    day: datetime.date
    landing: Floats  #: (n,) landing miss over the expected one, clean balls [-]
    finish: Floats  #: (m,) the same of the finish
    contact: Floats  #: (k,) 1 for a mishit, 0 for a clean ball
    usual_mishits: float  #: expected share


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One session: its own value with a 90 % band, and the running one of up to WINDOW sessions.

    Landing and finish: 1 is as expected at the start, less is better. Contact: share of mishits.
    """

    session: str
    day: datetime.date
    n: int
    value: float
    low: float
    high: float
    running: float
    running_low: float
    running_high: float
    running_n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The last sessions against the first ones."""

    change: float  #: share of the miss, below 0 is better; of balls for contact
    low: float  #: 90 % band
    high: float
    chance: float  #: of at least so much by luck, both ways, corrected for the measures
    told: bool  #: beyond luck at 5 %
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One measure over the sessions."""

    measure: Measure
    points: tuple[Point, ...]
    change: Change
    reliability: Reliability | None
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """All measures of one player over the sessions."""

    player: str
    series: tuple[Series, ...]

    def of(self, measure: Measure) -> Series | None:
        """One measure."""
        return next((one for one in self.series if one.measure is measure), None)

    def to_dict(self) -> dict[str, Any]:
        """The shape of `progress --json`."""
        return {"player": self.player, "measures": [_shape(one) for one in self.series]}


def session_of(
    name: str, day: datetime.date, split: Split, clean: NDArray[np.bool_], usual: Usual
) -> Session:
    """A session from its split balls; usual: what was expected of the player at the start, on these balls."""
    placing, finishing = placing_sd(split)
    then, sd = split.then, usual.sd
    landing = mean_miss(np.hypot(sd[:, 0], placing), np.hypot(sd[:, 1], placing))
    scatter = then.scatter * then.run
    along = np.sqrt((then.gain * sd[:, 0]) ** 2 + scatter**2 + finishing**2)
    across = np.sqrt((then.side_gain * sd[:, 1]) ** 2 + (ACROSS * scatter) ** 2 + finishing**2)
    ended = clean & split.finished
    return Session(
        name=name,
        day=day,
        landing=np.hypot(*split.missed[clean].T) / landing[clean],
        finish=np.hypot(*split.total[ended].T) / mean_miss(along, across)[ended],
        contact=(~clean).astype(np.float64),
        usual_mishits=float(usual.share.mean()) if len(split) else 0.0,
    )


def mean_miss(along: Floats, across: Floats) -> Floats:
    """Mean distance from the target of normal misses with these sds (n,) [m], no bias (exact)."""
    wide, thin = np.maximum(along, across), np.minimum(along, across)
    return np.asarray(math.sqrt(2 / math.pi) * wide * ellipe(1 - (thin / wide) ** 2))


def progress(sessions: Sequence[Session], player: str) -> Progress:
    """Progress of one player; sessions in any order. CannotEstimate without any ball."""
    ordered = sorted(sessions, key=lambda one: one.day)
    series = [one for measure in Measure if (one := _series(measure, ordered)) is not None]
    if not series:
        raise CannotEstimate(
            "There are no balls to follow: log balls with a landing spot and where they landed."
        )
    corrected = holm([one.change.chance for one in series])
    return Progress(
        player=player,
        series=tuple(_with_words(one, c) for one, c in zip(series, corrected, strict=True)),
    )


def _series(measure: Measure, sessions: Sequence[Session]) -> Series | None:
    used = [one for one in sessions if len(_values(one, measure))]
    if not used:
        return None
    table = _table(measure, used)
    cv = _cv(measure, used)
    return Series(
        measure=measure,
        points=tuple(_points(measure, used, table)),
        change=_change(measure, table),
        reliability=_reliability(measure, table, cv),
        n=int(table.n.sum()),
    )


def _values(session: Session, measure: Measure) -> Floats:
    values: Floats = getattr(session, measure.value)
    return values


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """Sessions as numbers: value (ln for misses), its variance from the balls, balls; between sessions."""

    y: Floats
    v: Floats
    n: NDArray[np.int64]
    between: float  #: variance


def _table(measure: Measure, used: Sequence[Session]) -> _Table:
    n = np.array([len(_values(one, measure)) for one in used], dtype=np.int64)
    mean = np.array([float(_values(one, measure).mean()) for one in used])
    if measure is Measure.CONTACT:
        pooled = (sum(float(one.contact.sum()) for one in used) + 0.5) / (int(n.sum()) + 1)
        v = pooled * (1 - pooled) / n
        y = mean
    else:
        y = np.log(np.maximum(mean, 1e-3))
        v = _cv(measure, used) ** 2 / n
    return _Table(y, v, n, _between(y, v, BETWEEN[measure.value]))


def _cv(measure: Measure, used: Sequence[Session]) -> float:
    """Spread of single misses over their mean, pooled within sessions; that of round misses is worth ten."""
    squares = sum(
        float(((_values(one, measure) / max(_values(one, measure).mean(), 1e-3) - 1) ** 2).sum())
        for one in used
    )
    freedom = sum(len(_values(one, measure)) - 1 for one in used)
    return math.sqrt((squares + 10 * 0.5227**2) / (freedom + 10))


def _between(y: Floats, v: Floats, usual: float) -> float:
    """Variance between sessions: what is seen of it from one to the next, with the usual one weighed in."""
    seen = 0.0
    if len(y) > 1:
        steps = 0.5 * (np.diff(y) ** 2 - v[1:] - v[:-1])
        seen = float(steps.mean())
    worth = len(y) - 1
    return max((BETWEEN_WORTH * usual**2 + worth * seen) / (BETWEEN_WORTH + worth), 0.25 * usual**2)


def _pooled(table: _Table, rows: slice) -> tuple[float, float, int]:
    """Mean, its sd and the balls of some sessions."""
    weight = 1 / (table.v[rows] + table.between)
    return float(weight @ table.y[rows] / weight.sum()), float(weight.sum() ** -0.5), int(table.n[rows].sum())


def _points(measure: Measure, used: Sequence[Session], table: _Table) -> list[Point]:
    points = []
    for i, one in enumerate(used):
        own = float(math.sqrt(table.v[i] + table.between))
        middle, error, n = _pooled(table, slice(max(i - WINDOW + 1, 0), i + 1))
        low, value, high = (_shown(measure, table.y[i] + z * own) for z in (-Z90, 0.0, Z90))
        run_low, run, run_high = (_shown(measure, middle + z * error) for z in (-Z90, 0.0, Z90))
        points.append(
            Point(
                session=one.name,
                day=one.day,
                n=int(table.n[i]),
                value=value,
                low=low,
                high=high,
                running=run,
                running_low=run_low,
                running_high=run_high,
                running_n=n,
            )
        )
    return points


def _shown(measure: Measure, y: float) -> float:
    return min(max(float(y), 0.0), 1.0) if measure is Measure.CONTACT else math.exp(y)


def _change(measure: Measure, table: _Table) -> Change:
    """Last sessions against the first: half of them each, at most WINDOW."""
    half = min(len(table.y) // 2, WINDOW)
    if half == 0 or int(table.n.sum()) < FEWEST_BALLS:
        return Change(change=0.0, low=-math.inf, high=math.inf, chance=1.0, told=False, sentence="")
    first, first_error, _ = _pooled(table, slice(0, half))
    last, last_error, _ = _pooled(table, slice(len(table.y) - half, None))
    step, error = last - first, math.hypot(first_error, last_error)
    ends = [step + z * error for z in (-Z90, 0.0, Z90)]
    low, change, high = ends if measure is Measure.CONTACT else (math.expm1(end) for end in ends)
    chance = 2 * float(ndtr(-abs(step) / error))
    return Change(change=change, low=low, high=high, chance=chance, told=False, sentence="")


def _reliability(measure: Measure, table: _Table, cv: float) -> Reliability | None:
    if measure is Measure.CONTACT:
        return None
    per_session = max(round(float(table.n.mean())), 1)
    error = math.sqrt(cv**2 / per_session + table.between)
    return Reliability(
        typical_error=error,
        smallest_change=smallest_change(error),
        balls_per_session=per_session,
        balls_for_a_fifth=balls_for_change(0.2, cv),
        n_balls=int(table.n.sum()),
        n_sessions=len(table.y),
    )


# -- words ------------------------------------------------------------------------------------------

_WORDS = {
    Measure.LANDING: ("Landings", "nearer to the spot", "further from the spot"),
    Measure.FINISH: ("Finishes", "nearer to the hole", "further from the hole"),
    Measure.CONTACT: ("Contact", "fewer mishits in 100 balls", "more mishits in 100 balls"),
}


def _with_words(one: Series, corrected: float) -> Series:
    told = corrected <= 0.05
    change = replace(one.change, chance=corrected, told=told)
    return replace(one, change=replace(change, sentence=_sentence(one, change)))


def _sentence(one: Series, change: Change) -> str:
    what, better, worse = _WORDS[one.measure]
    sessions = "1 session" if len(one.points) == 1 else f"{len(one.points)} sessions"
    behind = f"{one.n} balls over {sessions}"
    if len(one.points) < 2 or one.n < FEWEST_BALLS:
        need = max(FEWEST_BALLS - one.n, 1)
        more = f"{need} more balls, and" if one.n < FEWEST_BALLS else "at least"
        return f"{what}: not enough balls yet ({more} two sessions are needed); {behind}."
    span = f"{_side(one, change.low, better, worse)} to {_side(one, change.high, better, worse)}"
    if not change.told:
        return f"{what}: no change that can be told from luck ({span}); {behind}."
    return f"{what}: {_side(one, change.change, better, worse)} than at the start ({span}); {behind}."


def _side(one: Series, value: float, better: str, worse: str) -> str:
    unit = "" if one.measure is Measure.CONTACT else " percent"
    return f"{abs(100 * value):.0f}{unit} {better if value < 0 else worse}"


def _shape(one: Series) -> dict[str, Any]:
    shape = asdict(one)
    shape["measure"] = str(one.measure)
    shape["sentence"] = shape["change"].pop("sentence")
    for point in shape["points"]:
        point["day"] = point["day"].isoformat()
    shape["points"] = list(shape["points"])
    for end in ("low", "high"):
        shape["change"][end] = shape["change"][end] if math.isfinite(shape["change"][end]) else None
    return shape
