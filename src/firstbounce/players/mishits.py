"""Mishits: how often a strike is not clean, and what each kind does to the ball.

A strike is drawn in two steps: `draw_noise` draws what is random, once and without regard to the shot, so
that the same player can be compared over clubs and spots on common random numbers; `strikes_of` turns it
into the arrays a shot needs. No published rate of heavy and thin strikes by skill was found: shares by
level are common practice, what each kind does is a choice, and both are meant to be overwritten.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from firstbounce.errors import ParameterError
from firstbounce.players.spread import Spread
from firstbounce.words import Level, LieKind, Strike

Floats = NDArray[np.float64]

STRIKES: tuple[Strike, ...] = tuple(Strike)  #: `Strikes.kind` indexes this; 0 is clean
MISHIT_KINDS: tuple[Strike, ...] = STRIKES[1:]  #: order of `Mishits.mix`
LARGEST_SHARE = 0.7  #: no lie makes more than this share of strikes mishits [-], a choice


class Effect(NamedTuple):
    """What one kind of strike does; each pair is the range of a uniform draw."""

    speed: tuple[float, float]  #: club speed over that of a clean strike [-]
    loft: tuple[float, float]  #: delivered loft over that of a clean strike [-]
    direction_deg: tuple[float, float]  #: added to the direction, toward the toe side positive [deg]
    friction: float  #: face friction over that of a clean strike [-]


#: All choices. Carry goes with speed squared, so a heavy strike carries 30 to 70 %. A thin strike meets the
#: ball with the leading edge: less loft turns club speed into ball speed, so it flies low, far and runs.
EFFECTS: dict[Strike, Effect] = {
    Strike.CLEAN: Effect((1.0, 1.0), (1.0, 1.0), (0.0, 0.0), 1.0),
    Strike.HEAVY: Effect((0.55, 0.84), (0.95, 1.1), (-2.0, 2.0), 0.5),
    Strike.THIN: Effect((0.92, 1.05), (0.3, 0.7), (-2.0, 2.0), 0.9),
    Strike.TOE: Effect((0.82, 0.96), (0.95, 1.0), (0.0, 7.0), 1.0),
    Strike.HEEL: Effect((0.85, 0.97), (0.95, 1.0), (-6.0, 0.0), 1.0),
    Strike.SHANK: Effect((0.6, 0.95), (0.3, 0.8), (30.0, 65.0), 1.0),
}

#: Share of mishits from a lie over the share from the fairway; all choices.
LIE_SHARE_FACTOR: dict[LieKind, float] = {
    LieKind.TIGHT: 1.3,
    LieKind.FAIRWAY: 1.0,
    LieKind.FRINGE: 1.0,
    LieKind.LIGHT_ROUGH: 1.2,
    LieKind.HEAVY_ROUGH_UP: 1.3,
    LieKind.HEAVY_ROUGH_DOWN: 1.8,
    LieKind.BARE: 1.5,
    LieKind.SAND_EDGE: 1.7,
    LieKind.MAT: 0.7,
    LieKind.GREEN: 1.2,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mishits:
    """The share of strikes that are not clean from a fairway lie, and what they are."""

    share: float
    mix: tuple[float, ...] = (0.42, 0.40, 0.08, 0.07, 0.03)  #: by MISHIT_KINDS; sums to 1

    def __post_init__(self) -> None:
        if not 0 <= self.share <= 0.9:
            raise ParameterError(f"The share of mishits must be 0 to 0.9, got {self.share:g}.")
        if len(self.mix) != len(MISHIT_KINDS) or min(self.mix) < 0 or abs(sum(self.mix) - 1) > 1e-6:
            kinds = ", ".join(MISHIT_KINDS)
            raise ParameterError(f"The mix of mishits needs a share for {kinds} that add up to 1.")

    def share_from(self, lie: LieKind) -> float:
        """Share of mishits from this lie."""
        return min(self.share * LIE_SHARE_FACTOR[lie], max(self.share, LARGEST_SHARE))


MISHITS_OF_LEVEL: dict[Level, Mishits] = {
    Level.SCRATCH: Mishits(share=0.015, mix=(0.40, 0.38, 0.11, 0.10, 0.01)),
    Level.SINGLE_FIGURE: Mishits(share=0.05, mix=(0.41, 0.39, 0.10, 0.08, 0.02)),
    Level.TEN_TO_EIGHTEEN: Mishits(share=0.125),
    Level.NINETEEN_TO_TWENTY_EIGHT: Mishits(share=0.225, mix=(0.43, 0.40, 0.07, 0.06, 0.04)),
    Level.BEGINNER: Mishits(share=0.35, mix=(0.42, 0.42, 0.06, 0.05, 0.05)),
}


class StrikeNoise(NamedTuple):
    """What is random in n strikes, free of club, carry, lie and player. Each array has shape (n,)."""

    along: Floats  #: standard normal, carry
    across: Floats  #: standard normal, direction
    mishit: Floats  #: uniform, a mishit if below the share
    kind: Floats  #: uniform, which kind
    speed: Floats  #: uniform, size of the effect on speed
    loft: Floats  #: uniform, size of the effect on loft
    side: Floats  #: uniform, size of the effect on direction


class Strikes(NamedTuple):
    """n strikes as arrays of shape (n,), ready for launch and for `aim`."""

    kind: NDArray[np.uint8]  #: index into STRIKES
    along_m: Floats  #: carry error of a clean strike, long positive [m]
    direction: Floats  #: starting direction off the line, right positive [rad]
    speed_factor: Floats  #: multiplies club speed [-]
    loft_factor: Floats  #: multiplies delivered loft [-]
    friction_factor: Floats  #: multiplies face friction [-]


def draw_noise(rng: np.random.Generator, n: int) -> StrikeNoise:
    """Draw what is random in n strikes."""
    normal = rng.standard_normal((2, n))
    uniform = rng.random((5, n))
    return StrikeNoise(normal[0], normal[1], *uniform)


def spread_noise(cube: ArrayLike) -> StrikeNoise:
    """Strike noise from points of the unit cube, shape (n, 7): for quasi-random draws."""
    points = np.clip(np.asarray(cube, float), 1e-12, 1 - 1e-12)
    if points.ndim != 2 or points.shape[1] != len(StrikeNoise._fields):
        raise ParameterError(f"Strike noise needs points of shape (n, 7), got {points.shape}.")
    columns = points.T
    return StrikeNoise(ndtri(columns[0]), ndtri(columns[1]), *columns[2:])


def strikes_of(
    noise: StrikeNoise,
    *,
    spread: Spread,
    mishits: Mishits,
    carry_m: ArrayLike,
    lie: LieKind = LieKind.FAIRWAY,
    left_handed: bool = False,
) -> Strikes:
    """Turn noise into strikes for a carry [m] (one number or shape (n,)) from a lie.

    `along_m` and `direction` are drawn for every strike; the effect of a mishit comes on top.
    """
    kind = _kinds(noise, mishits.share_from(lie), mishits.mix)
    low, width = _effect_table()
    side = low[kind, 2] + width[kind, 2] * noise.side
    toe_side = -1.0 if left_handed else 1.0
    return Strikes(
        kind=kind,
        along_m=spread.along_m(carry_m, lie) * noise.along,
        direction=spread.direction(lie) * noise.across + toe_side * side,
        speed_factor=low[kind, 0] + width[kind, 0] * noise.speed,
        loft_factor=low[kind, 1] + width[kind, 1] * noise.loft,
        friction_factor=low[kind, 3],
    )


def draw_strikes(
    rng: np.random.Generator,
    n: int,
    *,
    spread: Spread,
    mishits: Mishits,
    carry_m: ArrayLike,
    lie: LieKind = LieKind.FAIRWAY,
    left_handed: bool = False,
) -> Strikes:
    """Draw n strikes of a player at a carry [m] from a lie; `draw_noise` and `strikes_of` in one."""
    noise = draw_noise(rng, n)
    return strikes_of(
        noise, spread=spread, mishits=mishits, carry_m=carry_m, lie=lie, left_handed=left_handed
    )


def _kinds(noise: StrikeNoise, share: float, mix: tuple[float, ...]) -> NDArray[np.uint8]:
    edges = np.cumsum(mix)[:-1]
    which = 1 + np.searchsorted(edges, noise.kind, side="right")
    return np.where(noise.mishit < share, which, 0).astype(np.uint8)


def _effect_table() -> tuple[Floats, Floats]:
    """Low ends and widths by strike code: columns speed, loft, direction [rad], friction."""
    rows = []
    for strike in STRIKES:
        effect = EFFECTS[strike]
        low_deg, high_deg = effect.direction_deg
        side = (math.radians(low_deg), math.radians(high_deg))
        rows.append((effect.speed, effect.loft, side, (effect.friction, effect.friction)))
    table = np.array(rows, float)
    return table[:, :, 0], table[:, :, 1] - table[:, :, 0]
