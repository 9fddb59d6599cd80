"""Checks of the bounce: rows of the tilted plane, Haake's two kinds of green, laws."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.optimize import brentq

from firstbounce.checks.case import Case, Seen
from firstbounce.checks.scenes import bounce_energy, one_bounce
from firstbounce.ground.firmness import Moisture, firmness_of_word, firmness_when
from firstbounce.shot.bounce import rebound
from firstbounce.shot.laws import NO_AIR, BounceLaw, Laws, Steps, numbers
from firstbounce.units import rad_per_s_to_rpm

PENNER = "Penner, Can. J. Phys. 80 (2002) 931: the code does what the equation says"
HAAKE = "Haake, thesis, Aston University (1989), abstract"

#: speed, descent, backspin in, forward and upward speed out, backspin out
ORIGINAL_ROWS = (
    (18.6, 45.6, 0, 5.610, 3.889, -2883),
    (18.6, 45.6, 4000, 3.148, 3.211, -1740),
    (18.6, 45.6, 8000, 0.948, 2.605, -293),
    (16.0, 48, 6000, 1.257, 2.603, -802),
    (12.0, 45, 0, 4.439, 3.071, -2197),
    (12.0, 45, 3000, 2.554, 2.736, -1340),
    (12.0, 45, 6000, 1.612, 2.569, 590),
    (9.0, 42, 2500, 2.222, 2.365, -1133),
    (9.0, 42, 5000, 1.900, 2.319, 1003),
    (7.5, 31, 1500, 2.967, 2.120, -1372),
    (6.0, 30, 1000, 2.638, 1.709, -1227),
    (10.0, 90, 0, 0.0, 2.253, 0),
)
SETTLING_ROWS = (
    (18.6, 45.6, 4000, 3.148, 3.211, -1740),
    (12.0, 45, 3000, 2.571, 2.734, -1345),
    (12.0, 45, 6000, 1.640, 2.570, 596),
    (9.0, 42, 2500, 2.287, 2.345, -1153),
    (7.5, 31, 1500, 3.356, 1.978, -1243),
    (6.0, 30, 1000, 2.911, 1.584, -1129),
)


def _row_cases(law: BounceLaw, rows: tuple[tuple[float, ...], ...], source: str) -> Iterator[Case]:
    for speed, descent, spin, *out in rows:
        for part, (name, unit, least) in enumerate(
            (("forward speed", "m/s", 0.0006), ("upward speed", "m/s", 0.0006), ("backspin", "rpm", 1.0))
        ):
            yield Case(
                what=f"{name} after {speed:g} m/s, {descent:g} deg, {spin:g} rpm ({law.name.lower()})",
                published=out[part],
                tolerance=max(0.002 * abs(out[part]), least),
                unit=unit,
                source=source,
                seen=Seen.MEMORY,
                compute=lambda s, d, w, k: one_bounce(s, d, w, law=law)[k],
                given=(speed, descent, spin, part),
            )


def _balls_without_topspin() -> float:
    """How many of a grid of landings on the first kind of green leave without topspin."""
    count = 0
    for speed in (12, 14, 16, 18, 20):
        for descent in (40, 45, 50):
            for spin in (0, 100, 200, 300, 350):
                out = one_bounce(speed, descent, rad_per_s_to_rpm(spin), law=BounceLaw.SETTLING)
                count += out[2] >= 0
    return float(count)


def _spin_kept_above() -> float:
    """Backspin [rad/s] above which the second kind of green, friction 0.16, lets it live."""

    def out(spin: float) -> float:
        return one_bounce(18.6, 45.6, rad_per_s_to_rpm(spin), law=BounceLaw.SETTLING, friction=0.16)[2]

    return float(brentq(out, 50, 900))


def _largest_energy_ratio(law: BounceLaw) -> float:
    rng = np.random.default_rng(7)
    c = numbers(Laws(bounce=law), NO_AIR, None, Steps())
    worst = 0.0
    for _ in range(2000):
        velocity, spin = rng.normal(0, 8, 3), rng.normal(0, 300, 3)
        velocity[2] = -abs(velocity[2])
        firmness, friction = rng.uniform(0.5, 1.6), rng.uniform(0, 1)
        state = (*velocity.tolist(), *spin.tolist(), 0.0, 0.0, 1.0)
        out = np.array(rebound(*state, int(law), firmness, 1.0, 1.0, friction, c))  # type: ignore[call-arg]
        worst = max(worst, bounce_energy(out[:3], out[3:]) / bounce_energy(velocity, spin))
    return worst


def _drop_height() -> float:
    """Rebound [cm] of a ball dropped from 1.50 m."""
    up = one_bounce(math.sqrt(2 * 9.81 * 1.5), 90, 0, law=BounceLaw.SETTLING)[1]
    return 100 * up**2 / (2 * 9.81)


def _drying_ratio() -> float:
    usual = firmness_of_word(None)
    return firmness_when(usual, Moisture.DRY).value / firmness_when(usual, Moisture.WET).value


def cases() -> Iterator[Case]:
    """Rows of both tilted planes, Haake's greens, energy, a drop, drying turf."""
    yield from _row_cases(BounceLaw.PENNER_2002, ORIGINAL_ROWS, PENNER)
    yield from _row_cases(BounceLaw.SETTLING, SETTLING_ROWS, PENNER + " (form that settles)")
    yield Case(
        what="balls without topspin on the first kind of green (12 to 20 m/s, 40 to 50 deg, to 350 rad/s)",
        published=0,
        source=HAAKE,
        seen=Seen.READ,
        compute=_balls_without_topspin,
    )
    yield Case(
        what="backspin above which the second kind of green keeps it (friction 0.16 derived)",
        published=350,
        tolerance=0.15 * 350,
        unit="rad/s",
        source=HAAKE,
        seen=Seen.READ,
        compute=_spin_kept_above,
    )
    for law in BounceLaw:
        yield Case(
            what=f"largest energy after over before, 2000 random bounces ({law.name.lower()})",
            published=(0, 1),
            tolerance=1e-9,
            source="energy never grows in a bounce",
            seen=Seen.IDENTITY,
            compute=_largest_energy_ratio,
            given=(law,),
        )
    yield Case(
        what="rebound of a drop from 1.50 m on a usual green",
        published=(7.5, 30),
        unit="cm",
        source="plausible field range 5 to 20 percent",
        seen=Seen.MEMORY,
        compute=_drop_height,
    )
    yield Case(
        what="firmness when dry over wet (impact hammer 98 over 70 gravities, water 23 and 41 %)",
        published=(1.0, 1.82),
        source="PACE Turf report; sign and 30 percent, the hammer's scale is no restitution",
        seen=Seen.READ,
        compute=_drying_ratio,
    )
