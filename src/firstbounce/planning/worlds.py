"""From a fit, a day and a ground to the scene that the planner plays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

import numpy as np

from firstbounce.fitting.result import Z90, Fit, FitDraws, Known
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Plane, Spline
from firstbounce.planning.draws import EvenNormals
from firstbounce.planning.prices import Prices, TablePrices
from firstbounce.planning.scene import Scene
from firstbounce.planning.unknowns import Unknowns
from firstbounce.players.player import Player
from firstbounce.players.spread import Spread
from firstbounce.players.strokes import strokes_table
from firstbounce.shot.air import air_of_weather
from firstbounce.shot.laws import AirSpec, HoleSpec, Laws
from firstbounce.words import Lie, Point, Station

WORLDS = 1024  #: draws of the unknowns; a power of two deals them evenly [choice]
SURFACES = 8  #: surfaces that stand for what is not known of the slope [choice]
KNOWN_SLOPE = 2e-4  #: a gradient known to this needs one surface only [-]


def scene_of(
    station: Station,
    *,
    fit: Fit,
    today: GreenToday,
    ground: Ground,
    rng: np.random.Generator,
    laws: Laws | None = None,
    prices: Prices | None = None,
    flagstick: bool = False,
    cancelled: Callable[[], bool] | None = None,
) -> Scene:
    """The station in the worlds that the balls allow."""
    grounds = drawn_grounds(ground, station.hole, rng)
    usual = TablePrices(strokes_table(fit.player), station.start, station.hole)
    return Scene(
        start=station.start,
        hole=HoleSpec(float(station.hole.x_m), float(station.hole.y_m), flagstick),
        lie=station.lie,
        player=player_as_learned(fit),
        grounds=grounds,
        unknowns=Unknowns.of(even_worlds(fit, station.lie, rng), len(grounds)),
        prices=usual if prices is None else prices,
        air=air_today(today),
        laws=laws or Laws(),
        run_tail=fit.assumed.tail,
        cancelled=cancelled,
    )


def even_worlds(fit: Fit, lie: Lie, rng: np.random.Generator, n: int = WORLDS) -> FitDraws:
    """n worlds that the balls allow, evenly spread."""
    return fit.draws(cast(np.random.Generator, EvenNormals(rng)), n, lie)


def player_as_learned(fit: Fit) -> Player:
    """The player with the spread and the share of mishits that the balls show.

    A habit (short, left) is aimed off for; what is not known of it after these balls widens the spread.
    """
    share, direction = fit.spread_share.value, fit.direction_deg.value
    if fit.landing.n_landed:
        share = float(np.hypot(share, _sd(fit.carry_bias)))
        direction = float(np.hypot(direction, _sd(fit.direction_bias_deg)))
    spread = Spread(
        floor_m=min(fit.spread_floor_m.value, 5.0), share=min(share, 1.0), direction_deg=min(direction, 30.0)
    )
    mishits = replace(fit.player.mishits, share=min(fit.mishit_share.value, 0.9))
    return replace(fit.player, spread=spread, mishits=mishits)


def _sd(known: Known) -> float:
    return (known.high - known.low) / (2 * Z90)


def air_today(today: GreenToday) -> AirSpec:
    """The air of the day, wind included."""
    wind_x, wind_y = today.wind.vector
    return air_of_weather(
        temperature_c=today.weather.temperature_c,
        pressure_pa=today.weather.pressure_pa,
        humidity=today.weather.humidity,
        wind_x=wind_x,
        wind_y=wind_y,
        reference_height=today.wind.reference_m,
        roughness=today.wind.roughness_m,
    )


def drawn_grounds(ground: Ground, hole: Point, rng: np.random.Generator) -> tuple[Ground, ...]:
    """Surfaces that the readings allow, mirrored about the likeliest; one when the slope is known."""
    surface = ground.surface
    slope_sd = getattr(surface, "slope_sd_at", None)
    if slope_sd is None or float(slope_sd(*hole)) < KNOWN_SLOPE:
        return (ground,)
    if isinstance(surface, Plane):
        return tuple(ground.with_surface(plane) for plane in _planes(surface))
    middle = surface.spline(ground.map)
    pairs: list[Ground] = []
    for _ in range(SURFACES // 2):
        drawn = surface.draw(rng).spline(ground.map)
        mirrored = Spline(2 * middle.coeffs - drawn.coeffs, middle.x0_m, middle.y0_m, middle.cell_m)
        pairs += [ground.with_surface(drawn), ground.with_surface(mirrored)]
    return tuple(pairs)


def _planes(plane: Plane) -> list[Plane]:
    """Planes whose gradients lie on a ring with the mean and covariance of what is known."""
    size, turn = np.linalg.eigh(np.array(plane.gradient_cov))
    root = turn * np.sqrt(np.maximum(size, 0.0))
    angle = 2 * np.pi * (np.arange(SURFACES) + 0.5) / SURFACES
    ring = np.sqrt(2) * np.column_stack([np.cos(angle), np.sin(angle)]) @ root.T
    gx, gy = plane.steepness
    return [Plane.of_gradient((gx + float(dx), gy + float(dy)), plane.point) for dx, dy in ring]
