"""Checks of the strike: speed, launch and spin off the face."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from firstbounce.checks.case import Case, Seen
from firstbounce.shot.launch import Launched, face_contact, launch
from firstbounce.units import rad_per_s_to_rpm
from firstbounce.words import Lie, LieKind

WOOD = "Wood, Henrikson and Broadie, Proceedings (MDPI) 2 (2018) 249, abstract"
HAND = "impulse of a rigid face, worked by hand"


def _strike(
    speed: float, spin_loft: float, loft: float, *, e: float = 0.80, grip: float = 0.0, mu: float = 0.40
) -> Launched:
    """Angles in degrees; attack is loft minus spin loft."""
    return launch(
        speed,
        math.radians(loft),
        math.radians(loft - spin_loft),
        friction=mu,
        restitution=(e, 0.0),
        grip=grip,
    )


def _way_to_face(clubs: Sequence[tuple[float, float]], largest: bool) -> float:
    """Percent of the way from path to face at which the ball leaves, over (speed, loft) of dry strikes."""
    ways = []
    for speed, loft in clubs:
        out = launch(speed, math.radians(loft), math.radians(-4))
        ways.append(100 * (math.degrees(out.launch_angle[0]) + 4) / (loft + 4))
    return max(ways) if largest else min(ways)


def _rough_over_dry() -> float:
    """Backspin of an 8-iron from light rough over that from a dry fairway, percent."""
    spins = []
    for kind in (LieKind.LIGHT_ROUGH, LieKind.FAIRWAY):
        contact = face_contact(Lie(kind=kind))
        out = launch(
            35.0,
            math.radians(32),
            math.radians(-4),
            friction=contact.friction,
            speed_factor=contact.speed_factor,
            grip=0.3,
        )
        spins.append(out.spin_rate[0])
    return float(100 * spins[0] / spins[1])


def _rough_launches_higher() -> float:
    """How much higher the 8-iron leaves from light rough [deg]."""
    lofts = []
    for kind in (LieKind.LIGHT_ROUGH, LieKind.FAIRWAY):
        contact = face_contact(Lie(kind=kind))
        out = launch(35.0, math.radians(32), math.radians(-4), friction=contact.friction, grip=0.3)
        lofts.append(math.degrees(out.launch_angle[0]))
    return lofts[0] - lofts[1]


def cases() -> Iterator[Case]:
    """A hand-worked strike, the published share of the way to the face, a full wedge, rough."""
    chip = _strike(10.0, 50.0, 45.0)
    for what, value, tolerance, unit, ours in (
        ("ball speed", 10.251, 0.0205, "m/s", float(chip.speed[0])),
        ("launch", 33.20, 0.0664, "deg", math.degrees(chip.launch_angle[0])),
        ("backspin", 2346, 4.7, "rpm", rad_per_s_to_rpm(float(chip.spin_rate[0]))),
    ):
        yield Case(
            what=f"{what} of 10 m/s, spin loft 50, loft 45",
            published=value,
            tolerance=tolerance,
            unit=unit,
            source=HAND,
            seen=Seen.IDENTITY,
            compute=lambda ours: ours,
            given=(ours,),
        )
    clubs = [(speed, loft) for speed in (5.0, 8.0, 12.0, 16.0) for loft in (28, 32, 36, 41, 46, 52, 57)]
    for largest in (False, True):
        yield Case(
            what=f"{'most' if largest else 'least'} of the way from path to face, dry irons and wedges",
            published=(61, 83),
            unit="%",
            source=WOOD,
            seen=Seen.READ,
            compute=lambda largest: _way_to_face(clubs, largest),
            given=(largest,),
        )
    wedge = _strike(37.1, 40.0, 35.0, grip=0.30)
    for what, value, tolerance, unit, ours in (
        ("ball speed", 45.6, 0.05 * 45.6, "m/s", float(wedge.speed[0])),
        ("launch", 24, 2, "deg", math.degrees(wedge.launch_angle[0])),
        ("backspin", 9300, 930, "rpm", rad_per_s_to_rpm(float(wedge.spin_rate[0]))),
    ):
        yield Case(
            what=f"{what} of a full pitching wedge, 37.1 m/s",
            published=value,
            tolerance=tolerance,
            unit=unit,
            source="tour average as commonly quoted",
            seen=Seen.MEMORY,
            compute=lambda ours: ours,
            given=(ours,),
        )
    ruling = "charts of the ruling bodies as told by M. Stachura, Golf Digest, 21 July 2009"
    yield Case(
        what="8-iron spin from light rough over dry",
        published=(30, 70),
        unit="%",
        source=ruling,
        seen=Seen.READ,
        compute=_rough_over_dry,
    )
    yield Case(
        what="8-iron launch from light rough above dry",
        published=(0.1, 15),
        unit="deg",
        source=ruling + " (launches higher)",
        seen=Seen.READ,
        compute=_rough_launches_higher,
    )
