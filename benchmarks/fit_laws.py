"""What the laws that physics cannot rule out make of the run, by loft and carry, against the fitted law.

`python -m benchmarks.fit_laws [--members 400]` prints the mean and the spread that the discrepancy of the fit
starts from (fitting/assumptions.py). One rule for every question that the facts leave open: the recommended
answer has half of the weight, its rivals share the other half. Open questions (docs/shot/, with sources):
the tilt of the pocket (settling, original, of the grip law) and its size, restitution, friction of the turf
(0.40, or 0.16 to 0.25 on greens that keep spin), drag and lift at low Reynolds numbers, grip of the face, a
roll that slows with speed. Firmness and green speed are not among them: they are unknowns of the fit.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from benchmarks.fit_days import CLUBS, RULE_LOFT, USUAL_RATIO, bag
from firstbounce.checks.rival import rival_turf
from firstbounce.fitting.assumptions import USUAL_CARRY_M, lever
from firstbounce.ground.ground import Ground
from firstbounce.players.player import player_of_level
from firstbounce.shot.aim import aim
from firstbounce.shot.launch import face_contact
from firstbounce.shot.laws import AeroLaw, BounceLaw, BounceNumbers, Laws, RollLaw
from firstbounce.shot.play import play_on
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import Level, Lie

Floats = NDArray[np.float64]

LENGTHS_M = (8.0, 15.0, 22.0, 29.0, 36.0)  #: of whole shots with a usual run
STIMP_FT = 9.5
TERMS = ("all", "loft", "loft^2", "ln carry", "loft x ln carry")


@dataclass(frozen=True)
class Member:
    """One set of laws that cannot be ruled out."""

    laws: Laws
    friction: float
    face_grip: float


def member(rng: np.random.Generator) -> Member:
    """A draw: the recommended answer to every open question with probability one half."""

    def other() -> bool:
        return bool(rng.random() < 0.5)

    usual = BounceNumbers()
    bounce = (BounceLaw.PENNER_2002, BounceLaw.CROSS_2002)[int(rng.integers(2))] if other() else None
    aero = (AeroLaw.SMITS_SMITH_1994, AeroLaw.CONSTANT)[int(rng.integers(2))] if other() else None
    tilt, rest = np.exp(rng.normal(0, (0.25, 0.10)))
    return Member(
        Laws(
            bounce=BounceLaw.SETTLING if bounce is None else bounce,
            bounce_numbers=replace(
                usual,
                tilt=usual.tilt * tilt,
                grip_tilt=usual.grip_tilt * tilt,
                restitution_at_rest=usual.restitution_at_rest * rest,
            ),
            aero=AeroLaw.CHIP_RANGE if aero is None else aero,
            cd_scale=float(rng.uniform(0.8, 1.2)),
            cl_scale=float(rng.uniform(0.3, 1.2)),
            roll=RollLaw.SPEED_DEPENDENT if other() else RollLaw.CONSTANT,
            roll_speed_slope=float(rng.uniform(-0.1, 0.1)),
        ),
        friction=float(rng.uniform(0.16, 0.25)) if other() else 0.40,
        face_grip=float(rng.uniform(0.0, 0.3)) if other() else 0.0,
    )


def shots() -> tuple[Floats, Floats]:
    """Loft [deg] and carry [m] (n,) of the shots that are compared."""
    lofts = np.repeat([club.loft_deg for club in bag().clubs], len(LENGTHS_M))
    ratio = np.interp(lofts, RULE_LOFT, USUAL_RATIO)
    return lofts, np.maximum(np.tile(LENGTHS_M, len(CLUBS)) / (1 + ratio), 2.0)


def runs(of: Member, lofts: Floats, carries: Floats) -> Floats:
    """Runs (n,) [m] of usual strokes on level ground under these laws."""
    player = player_of_level(Level.TEN_TO_EIGHTEEN, bag=bag())
    ground = rival_turf(Ground.level((-40.0, 40.0, -10.0, 120.0)), of.friction).compiled()
    delivered = [
        float(player.delivered_loft_deg(player.bag.clubs[k // len(LENGTHS_M)], carry))
        for k, carry in enumerate(carries)
    ]
    contact = face_contact(Lie())
    struck = aim(
        (0.0, 0.0, 0.0),
        np.column_stack([np.zeros(len(carries)), carries]),
        np.radians(delivered),
        np.radians(player.attack_at_deg(carries)),
        face_to_path=0.0,
        ground=ground,
        laws=of.laws,
        friction=contact.friction,
        speed_factor=contact.speed_factor,
        grip=of.face_grip,
    )
    played = play_on(
        struck.landed,
        struck.landing_velocity,
        struck.landing_spin,
        ground=ground,
        green_deceleration=stimp_to_deceleration(STIMP_FT),
        laws=of.laws,
    )
    return np.maximum(np.hypot(*(played.finished - played.landed)[:, :2].T), 0.03 * carries)


def terms(lofts: Floats, carries: Floats) -> Floats:
    """The columns (n, 5) of TERMS; loft in tens of degrees from the middle one."""
    tens, way = lever(lofts), np.log(carries / USUAL_CARRY_M)
    return np.column_stack([np.ones_like(tens), tens, tens**2, way, tens * way])


def main(argv: list[str] | None = None) -> int:
    """Print mean and spread of ln run against the recommended laws, by term."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--members", type=int, default=400)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args(argv)
    rng = np.random.default_rng(options.seed)
    lofts, carries = shots()
    usual = runs(Member(Laws(), 0.40, 0.0), lofts, carries)
    off = np.array([np.log(runs(member(rng), lofts, carries) / usual) for _ in range(options.members)])
    found = np.linalg.lstsq(terms(lofts, carries), off.T, rcond=None)[0].T
    rest = off - found @ terms(lofts, carries).T
    print(f"{options.members} sets of laws; ln run over that of the recommended laws")
    for k, name in enumerate(TERMS):
        print(f"  {name:18s} mean {found[:, k].mean():+.3f}  sd {found[:, k].std():.3f}")
    print("correlation of the terms:")
    print(np.round(np.corrcoef(found.T), 2))
    print(f"left over: sd {rest.std():.3f}; by club and length of shot, mean and sd of the whole:")
    for k, name in enumerate(CLUBS):
        part = off[:, k * len(LENGTHS_M) : (k + 1) * len(LENGTHS_M)]
        cells = [f"{m:+.2f} {s:.2f}" for m, s in zip(part.mean(axis=0), part.std(axis=0), strict=True)]
        print(f"  {name:4s}", "   ".join(cells))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
