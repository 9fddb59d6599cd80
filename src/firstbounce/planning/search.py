"""Find the best landing spot of each club: scout the ground, survey what can pay, pick the lowest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.planning.landing import SHORTEST_CARRY, Floats, LandingErrors
from firstbounce.planning.luck import Clean, Missed
from firstbounce.planning.scene import Luck, Scene
from firstbounce.planning.survey import Grid, Sample, cheapest_spot, price_spots, sample_mixture
from firstbounce.players.clubs import Club
from firstbounce.shot.laws import N_SCATTER

SCOUT_CARRIES, SCOUT_AZIMUTHS = 16, 11
WIDEST_AIM = np.radians(25)  #: no landing spot lies further off the line to the hole [choice]
WORTH_A_LOOK = 0.30  #: strokes above the scouted best within which a spot is surveyed [choice]
MISHIT_CARRIES = 5  #: places along the carry at which mishits are priced; between them, interpolation


@dataclass(frozen=True, slots=True)
class Spot:
    """The best place to land one club (or to send a putt): carry or putt length [m], azimuth [rad]."""

    club: Club
    carry: float
    azimuth: float
    strokes: float  #: by the survey
    balls: int  #: played to find it


def best_spot(scene: Scene, club: Club, clean: Clean, missed: Missed) -> Spot:
    """The spot with the fewest expected strokes for this club."""
    grid = promising(scene, club)
    errors, n = scene.errors, len(clean.normals)
    sample = sample_mixture(grid, errors, clean.normals)
    draw = np.arange(n) % len(scene.unknowns)
    carry = np.maximum(sample.carry, SHORTEST_CARRY)
    balls = scene.clean(club, carry, sample.azimuth, draw, clean.luck)
    total = _with_mishits(scene, club, grid, price_spots(balls.cost, sample).mean, missed)
    carry_m, azimuth = cheapest_spot(grid, total, errors)
    return Spot(club, carry_m, azimuth, float(total.min()), n + MISHIT_CARRIES * len(missed.luck.run))


def promising(scene: Scene, club: Club) -> Grid:
    """The grid of spots worth a survey: where a ball hit as meant, in the middle world, can pay."""
    carries, azimuths = scouted_spots(scene)
    spots = Grid(carries, azimuths)
    carry, azimuth = np.repeat(carries, len(azimuths)), np.tile(azimuths, len(carries))
    still = Luck(np.zeros((spots.size, N_SCATTER)), np.zeros(spots.size))
    middle = scene.with_unknowns(scene.unknowns.middle())
    balls = middle.clean(club, carry, azimuth, np.zeros(spots.size, dtype=np.int64), still)
    blurred = _blur(balls.cost.reshape(len(carries), len(azimuths)), spots, scene.errors)
    return _grid_around(blurred <= blurred.min() + WORTH_A_LOOK, spots, scene.errors)


def scouted_spots(scene: Scene) -> tuple[Floats, Floats]:
    """Carries [m] up to a little beyond the hole, and azimuths [rad] either side of the line to it."""
    carries = np.geomspace(0.8, scene.distance + 1.5, SCOUT_CARRIES)
    return carries, scene.bearing + np.linspace(-WIDEST_AIM, WIDEST_AIM, SCOUT_AZIMUTHS)


def _blur(cost: Floats, spots: Grid, errors: LandingErrors) -> Floats:
    """Average over where the player's strikes would land, roughly: a coarse stand-in for the survey."""
    step = float(np.diff(spots.azimuths).mean())
    wide = LandingErrors(errors.floor, errors.share, max(errors.direction, 0.6 * step))
    by_carry = wide.carry_density(spots.carries, spots.carries) * np.gradient(spots.carries)[:, None]
    by_azimuth = wide.azimuth_density(spots.azimuths, spots.azimuths)
    by_carry, by_azimuth = by_carry / by_carry.sum(axis=0), by_azimuth / by_azimuth.sum(axis=0)
    blurred: Floats = by_carry.T @ cost @ by_azimuth
    return blurred


def _grid_around(good: np.ndarray, spots: Grid, errors: LandingErrors) -> Grid:
    """An even grid over the box that holds all good spots and their neighbours, a third of a spread fine."""
    rows, columns = np.flatnonzero(good.any(axis=1)), np.flatnonzero(good.any(axis=0))
    low, high = spots.carries[max(rows[0] - 1, 0)], spots.carries[min(rows[-1] + 1, SCOUT_CARRIES - 1)]
    left, right = (
        spots.azimuths[max(columns[0] - 1, 0)],
        spots.azimuths[min(columns[-1] + 1, SCOUT_AZIMUTHS - 1)],
    )
    fine = float(errors.sd_long(np.asarray((low + high) / 2))) / 3
    n_carry = int(np.clip(np.ceil((high - low) / fine), 6, 40)) + 1
    n_azimuth = int(np.clip(np.ceil((right - left) / (errors.direction / 2)), 4, 20)) + 1
    return Grid(np.linspace(low, high, n_carry), np.linspace(left, right, n_azimuth))


def _with_mishits(scene: Scene, club: Club, grid: Grid, clean: Floats, missed: Missed) -> Floats:
    """Cost of every spot with mishits counted by their share; mishits do not mind a small change of aim."""
    share = scene.mishit_share
    if share == 0:
        return clean
    carries = np.linspace(grid.carries[0], grid.carries[-1], MISHIT_CARRIES)
    middle = float(grid.azimuths[np.unravel_index(int(clean.argmin()), clean.shape)[1]])
    cost = mishit_cost(scene, club, carries, middle, missed)
    return (1 - share) * clean + share * np.interp(grid.carries, carries, cost)[:, None]


def mishit_cost(scene: Scene, club: Club, carries: Floats, azimuth: float, missed: Missed) -> Floats:
    """Expected strokes of a mishit at each of k carries [m], all with the same luck."""
    k, n = len(carries), len(missed.luck.run)
    every = np.tile(np.arange(n), k)
    balls = scene.mishits(
        club,
        np.repeat(carries, n),
        np.full(k * n, azimuth),
        every % len(scene.unknowns),
        type(missed.noise)(*(column[every] for column in missed.noise)),
        missed.luck.rows(every),
    )
    mean: Floats = balls.cost.reshape(k, n).mean(axis=1)
    return mean


def putt_errors(scene: Scene) -> LandingErrors:
    """Errors of a putt as those of a landing: share of the length meant, and direction."""
    skill = scene.player.putting
    return LandingErrors(0.02, skill.distance_share, float(np.radians(skill.angle_deg)))


def putt_grid(scene: Scene) -> Grid:
    """Paces (as lengths on the level green) and directions worth trying, from rolls without error."""
    lengths = np.geomspace(0.5, 6.0, 28) * max(scene.distance, 0.5)
    azimuths = scene.bearing + np.linspace(-WIDEST_AIM, WIDEST_AIM, 41)
    spots = Grid(lengths, azimuths)
    still = Luck(np.zeros((spots.size, N_SCATTER)), np.zeros(spots.size))
    middle = scene.with_unknowns(scene.unknowns.middle())
    index = np.zeros(spots.size, dtype=np.int64)
    balls = middle.putts(np.repeat(lengths, len(azimuths)), np.tile(azimuths, len(lengths)), index, still)
    errors = putt_errors(scene)
    blurred = _blur(balls.cost.reshape(len(lengths), len(azimuths)), spots, errors)
    i, j = np.unravel_index(int(blurred.argmin()), blurred.shape)
    length, azimuth = float(lengths[i]), float(azimuths[j])
    reach, turn = (
        2.0 * float(errors.sd_long(np.asarray(length))),
        2.5 * max(errors.direction, np.radians(1.25)),
    )
    return Grid(
        np.linspace(max(length - reach, 0.1), length + 1.5 * reach, 13),
        np.linspace(azimuth - turn, azimuth + turn, 13),
    )


def best_putt(scene: Scene, putter: Club, clean: Clean) -> Spot:
    """The pace and line with the fewest expected strokes."""
    grid, errors, n = putt_grid(scene), putt_errors(scene), len(clean.normals)
    sample: Sample = sample_mixture(grid, errors, clean.normals)
    draw = np.arange(n) % len(scene.unknowns)
    balls = scene.putts(np.maximum(sample.carry, 0.05), sample.azimuth, draw, clean.luck)
    total = price_spots(balls.cost, sample).mean
    length, azimuth = cheapest_spot(grid, total, errors)
    return Spot(putter, length, azimuth, float(total.min()), n)
