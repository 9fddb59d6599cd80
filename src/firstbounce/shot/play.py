"""Play balls: the public door to the compiled chain. See docs/shot/chain.md.

Frame: x right, y away, z up; metres, seconds, radians. Inputs are never changed. Arrays have one row a ball.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypedDict, Unpack

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import OutOfRange, ParameterError
from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot.laws import N_SCATTER, OUTCOMES, AirSpec, HoleSpec, Laws, Steps, numbers
from firstbounce.words import Outcome

Floats = NDArray[np.float64]
Cancelled = Callable[[], bool] | None

FASTEST_BALL = 60.0  #: no chip or pitch leaves faster; a guard against feet or km/h typed as m/s [m/s]
FASTEST_ROLL = 15.0  #: no putt does [m/s]


@dataclass(frozen=True, slots=True, eq=False)
class Played:
    """What became of n balls. `landed` is the first contact; for a roll it is the start."""

    landed: Floats  #: (n, 3) [m]
    landing_velocity: Floats  #: (n, 3) just before the first bounce [m/s]
    landing_spin: Floats  #: (n, 3) [rad/s]
    hang_time: Floats  #: (n,) start to first contact [s]
    finished: Floats  #: (n, 3) where it came to rest, dropped, or was lost [m]
    outcome: NDArray[np.uint8]  #: (n,) index into OUTCOMES
    n_bounces: NDArray[np.int64]  #: (n,) 20 means that the cap on hops was reached
    time: Floats  #: (n,) start to the end [s]
    hole_distance: Floats  #: (n,) nearest approach of the roll to the hole's centre; inf without a hole [m]
    hole_margin: Floats  #: (n,) best capture speed minus speed while over the hole; -inf if never [m/s]

    @property
    def holed(self) -> NDArray[np.bool_]:
        """(n,) whether the ball is in the hole."""
        return (self.outcome == 1) | (self.outcome == 2)

    def outcomes(self) -> list[Outcome]:
        """The outcome of each ball as a word."""
        return [OUTCOMES[code] for code in self.outcome]


@dataclass(frozen=True, slots=True)
class TrailPoint:
    """One point of a ball's path. phase: flight, bounce, skid or roll."""

    phase: str
    t_s: float
    x_m: float
    y_m: float
    z_m: float


class Needed(TypedDict):
    """The settings that have no usual value."""

    ground: GroundArrays
    green_deceleration: ArrayLike  #: on level green, per ball or one for all [m/s2]


class Settings(Needed, total=False):
    """What the balls of one call meet: the keywords of `play`, `play_on` and `trace`."""

    firmness: ArrayLike  #: firmness index: 1 is Penner's green, soft 0.6 to 0.8, firm 1.2 to 1.6 [-]
    ln_run: ArrayLike  #: log of the factor on the level run: exp(ln_run / 2) on velocity and spin
    #: after the first bounce [-]
    scatter: ArrayLike | None  #: (n, N_SCATTER) the ground's own scatter, drawn by the caller (shot/laws.py)
    hole: HoleSpec | None  #: None means covered
    air: AirSpec | None  #: still air at 20 C when not given
    laws: Laws | None  #: the recommended ones when not given
    steps: Steps | None
    cancelled: Cancelled  #: asked between chunks of balls


def play(position: ArrayLike, velocity: ArrayLike, spin: ArrayLike, **settings: Unpack[Settings]) -> Played:
    """Play balls from the strike to rest.

    position, velocity, spin : (n, 3) or (3,) [m], [m/s], [rad/s]; a single row is used for every ball.

    Raises ParameterError or OutOfRange for values that make no sense; Cancelled when asked to stop.
    """
    return _run(0, (position, velocity, spin), settings)


def play_on(
    landed: ArrayLike, landing_velocity: ArrayLike, landing_spin: ArrayLike, **settings: Unpack[Settings]
) -> Played:
    """The same from the first landing (as `aim` gives it), not flying again; times start at the landing."""
    return _run(1, (landed, landing_velocity, landing_spin), settings)


def roll(
    position: ArrayLike,
    velocity: ArrayLike,
    *,
    ground: GroundArrays,
    green_deceleration: ArrayLike,
    scatter: ArrayLike | None = None,
    hole: HoleSpec | None = None,
    laws: Laws | None = None,
    steps: Steps | None = None,
    cancelled: Cancelled = None,
) -> Played:
    """Roll balls that already roll: position and velocity (n, 2) or (2,), seen from above [m], [m/s]."""
    flat = [np.atleast_2d(np.asarray(a, dtype=np.float64)) for a in (position, velocity)]
    for name, a in zip(("position", "velocity"), flat, strict=True):
        if a.shape[1] != 2:
            raise ParameterError(f"{name} of a roll needs shape (n, 2), got {a.shape}.")
    if (np.hypot(*flat[1].T) > FASTEST_ROLL).any():
        raise OutOfRange("A ball cannot be set rolling faster than 15 m/s; check the unit of the speed.")
    padded = [np.column_stack([a, np.zeros(len(a))]) for a in flat]
    settings: Settings = {
        "ground": ground,
        "green_deceleration": green_deceleration,
        "scatter": scatter,
        "hole": hole,
        "laws": laws,
        "steps": steps,
        "cancelled": cancelled,
    }
    return _run(2, (padded[0], padded[1], np.zeros(3)), settings)


def trace(
    position: ArrayLike,
    velocity: ArrayLike,
    spin: ArrayLike,
    *,
    step_s: float = 0.04,
    most_points: int = 5000,
    begin: int = 0,
    **settings: Unpack[Settings],
) -> tuple[Played, list[TrailPoint]]:
    """One ball with its path, a point at least every `step_s` [s]. begin: 0 strike, 1 landing, 2 roll."""
    trail = np.zeros((most_points, 5))
    settings["steps"] = Steps(flight_s=step_s, roll_s=step_s)
    played = _run(begin, (position, velocity, spin), settings, trail)
    from firstbounce.shot.trail import PHASES

    used = int(played_points(trail))
    points = [
        TrailPoint(PHASES[int(row[0])], float(row[1]), float(row[2]), float(row[3]), float(row[4]))
        for row in trail[:used]
    ]
    return played, points


def played_points(trail: Floats) -> int:
    """Number of points written: unused rows carry time -1."""
    return int(np.argmax(trail[:, 1] < 0)) if (trail[:, 1] < 0).any() else len(trail)


def kernel_ground(ground: GroundArrays) -> GroundArrays:
    """The same ground with the exact types that the kernels were compiled for."""
    return GroundArrays(*(_shut(part) if isinstance(part, np.ndarray) else float(part) for part in ground))  # type: ignore[arg-type]


def _shut(a: np.ndarray) -> np.ndarray:
    """A view that cannot be written through."""
    view = np.ascontiguousarray(a).view()
    view.flags.writeable = False
    return view


def rows(name: str, a: ArrayLike, columns: int) -> Floats:
    """An (n, columns) array from anything like one; ParameterError when it is not one."""
    table = np.atleast_2d(np.asarray(a, dtype=np.float64))
    if table.ndim != 2 or table.shape[1] != columns:
        raise ParameterError(f"{name} needs shape (n, {columns}), got {np.shape(a)}.")
    if not np.isfinite(table).all():
        raise ParameterError(f"{name} holds a value that is not a finite number.")
    return table


def column(name: str, a: ArrayLike, n: int) -> Floats:
    """An (n,) array from one value or one a ball; ParameterError when it is neither."""
    values = np.asarray(a, dtype=np.float64)
    if values.ndim > 1 or (values.ndim == 1 and len(values) not in (1, n)):
        raise ParameterError(f"{name} needs one value or one a ball ({n}), got shape {values.shape}.")
    if not np.isfinite(values).all():
        raise ParameterError(f"{name} holds a value that is not a finite number.")
    return np.ascontiguousarray(np.broadcast_to(values, (n,)))


def count(*arrays: NDArray[Any]) -> int:
    """Number of balls of arrays with one row or n; ParameterError when they differ."""
    sizes = {len(a) for a in arrays} - {1}
    if len(sizes) > 1:
        raise ParameterError(f"Arrays of different numbers of balls were given: {sorted(sizes)}.")
    return sizes.pop() if sizes else 1


def many(table: Floats, n: int) -> Floats:
    """The same table with n rows."""
    return np.ascontiguousarray(np.broadcast_to(table, (n, table.shape[1])))


def _check_names(given: Settings) -> None:
    """TypeError, as of any call, for a setting that is not known or not given."""
    if not Settings.__required_keys__ <= given.keys() <= Settings.__annotations__.keys():
        wrong = sorted(
            (given.keys() - Settings.__annotations__) | (Settings.__required_keys__ - given.keys())
        )
        raise TypeError(f"Settings that are not known or are missing: {', '.join(wrong)}.")


def _check_settings(velocity: Floats, green: Floats, firmness: Floats) -> None:
    if (np.einsum("ij,ij->i", velocity, velocity) > FASTEST_BALL**2).any():
        raise OutOfRange("A ball faster than 60 m/s is no chip or pitch; check the unit of the speed.")
    if (green <= 0).any():
        raise ParameterError("green_deceleration must be above 0 m/s2.")
    if (firmness <= 0).any():
        raise ParameterError("firmness must be above 0 (1 is a usual green).")


def _run(
    begin: int, balls: tuple[ArrayLike, ArrayLike, ArrayLike], given: Settings, trail: Floats | None = None
) -> Played:
    from firstbounce.shot import executor
    from firstbounce.shot.chain import play_chunk
    from firstbounce.shot.clearance import clearance

    _check_names(given)
    ground, laws, scatter = given["ground"], given.get("laws") or Laws(), given.get("scatter")
    settings = (given["green_deceleration"], given.get("firmness", 1.0), given.get("ln_run", 0.0))
    tables = [rows(name, a, 3) for name, a in zip(("position", "velocity", "spin"), balls, strict=True)]
    noise = np.zeros((1, N_SCATTER)) if scatter is None else rows("scatter", scatter, N_SCATTER)
    n = count(*tables, noise, *(np.atleast_1d(np.asarray(a)) for a in settings))
    state = [many(a, n) for a in tables]
    names = ("green_deceleration", "firmness", "ln_run")
    green, firm, ln_run = (column(name, a, n) for name, a in zip(names, settings, strict=True))
    _check_settings(state[1], green, firm)
    out, finish = np.empty((n, 13)), np.empty((n, 3))
    outcome, bounces = np.empty(n, dtype=np.uint8), np.empty(n, dtype=np.int64)
    trail = np.empty((0, 5)) if trail is None else trail
    trail[:, 1] = -1.0
    ids = (int(laws.bounce), int(laws.aero), int(laws.capture))
    fixed = (
        *state,
        green,
        firm,
        ln_run,
        np.ascontiguousarray(noise),
        clearance(ground),
        kernel_ground(ground),
    )
    steps = (given.get("steps") or Steps()).on(1 / ground.inv_cell)
    c = numbers(laws, given.get("air") or AirSpec(), given.get("hole"), steps)

    def work(start: int, stop: int) -> None:
        used = np.zeros(1, dtype=np.int64)
        play_chunk(start, stop, begin, ids, *fixed, c, out, finish, outcome, bounces, trail, used)

    executor.run_chunks(work, n, cancelled=given.get("cancelled"))
    return Played(
        landed=out[:, 0:3],
        landing_velocity=out[:, 3:6],
        landing_spin=out[:, 6:9],
        hang_time=out[:, 9],
        finished=finish,
        outcome=outcome,
        n_bounces=bounces,
        time=out[:, 10],
        hole_distance=out[:, 11],
        hole_margin=out[:, 12],
    )
