"""Aim: the strike whose first landing is a wanted spot. See docs/shot/chain.md."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot.launch import FACE_GRIP, FACE_RESTITUTION, HEAD_MASS, check_delivery
from firstbounce.shot.laws import BALL_MASS, AirSpec, Laws, Steps, numbers
from firstbounce.shot.play import Floats, column, count, kernel_ground, rows

REACHED = 0.001  #: a strike that lands this near its spot has reached it [m]


@dataclass(frozen=True, slots=True, eq=False)
class Aimed:
    """Strikes for n landing spots. Where `reached` is False the other values are the nearest try only."""

    speed: Floats  #: (n,) club speed [m/s]
    azimuth: Floats  #: (n,) of the club's path, from +y toward +x [rad]
    reached: NDArray[np.bool_]  #: (n,) whether the ball lands within 1 mm of its spot
    velocity: Floats  #: (n, 3) at the start [m/s]
    spin: Floats  #: (n, 3) at the start [rad/s]
    landed: Floats  #: (n, 3) [m]
    landing_velocity: Floats  #: (n, 3) [m/s]
    landing_spin: Floats  #: (n, 3) [rad/s]
    hang_time: Floats  #: (n,) [s]


def aim(
    start: ArrayLike,
    spots: ArrayLike,
    loft: ArrayLike,
    attack: ArrayLike,
    *,
    ground: GroundArrays,
    air: AirSpec | None = None,
    laws: Laws | None = None,
    steps: Steps | None = None,
    face_to_path: ArrayLike = 0.0,
    friction: ArrayLike = 0.40,
    speed_factor: ArrayLike = 1.0,
    restitution: tuple[float, float] = FACE_RESTITUTION,
    grip: ArrayLike = FACE_GRIP,
    head_mass: float = HEAD_MASS,
    cancelled: Callable[[], bool] | None = None,
) -> Aimed:
    """Find club speed and azimuth for each landing spot; the rest of the delivery as in `launch`.

    start: (3,) where the ball lies [m]; spots: (n, 2) where it is to land [m]; loft, attack, face_to_path:
    per ball or one for all [rad]. The landings come with the answer, so `play_on` need not fly again.
    """
    from firstbounce.shot import executor
    from firstbounce.shot.strike import aim_chunk

    laws, air, steps = laws or Laws(), air or AirSpec(), steps or Steps()
    at = rows("start", start, 3)
    places = np.ascontiguousarray(rows("spots", spots, 2))
    if len(at) != 1:
        raise ParameterError(f"aim starts from one place, got {len(at)}.")
    check_delivery(0.0, loft, attack, face_to_path, 0.0, friction, speed_factor, head_mass)
    parts = (loft, attack, face_to_path, friction, speed_factor, grip, BALL_MASS / head_mass, *restitution)
    n = count(places, *(np.atleast_1d(np.asarray(part)) for part in parts))
    delivery = np.column_stack([column("delivery", part, n) for part in parts])
    out = np.empty((n, 19))
    grid = kernel_ground(ground)
    c = numbers(laws, air, None, steps.on(1 / ground.inv_cell))

    def work(first: int, stop: int) -> None:
        aim_chunk(first, stop, at[0], places, delivery, int(laws.aero), grid, c, out)

    executor.run_chunks(work, n, cancelled=cancelled)
    return Aimed(
        speed=out[:, 0],
        azimuth=out[:, 1],
        reached=out[:, 2] < REACHED,
        velocity=out[:, 3:6],
        spin=out[:, 6:9],
        landed=out[:, 9:12],
        landing_velocity=out[:, 12:15],
        landing_spin=out[:, 15:18],
        hang_time=out[:, 18],
    )
