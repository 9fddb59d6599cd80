"""Launch: the face meets the ball once, with grip or slip. See docs/shot/launch.md.

Rigid club of mass M, ball of mass m, q = m/M. Along the face normal the ball takes
u_n = (1 + e) V_n / (1 + q); along the face it is rubbed by the smaller of what grip needs and what friction
allows. In three dimensions the face normal need not lie in the plane of the path: face to path gives side
spin without another law.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.shot.laws import BALL_MASS, BALL_RADIUS
from firstbounce.words import Lie, LieKind

HEAD_MASS = 0.30  #: wedge head 295 to 305 g, 7-iron about 270 g (from memory, medium) [kg]
FACE_RESTITUTION = (0.86, 0.0029)  #: e = 0.86 - 0.0029 u (Penner 2001, from memory, medium) [-], [s/m]
FACE_GRIP = 0.10  #: tangential restitution e_t for chips (choice; 0.2 to 0.3 for full swings) [-]

Floats = NDArray[np.float64]


class FaceContact(NamedTuple):
    """What a lie does to the contact of face and ball."""

    friction: float  #: Coulomb coefficient between face and ball [-]
    speed_factor: float  #: on the ball's speed along the face normal [-]


#: Dry and wet contact by lie. Friction: docs/shot/launch.md (choices, derived); speed factors: choices. Light
#: rough is set so that an 8-iron loses about a third to a half of its spin, the band that was read.
CONTACTS: dict[LieKind, tuple[FaceContact, FaceContact]] = {
    LieKind.TIGHT: (FaceContact(0.40, 1.0), FaceContact(0.22, 1.0)),
    LieKind.FAIRWAY: (FaceContact(0.40, 1.0), FaceContact(0.22, 1.0)),
    LieKind.FRINGE: (FaceContact(0.35, 1.0), FaceContact(0.20, 0.99)),
    LieKind.LIGHT_ROUGH: (FaceContact(0.11, 0.97), FaceContact(0.09, 0.95)),
    LieKind.HEAVY_ROUGH_UP: (FaceContact(0.10, 0.95), FaceContact(0.08, 0.93)),
    LieKind.HEAVY_ROUGH_DOWN: (FaceContact(0.07, 0.88), FaceContact(0.05, 0.85)),
    LieKind.BARE: (FaceContact(0.40, 1.0), FaceContact(0.22, 1.0)),
    LieKind.SAND_EDGE: (FaceContact(0.25, 0.95), FaceContact(0.18, 0.93)),
    LieKind.MAT: (FaceContact(0.40, 1.0), FaceContact(0.22, 1.0)),
    LieKind.GREEN: (FaceContact(0.40, 1.0), FaceContact(0.22, 1.0)),
}


def face_contact(lie: Lie) -> FaceContact:
    """Friction and speed factor of a lie, dry or wet."""
    return CONTACTS[lie.kind][1 if lie.wet else 0]


class Stance(NamedTuple):
    """What the slope of the stance adds to the delivery [rad]."""

    loft: float
    attack: float
    face: float  #: to the right


def stance_effect(lie: Lie, loft: float = math.radians(50), right_handed: bool = True) -> Stance:
    """Uphill adds its angle to delivered loft and attack (the player stands with the slope: choice).

    A ball above the feet lies on a tilted plane: the face of a lofted club looks to the side of the heel,
    by atan(tan(loft) sin(tilt)), left for a right-handed player (geometry).
    """
    up = math.radians(lie.uphill_deg)
    pull = math.atan(math.tan(loft) * math.sin(math.radians(lie.above_feet_deg)))
    return Stance(up, up, -pull if right_handed else pull)


@dataclass(frozen=True, slots=True, eq=False)
class Launched:
    """How balls leave the face."""

    velocity: Floats  #: (n, 3) [m/s]
    spin: Floats  #: (n, 3) [rad/s]

    @property
    def speed(self) -> Floats:
        """(n,) [m/s]."""
        return np.sqrt((self.velocity**2).sum(axis=1))

    @property
    def launch_angle(self) -> Floats:
        """(n,) above the horizontal [rad]."""
        return np.arcsin(self.velocity[:, 2] / np.maximum(self.speed, 1e-300))

    @property
    def spin_rate(self) -> Floats:
        """(n,) [rad/s]."""
        return np.sqrt((self.spin**2).sum(axis=1))


def launch(
    speed: ArrayLike,
    loft: ArrayLike,
    attack: ArrayLike,
    *,
    face_to_path: ArrayLike = 0.0,
    azimuth: ArrayLike = 0.0,
    friction: ArrayLike = 0.40,
    speed_factor: ArrayLike = 1.0,
    restitution: tuple[float, float] = FACE_RESTITUTION,
    grip: ArrayLike = FACE_GRIP,
    head_mass: float = HEAD_MASS,
) -> Launched:
    """Velocity and spin just after the strike, one row a ball (arguments broadcast).

    speed: of the club head [m/s]; loft: delivered (dynamic) [rad]; attack: up positive [rad]; azimuth: of the
    club's path, from +y toward +x [rad]; face_to_path: face right of the path positive [rad]; friction and
    speed_factor: of the contact (`face_contact`); restitution: e at rest and its fall per m/s of closing
    speed; grip: tangential restitution e_t [-]. Raises ParameterError for values that make no sense.
    """
    check_delivery(speed, loft, attack, face_to_path, azimuth, friction, speed_factor, head_mass)
    parts = (speed, loft, attack, face_to_path, azimuth, friction, speed_factor, grip)
    columns = np.broadcast_arrays(*(np.atleast_1d(np.asarray(part, dtype=np.float64)) for part in parts))
    return _impulse(*columns, restitution=restitution, q=BALL_MASS / head_mass)


def check_delivery(
    speed: ArrayLike,
    loft: ArrayLike,
    attack: ArrayLike,
    face_to_path: ArrayLike,
    azimuth: ArrayLike,
    friction: ArrayLike,
    speed_factor: ArrayLike,
    head_mass: float,
) -> None:
    """Refuse a delivery that makes no sense (ParameterError)."""
    parts = (speed, loft, attack, face_to_path, azimuth, friction, speed_factor)
    if not all(np.isfinite(part).all() for part in parts):
        raise ParameterError("The delivery holds a value that is not a finite number.")
    if np.min(speed) < 0 or np.max(speed) > 60:
        raise ParameterError("Club speed must lie in 0..60 m/s; check the unit.")
    if max(np.max(np.abs(loft)), np.max(np.abs(attack))) >= math.pi / 2:
        raise ParameterError("Loft and attack are angles in radians below 90 degrees; check the unit.")
    if np.min(friction) < 0 or np.min(speed_factor) < 0 or not head_mass > 0:
        raise ParameterError("Face friction and speed factor must be 0 or more, head mass above 0.")


def _impulse(
    speed: Floats,
    loft: Floats,
    attack: Floats,
    face_to_path: Floats,
    azimuth: Floats,
    friction: Floats,
    speed_factor: Floats,
    grip: Floats,
    *,
    restitution: tuple[float, float],
    q: float,
) -> Launched:
    normal = _direction(azimuth + face_to_path, loft)
    path = _direction(azimuth, attack)
    cos = np.maximum((normal * path).sum(axis=1), 0.0)
    along = path - cos[:, None] * normal
    sin = np.sqrt((along**2).sum(axis=1))
    closing = speed * cos
    u_n = speed_factor * (1 + restitution[0] - restitution[1] * closing) * closing / (1 + q)
    rub = np.minimum((1 + grip) * speed * sin / (3.5 + q), friction * u_n)
    along = along / np.maximum(sin, 1e-300)[:, None]
    velocity = u_n[:, None] * normal + rub[:, None] * along
    spin = (2.5 / BALL_RADIUS * rub)[:, None] * np.cross(along, normal)
    return Launched(velocity, spin)


def _direction(azimuth: Floats, elevation: Floats) -> Floats:
    level = np.cos(elevation)
    return np.stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(elevation)], axis=1)
