"""The laws of a rival day, by family: bounce, drag, roll and launch drawn widely, none the fitted law.

FAMILIES are those that the fit's sizes were tuned on. HELD_OUT were written down before any figure was taken
of them, reach beyond the ranges of the others, and serve final figures only: docs/fit.md says what they gave.
Nothing here is a claim about nature.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError
from firstbounce.shot.laws import AeroLaw, BounceLaw, BounceNumbers, Laws, RollLaw
from firstbounce.units import METRES_PER_FOOT, STIMP_RELEASE_SPEED

Floats = NDArray[np.float64]

FAMILIES = ("unsettled tilt", "spin-keeping tilt", "grip", "springy", "ploughing")
#: Soft ground with a deep pocket; a firm crust that hardly gives; runs that depend on how steeply the ball
#: comes in, either way; runs cut by the square of the spin.
HELD_OUT = ("sponge", "crust", "steepness", "bite")


@dataclass(frozen=True, slots=True, kw_only=True)
class RivalLaws:
    """The laws of one day."""

    family: str
    laws: Laws
    firmness: float
    stimp_ft: float  #: the true green speed, as a Stimp reading without error would give it
    face_restitution: tuple[float, float]
    face_grip: float
    face_friction: float  #: factor on the friction of the lie [-]
    turf_friction: float
    plough: float  #: ln run lost per 6 m/s of speed into the ground [-]
    grab: float  #: ln run lost per 250 rad/s of spin [-]
    scatter: float  #: the ground's own scatter over the standard sizes [-]
    steep: float = 0.0  #: ln run lost for landing at 45 degrees rather than grazing, twice that upright [-]
    bite: float = 0.0  #: ln run lost per (250 rad/s)^2 of spin squared [-]

    def ln_run_lost(self, landing_velocity: Floats, landing_spin: Floats) -> Floats:
        """ln run (n,) that the turf takes away, by how clean strokes land: velocity and spin (n, 3)."""
        into, speed = -landing_velocity[:, 2], np.sqrt((landing_velocity**2).sum(axis=1))
        spin = np.sqrt((landing_spin**2).sum(axis=1)) / 250.0
        steep = 2 * (into / np.maximum(speed, 1e-9)) ** 2  # 1 at 45 degrees
        lost = self.plough * into / 6.0 + self.grab * (spin - 0.5)
        return np.asarray(lost + self.steep * (steep - 0.5) + self.bite * spin**2)

    @property
    def green_deceleration(self) -> float:
        """Deceleration of the law [m/s2] that gives the true green speed over the length of a Stimp roll."""
        slope = self.laws.roll_speed_slope if self.laws.roll is RollLaw.SPEED_DEPENDENT else 0.0
        v = (np.arange(400) + 0.5) * STIMP_RELEASE_SPEED / 400
        rolled = float(np.sum(v / np.maximum(1 + slope * (v - 1), 0.2))) * STIMP_RELEASE_SPEED / 400
        return rolled / (self.stimp_ft * METRES_PER_FOOT)


def draw_laws(rng: np.random.Generator, families: Sequence[str] = FAMILIES) -> RivalLaws:
    """The laws of a day from one of these families."""
    family = families[int(rng.integers(len(families)))]
    if family in HELD_OUT:
        return _held_out(rng, family)
    if family not in FAMILIES:
        raise ParameterError(f"No rival family {family!r}; there are {', '.join((*FAMILIES, *HELD_OUT))}.")
    speed_roll = rng.random() < 0.5
    laws = Laws(
        bounce=_BOUNCE[family],
        bounce_numbers=_bounce_numbers(rng, family),
        aero=AeroLaw(int(rng.integers(3))),
        cd_scale=float(rng.uniform(0.8, 1.2)),
        cl_scale=float(rng.uniform(0.3, 1.2)),
        roll=RollLaw.SPEED_DEPENDENT if speed_roll else RollLaw.CONSTANT,
        roll_speed_slope=float(rng.uniform(-0.10, 0.12)),
        slope_gain=float(rng.uniform(0.95, 1.15)),
    )
    return RivalLaws(
        family=family,
        laws=laws,
        firmness=float(np.exp(rng.normal(0, 0.2))),
        stimp_ft=float(rng.uniform(7.5, 11.5)),
        face_restitution=(float(rng.uniform(0.80, 0.90)), float(rng.choice([0.0, 0.0029, 0.005]))),
        face_grip=float(rng.uniform(0.0, 0.35)),
        face_friction=float(rng.uniform(0.8, 1.2)),
        turf_friction=float(
            rng.uniform(0.15, 0.25) if family == "spin-keeping tilt" else rng.uniform(0.3, 0.5)
        ),
        plough=float(rng.uniform(0.10, 0.40) if family == "ploughing" else rng.uniform(-0.05, 0.05)),
        grab=float(rng.uniform(-0.10, 0.20)),
        scatter=float(rng.uniform(0.6, 1.6)),
    )


_BOUNCE = {
    "unsettled tilt": BounceLaw.PENNER_2002,
    "spin-keeping tilt": BounceLaw.PENNER_2002,
    "grip": BounceLaw.CROSS_2002,
    "springy": BounceLaw.CROSS_2002,
    "ploughing": BounceLaw.SETTLING,
}


def _bounce_numbers(rng: np.random.Generator, family: str) -> BounceNumbers:
    """Numbers of the bounce law; a family's own restitution and tilt."""
    tilt = math.radians(15.4) * float(np.exp(rng.normal(0, 0.2)))
    if family == "ploughing":
        e = float(rng.uniform(0.35, 0.5))
        return BounceNumbers(
            restitution_at_rest=e, restitution_slope=0.04 * e, restitution_curve=0.0, tilt=0.6 * tilt
        )
    springy = family == "springy"
    return BounceNumbers(
        restitution_at_rest=float(rng.uniform(0.32, 0.40) if springy else rng.uniform(0.45, 0.58)),
        restitution_slope=0.0375 * float(rng.uniform(0.8, 1.2)),
        tilt=tilt,
        grip_speed=float(rng.uniform(25, 60) if springy else rng.uniform(5, 12)),
        grip_restitution=float(rng.uniform(0.0, 0.4)),
        grip_tilt=math.radians(rng.uniform(3.0, 8.0)),
    )


def _held_out(rng: np.random.Generator, family: str) -> RivalLaws:
    """The laws of a held-out day: wider air, roll, launch, speed and firmness than in the other families."""
    laws = Laws(
        bounce={"sponge": BounceLaw.CROSS_2002, "crust": BounceLaw.PENNER_2002}.get(
            family, BounceLaw(int(rng.integers(3)))
        ),
        bounce_numbers=_held_out_numbers(rng, family),
        aero=AeroLaw(int(rng.integers(3))),
        cd_scale=float(rng.uniform(0.6, 1.4)),
        cl_scale=float(rng.uniform(0.0, 1.5)),
        roll=RollLaw.SPEED_DEPENDENT,
        roll_speed_slope=float(rng.uniform(-0.15, 0.20)),
        slope_gain=float(rng.uniform(0.9, 1.25)),
    )
    return RivalLaws(
        family=family,
        laws=laws,
        firmness=float(np.exp(rng.normal(0, 0.25))),
        stimp_ft=float(rng.uniform(6.5, 13.0)),
        face_restitution=(float(rng.uniform(0.70, 0.90)), float(rng.uniform(0.0, 0.006))),
        face_grip=float(rng.uniform(0.0, 0.5)),
        face_friction=float(rng.uniform(0.7, 1.3)),
        turf_friction=float(rng.uniform(0.45, 0.6) if family == "sponge" else rng.uniform(0.2, 0.5)),
        plough=float(rng.uniform(-0.1, 0.1)),
        grab=float(rng.uniform(-0.1, 0.1)),
        scatter=float(rng.uniform(0.5, 2.0)),
        steep=float(rng.uniform(-0.35, 0.35) if family == "steepness" else 0.0),
        bite=float(rng.uniform(0.05, 0.25) if family == "bite" else 0.0),
    )


def _held_out_numbers(rng: np.random.Generator, family: str) -> BounceNumbers:
    tilt = math.radians(15.4) * float(np.exp(rng.normal(0, 0.25)))
    if family == "sponge":
        return BounceNumbers(
            restitution_at_rest=float(rng.uniform(0.22, 0.32)),
            grip_speed=float(rng.uniform(10, 30)),
            grip_restitution=float(rng.uniform(0.0, 0.2)),
            grip_tilt=math.radians(rng.uniform(7.0, 12.0)),
        )
    if family == "crust":
        return BounceNumbers(restitution_at_rest=float(rng.uniform(0.56, 0.66)), tilt=0.5 * tilt)
    return BounceNumbers(
        restitution_at_rest=float(rng.uniform(0.40, 0.60)),
        restitution_slope=0.0375 * float(rng.uniform(0.7, 1.3)),
        tilt=tilt,
        grip_speed=float(rng.uniform(5, 30)),
        grip_restitution=float(rng.uniform(0.0, 0.4)),
        grip_tilt=math.radians(rng.uniform(3.0, 9.0)),
    )
