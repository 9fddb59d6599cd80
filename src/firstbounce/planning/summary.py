"""From balls to what a choice says: means, intervals, sides, clouds, the typical path."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from firstbounce.planning.balls import CLEAN_PER_UNIT, Balls, Units
from firstbounce.planning.contest import errors_of
from firstbounce.planning.information import spread_of_expected
from firstbounce.planning.landing import Floats
from firstbounce.planning.race import Standing
from firstbounce.planning.result import Choice, Cloud, Misses, PathPoint, Span
from firstbounce.planning.scene import Scene
from firstbounce.planning.search import Spot
from firstbounce.planning.sentences import Parts, advice_text
from firstbounce.players.circle import circle_radius_m
from firstbounce.words import Circle, Point

CIRCLE_SHARE = 0.7  #: share of clean strikes that the landing circle holds [choice]
CLOUD = 240  #: balls of a choice that are kept for pictures
Z80 = 1.2816  #: standard deviations that one in ten exceeds
Z90 = 1.6449  #: half width of a 90 % interval in standard deviations


@dataclass(frozen=True, slots=True)
class Entry:
    """One choice with its standing in the race and the balls played for it."""

    spot: Spot
    standing: Standing
    units: Units
    features: Floats  #: (units, k): the world of each unit


def choice_of(scene: Scene, entry: Entry, first: Entry) -> Choice:
    """Everything a plan says of one choice; `first` is the front runner."""
    spot, units, clean = entry.spot, entry.units, entry.units.clean
    putt = spot.club.is_putter
    per_unit = clean.run.reshape(-1, CLEAN_PER_UNIT).mean(axis=1)
    misses = misses_of(units)
    return Choice(
        club=spot.club.name,
        is_putt=putt,
        spot=_place(scene, spot),
        circle=None if putt else _circle(scene, spot),
        carry_m=Span(value=0.0, low=0.0, high=0.0) if putt else ball_span(_carries(scene, clean)),
        run_m=ball_span(clean.run),
        mean_run_m=known_span(per_unit, entry.features),
        putt_length_m=spot.carry if putt else None,
        strokes=known_span(units.cost, entry.features),
        behind=entry.standing.behind,
        behind_error=entry.standing.behind_error,
        beaten=chance_beaten(entry, first),
        equal=entry.standing.equal,
        up_and_down=float(units.up_and_down.mean()),
        holed=units.share("holed"),
        on_green=units.share("on_green"),
        leave_m=float(np.median(_leave(scene, clean))),
        mishit_share=units.mishit_share,
        misses=misses,
        advice="" if putt else advice_text(misses),
        cloud=cloud_of(units),
        path=typical_path(scene, spot),
        draws=len(clean) + (0 if units.mishit is None else len(units.mishit)),
    )


def ball_span(values: Floats) -> Span:
    """Median and the 90 % interval from ball to ball."""
    low, middle, high = np.quantile(values, [0.05, 0.5, 0.95])
    return Span(value=float(middle), low=float(low), high=float(high))


def known_span(values: Floats, features: Floats) -> Span:
    """Mean over units, and the 90 % interval of what it may be, given what is known (and played)."""
    mean = float(values.mean())
    half = Z90 * float(np.hypot(spread_of_expected(values, features), values.std() / np.sqrt(len(values))))
    return Span(value=mean, low=mean - half, high=mean + half)


def bad_day_strokes(entry: Entry) -> float:
    """Expected strokes in the kind of world that only one in ten is worse than."""
    return float(entry.units.cost.mean()) + Z80 * spread_of_expected(entry.units.cost, entry.features)


def chance_beaten(entry: Entry, first: Entry) -> float:
    """Chance that the front runner is really better than this choice, given what is known."""
    if entry is first:
        return 0.5
    n = min(len(entry.units.cost), len(first.units.cost))
    behind = entry.units.cost[:n] - first.units.cost[:n]
    features = np.column_stack([entry.features[:n], first.features[:n, 2:]])
    spread = float(np.hypot(spread_of_expected(behind, features), behind.std() / np.sqrt(n)))
    return float(ndtr(behind.mean() / spread)) if spread > 0 else float(behind.mean() > 0)


def misses_of(units: Units) -> Misses:
    """What clean strikes that land off the spot, by side, and mishits cost more than those on it."""
    clean = units.clean
    near_long, near_wide = np.abs(clean.long) <= 0.5, np.abs(clean.wide) <= 0.5
    on_spot = _mean(clean.cost, near_long & near_wide)
    return Misses(
        short=_mean(clean.cost, clean.long < -0.5) - on_spot,
        long=_mean(clean.cost, clean.long > 0.5) - on_spot,
        left=_mean(clean.cost, (clean.wide < -0.5) & near_long) - on_spot,
        right=_mean(clean.cost, (clean.wide > 0.5) & near_long) - on_spot,
        mishit=0.0 if units.mishit is None else float(units.mishit.cost.mean()) - on_spot,
    )


def _mean(values: Floats, rows: np.ndarray) -> float:
    return float(values[rows].mean()) if rows.any() else float(values.mean())


def parts_of(scene: Scene, units: Units) -> Parts:
    """Where the strokes of a choice come from."""
    clean_weight, mishit_weight = units.weights
    clean, on = units.clean, units.clean.on_green
    return Parts(
        mishit=0.0 if units.mishit is None else float(mishit_weight @ units.mishit.cost),
        off_green=float(clean_weight[~on] @ clean.cost[~on]),
        putts=float(clean_weight[on] @ clean.cost[on]),
        leave=float(np.median(_leave(scene, clean))),
    )


def cloud_of(units: Units) -> Cloud:
    """A few of the balls, mishits by their share."""
    clean = units.clean.first(round(CLOUD * (1 - units.mishit_share)))
    lots: Sequence[Balls] = [clean]
    if units.mishit is not None:
        lots = [clean, units.mishit.first(CLOUD - len(clean))]
    return Cloud(
        landed=tuple(_point(row) for lot in lots for row in lot.landed),
        finished=tuple(_point(row) for lot in lots for row in lot.finished),
        mishit=tuple(k == 1 for k, lot in enumerate(lots) for _ in range(len(lot))),
    )


def _point(row: Floats) -> Point:
    return Point(round(float(row[0]), 3), round(float(row[1]), 3))


def typical_path(scene: Scene, spot: Spot) -> tuple[PathPoint, ...]:
    """The ball struck as meant, in the middle of what is known, on ground that does nothing by chance."""
    trail = scene.with_unknowns(scene.unknowns.middle()).typical(spot.club, spot.carry, spot.azimuth)
    return tuple(PathPoint(t_s=p.t_s, x_m=p.x_m, y_m=p.y_m, z_m=p.z_m, phase=p.phase) for p in trail)


def _place(scene: Scene, spot: Spot) -> Point:
    far = scene.distance if spot.club.is_putter else spot.carry
    return _point(scene.places(np.array([far]), np.array([spot.azimuth]))[0])


def _circle(scene: Scene, spot: Spot) -> Circle:
    errors = errors_of(scene, spot)
    radius = circle_radius_m(
        CIRCLE_SHARE,
        along_m=float(errors.sd_long(np.asarray(spot.carry))),
        across_m=spot.carry * float(np.tan(errors.direction)),
    )
    return Circle(centre=_place(scene, spot), radius_m=radius)


def _carries(scene: Scene, clean: Balls) -> Floats:
    return np.hypot(*(clean.landed - np.asarray(scene.start)).T)


def _leave(scene: Scene, clean: Balls) -> Floats:
    leave: Floats = np.hypot(clean.finished[:, 0] - scene.hole.x, clean.finished[:, 1] - scene.hole.y)
    return np.where(clean.holed, 0.0, leave)
