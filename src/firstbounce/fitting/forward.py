"""Play the logged strokes by the model, with the derivatives of every finish, in one batch of the kernels.

A stroke is aimed at the place where the ball landed, with the delivery of its club, and played to the finish.
Six versions of every stroke are played at once: as is, firmer, faster, more loft, longer run, landed farther.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import CannotEstimate
from firstbounce.fitting.assumptions import USUAL_CARRY_M, lever
from firstbounce.fitting.layout import FIRMNESS, LEAN, STIMP, Layout
from firstbounce.fitting.shots import Shots
from firstbounce.fitting.strokes import strike
from firstbounce.ground.arrays import GroundArrays
from firstbounce.ground.conditions import GreenToday
from firstbounce.players.player import Player
from firstbounce.shot.laws import AirSpec, Laws
from firstbounce.units import METRES_PER_FOOT, STIMP_RELEASE_SPEED

Floats = NDArray[np.float64]

#: Steps of the differences: ln firmness, Stimp [ft], loft [deg], ln run, landing [m]. Long ones, because
#: the run jumps by some centimetres where one hop more or less comes in.
STEPS = (0.2, 0.8, 2.0, 0.2, 0.6)
LOWEST_LOFT_DEG = 8.0  #: no stroke is delivered with less, however the unknowns wander
SLOWEST_STIMP_FT = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """What stays fixed while unknowns are sought: the ground, the day's readings, the player, the laws."""

    ground: GroundArrays
    today: GreenToday
    player: Player
    layout: Layout
    air: AirSpec = field(default_factory=AirSpec)
    laws: Laws = field(default_factory=Laws)


@dataclass(frozen=True, slots=True, eq=False)
class Forward:
    """Where the model has n strokes finish, and how that changes with the unknowns."""

    finish: Floats  #: (n, 2) hole covered [m]
    run: Floats  #: (n,) landing to finish [m]
    hang: Floats  #: (n,) start to landing [s]
    axis: Floats  #: (n, 2) unit vector along the run
    along: Floats  #: (n, p) change of the finish along the run with each unknown [m per unit]
    across: Floats  #: (n, p) the same across it, right positive
    hang_slope: Floats  #: (n, p) change of ln hang time with each unknown
    gain: tuple[Floats, Floats]  #: (n,) finish along (across) per metre of landing along (across)
    reached: NDArray[np.bool_]  #: (n,) whether the model can land a ball there at all


def ln_run(layout: Layout, theta: Floats, shots: Shots) -> Floats:
    """Discrepancy of ln run (n,) of each stroke."""
    way = np.log(np.maximum(shots.carry, 0.5) / USUAL_CARRY_M)
    rough = np.where(shots.group > 0, theta[layout.carry_slope + shots.group], 0.0)
    slope = layout.carry_slopes(theta)[shots.club]
    return np.asarray(theta[layout.discrepancy][shots.club] + slope * way + rough)


def deceleration(stimp_ft: Floats | float) -> Floats:
    """Green deceleration [m/s2] from Stimp [ft], arrays allowed."""
    feet = np.maximum(np.asarray(stimp_ft, dtype=np.float64), SLOWEST_STIMP_FT)
    return STIMP_RELEASE_SPEED**2 / (2 * METRES_PER_FOOT * feet)


def delivered_loft_deg(world: World, theta: Floats, shots: Shots) -> Floats:
    """Delivered loft (n,) [deg] of each stroke, before the stance."""
    lofts = np.empty(len(shots))
    carry = shots.carry
    for k, club in enumerate(world.layout.clubs):
        rows = shots.club == k
        if rows.any():
            lofts[rows] = world.player.delivered_loft_deg(club, carry[rows])
    lean = theta[LEAN] + theta[world.layout.club_lean][shots.club]
    return np.maximum(lofts - lean, LOWEST_LOFT_DEG)


def forward(world: World, theta: Floats, shots: Shots) -> Forward:
    """Play all strokes and their five neighbours."""
    n = len(shots)
    loft = np.radians(delivered_loft_deg(world, theta, shots))
    spots = np.concatenate([shots.spot, shots.spot, shots.spot + STEPS[4] * shots.line])
    lofts = np.concatenate([loft, loft + np.radians(STEPS[2]), loft])
    struck = strike(world, shots, spots, lofts)
    rows = np.concatenate([np.arange(n)] * 3 + [np.arange(n, 2 * n), np.arange(n), np.arange(2 * n, 3 * n)])
    base = ln_run(world.layout, theta, shots)
    stimp = world.today.stimp_ft.value + theta[STIMP]
    firm = world.today.firmness.value * np.exp(theta[FIRMNESS])
    played = struck.play(
        world,
        rows,
        firmness=_columns(n, firm, {1: firm * np.exp(STEPS[0])}),
        green=_columns(n, deceleration(stimp), {2: deceleration(stimp + STEPS[1])}),
        run=np.concatenate([base] * 4 + [base + STEPS[3], base]),
    ).reshape(6, n, 2)
    hang = struck.hang.reshape(3, n)
    return _derive(
        world.layout,
        shots,
        played,
        spots.reshape(3, n, 2),
        hang,
        np.logical_and.reduce(struck.reached.reshape(3, n)),
    )


def _columns(n: int, usual: Floats | float, changed: dict[int, Floats | float]) -> Floats:
    """(6 n,) values: `usual` for every version of the strokes but the changed ones."""
    table = np.full((6, n), usual, dtype=np.float64)
    for column, value in changed.items():
        table[column] = value
    return table.ravel()


def _derive(
    layout: Layout, shots: Shots, played: Floats, spots: Floats, hang: Floats, reached: NDArray[np.bool_]
) -> Forward:
    finish, n = played[0], len(shots)
    way = finish - spots[0]
    run = np.hypot(*way.T)
    axis = np.where((run > 0.5)[:, None], way / np.maximum(run, 1e-9)[:, None], shots.line)
    right = np.stack([axis[:, 1], -axis[:, 0]], axis=1)
    slopes = (played[1:] - finish) / np.array(STEPS)[:, None, None]  # (5, n, 2)
    along, across = ((slopes * unit).sum(axis=2) for unit in (axis, right))
    log_hang = np.log(np.maximum(hang, 0.05))
    hang_slope = np.zeros((n, layout.size))
    hang_slope[:, LEAN] = -(log_hang[1] - log_hang[0]) / STEPS[2]
    hang_slope[np.arange(n), layout.club_lean.start + shots.club] = hang_slope[:, LEAN]
    hang_slope[:, layout.hang] = 1.0
    line_gain = 1 + np.einsum("ij,ij->i", way, shots.line) / np.maximum(shots.carry, 0.5)
    return Forward(
        finish=finish,
        run=run,
        hang=hang[0],
        axis=axis,
        along=_spread_out(layout, shots, along),
        across=_spread_out(layout, shots, across),
        hang_slope=hang_slope,
        gain=(np.clip(np.abs(along[4]), 0.2, 8.0), np.clip(np.abs(line_gain), 0.2, 8.0)),
        reached=reached & np.isfinite(played).all(axis=(0, 2)),
    )


def _spread_out(layout: Layout, shots: Shots, slope: Floats) -> Floats:
    """From the five played derivatives (5, n) to those by every unknown, (n, p)."""
    n = len(shots)
    rows = np.arange(n)
    full = np.zeros((n, layout.size))
    full[:, FIRMNESS], full[:, STIMP], full[:, LEAN] = slope[0], slope[1], -slope[2]
    full[rows, layout.club_lean.start + shots.club] = -slope[2]
    full[rows, layout.discrepancy.start + shots.club] = slope[3]
    full[:, layout.carry_slope] = slope[3] * np.log(np.maximum(shots.carry, 0.5) / USUAL_CARRY_M)
    full[:, layout.loft_carry] = full[:, layout.carry_slope] * lever(layout.lofts_deg)[shots.club]
    rough = shots.group > 0
    full[rows[rough], layout.carry_slope + shots.group[rough]] = slope[3][rough]
    return full


def check_reached(shots: Shots, reached: NDArray[np.bool_]) -> None:
    """CannotEstimate when the model can land none of the strokes where they landed."""
    if len(shots) and not reached.any():
        raise CannotEstimate(
            "None of these balls could have flown to where it landed: check starts, landings and the map."
        )
