"""Firmness: one index a day. 1 is the ground of Penner's restitution law; soft is below, firm above.

An Estimate of firmness has the index itself as value (the median) and as sd that of its natural logarithm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from firstbounce.errors import CannotEstimate, OutOfRange, ParameterError
from firstbounce.ground.combine import combine, pooled_share
from firstbounce.units import GRAVITY
from firstbounce.words import Estimate, Source

DROP_HEIGHT_M = 1.50  #: the usual drop
RESTITUTION_SHARE = 0.08  #: usual spread of single drops: reading 2 cm in 15 cm is 7 percent, and the spots
FIRMNESS_FLOOR = 0.10  #: sd of ln firmness that no drop removes: a drop is no chip, choice


def restitution_penner_2002(speed_into: float) -> float:
    """Restitution of turf [-] at a speed into it along the normal [m/s].

    A. R. Penner, The run of a golf ball, Can. J. Phys. 80 (2002) 931 (equation from memory, high): a
    polynomial to 20 m/s, 0.120 above. OutOfRange below 0 or above 40 m/s.
    """
    if not 0 <= speed_into <= 40:
        raise OutOfRange(
            f"A speed into the turf of {speed_into:g} m/s is outside 0 to 40 m/s, the range of penner_2002."
        )
    return 0.510 - 0.0375 * speed_into + 0.000903 * speed_into**2 if speed_into <= 20 else 0.120


def restitution_from_bounce(bounce_m: float, drop_m: float = DROP_HEIGHT_M) -> float:
    """Restitution [-] of a ball dropped from `drop_m` that bounces to `bounce_m` [m]: sqrt(bounce / drop)."""
    if not 0.3 <= drop_m <= 3:
        raise ParameterError(f"Drop the ball from 0.3 to 3 m, got {drop_m:g} m.")
    if not 0 < bounce_m < drop_m:
        raise ParameterError(
            f"A ball dropped from {drop_m:g} m bounces above 0 and lower, got {bounce_m:g} m."
        )
    return math.sqrt(bounce_m / drop_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class DropReading:
    """What a drop test says."""

    restitution: Estimate  #: at the speed of the drop
    firmness: Estimate  #: index; sd of its logarithm
    speed_into: float  #: [m/s]
    remarks: tuple[str, ...] = ()


def firmness_from_drops(bounces_m: Sequence[float], drop_m: float = DROP_HEIGHT_M) -> DropReading:
    """Restitution and firmness index from bounce heights [m] of balls dropped from `drop_m` [m].

    The index is the measured restitution over that of Penner's law at the same speed. The error comes from
    the spread of the drops, pooled with the usual 8 percent; five drops on three spots are a good test.
    """
    if len(bounces_m) == 0:
        raise CannotEstimate("A drop test needs at least one bounce height.")
    values = [restitution_from_bounce(bounce, drop_m) for bounce in bounces_m]
    n, speed = len(values), math.sqrt(2 * GRAVITY * drop_m)
    mean = math.exp(sum(math.log(value) for value in values) / n)
    share = pooled_share([values], RESTITUTION_SHARE) / math.sqrt(n)
    index = mean / restitution_penner_2002(speed)
    return DropReading(
        restitution=Estimate(value=mean, sd=mean * share, source=Source.MEASURED, n=n),
        firmness=Estimate(value=index, sd=math.hypot(share, FIRMNESS_FLOOR), source=Source.MEASURED, n=n),
        speed_into=speed,
        remarks=_drop_remarks(values, index),
    )


def _drop_remarks(values: Sequence[float], index: float) -> tuple[str, ...]:
    remarks = []
    if max(values) > 1.5 * min(values):
        remarks.append("The bounces differ much from spot to spot: drop more balls where balls will land.")
    if not 0.5 <= index <= 1.8:
        remarks.append("This bounce is outside what greens usually give: check the heights and the spot.")
    return tuple(remarks)


class FirmnessWord(StrEnum):
    """How the ground feels under foot or to a tee."""

    SOFT = "soft"
    MEDIUM = "medium"
    FIRM = "firm"


class Moisture(StrEnum):
    """How wet the ground is, by palm and towel."""

    DRY = "dry"
    DAMP = "damp"
    WET = "wet"
    STANDING = "standing water"


_WORDS = {FirmnessWord.SOFT: 0.70, FirmnessWord.MEDIUM: 1.00, FirmnessWord.FIRM: 1.35}
WORD_SD = 0.20  #: sd of ln firmness when a coach says a word: right to about half a class, choice
PRIOR_SD = 0.25  #: sd of ln firmness when nobody looked, median 1, choice
#: Factor on the firmness of a usual day. Choices; one course went from 70 to 98 gravities on the impact
#: hammer when it dried from 41 to 23 percent water (read), and a hammer's scale is no restitution.
_MOISTURE = {Moisture.DRY: 1.10, Moisture.DAMP: 1.00, Moisture.WET: 0.80, Moisture.STANDING: 0.65}
MOISTURE_SD = 0.10  #: sd of ln of that factor: water says little of firmness (R2 0.19 to 0.63, read)


def firmness_of_word(word: FirmnessWord | None) -> Estimate:
    """Firmness index of a class word; None: nobody looked."""
    if word is None:
        return Estimate(value=1.0, sd=PRIOR_SD, source=Source.PRIOR)
    return Estimate(value=_WORDS[FirmnessWord(word)], sd=WORD_SD, source=Source.CLASS_WORD, n=1)


def firmness_when(firmness: Estimate, moisture: Moisture) -> Estimate:
    """The firmness of a usual day brought to how wet it is now.

    For words and usual values only: a drop test made today already felt the wet and comes back unchanged.
    """
    if firmness.source in (Source.MEASURED, Source.FITTED):
        return firmness
    factor = _MOISTURE[Moisture(moisture)]
    if factor == 1:
        return firmness
    return replace(firmness, value=firmness.value * factor, sd=math.hypot(firmness.sd, MOISTURE_SD))


def combined_firmness(readings: Sequence[Estimate]) -> Estimate:
    """One firmness index from several; on the logarithm, never surer than a drop test can be."""
    return combine(readings, floor_sd=FIRMNESS_FLOOR, of_logarithm=True)
