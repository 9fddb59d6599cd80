"""The referee's flight and bounce, written again from docs/shot/flight.md and docs/shot/bounce.md."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from firstbounce.ground.turf import FRICTION, RESTITUTION_SCALE, TILT_SCALE
from firstbounce.shot import laws as names
from firstbounce.shot.air import wind_log_law
from firstbounce.shot.laws import AeroLaw, BounceLaw, Laws
from firstbounce.shot.referee_world import ATOL, LONGEST_STEP, RADIUS, RTOL, Ball, Surface, Vector, World
from firstbounce.units import GRAVITY

UP = np.array([0.0, 0.0, 1.0])


def drag_and_lift(laws: Laws, reynolds: float, ratio: float) -> tuple[float, float]:
    """(C_D, C_L) under the law, written again from docs/shot/flight.md."""
    if laws.aero is AeroLaw.CHIP_RANGE:
        sigmoid = 0.25 / (1 + math.exp((reynolds - 5.5e4) / 0.7e4))
        cd, cl = 0.25 + sigmoid + 0.18 * min(ratio, 0.5), ratio / (0.226 + 2.39 * ratio)
    elif laws.aero is AeroLaw.SMITS_SMITH_1994:
        held = min(max(reynolds, 7e4), 2.1e5)
        capped = min(ratio, 0.5)
        cd = 0.24 + 0.18 * capped + 0.06 * math.sin(math.pi * (held - 9e4) / 2e5)
        cl = 0.54 * capped**0.4
    else:
        cd, cl = 0.45, 0.25 * ratio / (0.05 + ratio)
    return cd * laws.cd_scale, cl * laws.cl_scale


def air_force(world: World, velocity: Vector, spin: Vector, height: float) -> Vector:
    """Acceleration by the air [m/s2] at a height of the contact point above the ground [m]."""
    air = world.air
    if air.density == 0:
        return np.zeros(3)
    gain = wind_log_law(1.0, max(height, 0.0) + RADIUS, air.reference_height, air.roughness)
    relative = velocity - gain * np.array([air.wind_x, air.wind_y, 0.0])
    speed, rate = float(np.linalg.norm(relative)), float(np.linalg.norm(spin))
    if speed < 1e-12:
        return np.zeros(3)
    cd, cl = drag_and_lift(world.laws, 2 * RADIUS * speed / air.viscosity, RADIUS * rate / speed)
    pressure = 0.5 * air.density * names.BALL_AREA * speed / names.BALL_MASS
    axis = spin / rate if rate > 0 else spin
    return pressure * (cl * np.cross(axis, relative) - cd * relative)


def event_state(way: Any, which: int = 0) -> tuple[Vector, float]:
    """State and time of the event that ended a solution; the last state when no event did."""
    if len(way.y_events[which]):
        return way.y_events[which][0], float(way.t_events[which][0])
    return way.y[:, -1], float(way.t[-1])


def fly(world: World, surface: Surface, ball: Ball) -> tuple[Ball, float]:
    """From a contact to the next: the ball there, and the time it took [s]."""
    decay = 2e-5 / RADIUS if world.air.density > 0 else 0.0

    def rates(_t: float, s: Vector) -> Vector:
        height = s[2] - surface.height(s[0], s[1])
        pull = air_force(world, s[3:6], s[6:9], height) - GRAVITY * UP
        return np.concatenate([s[3:6], pull, -decay * np.linalg.norm(s[3:6]) * s[6:9]])

    def gap(_t: float, s: Vector) -> float:
        return s[2] - surface.height(s[0], s[1])

    gap.terminal, gap.direction = True, -1  # type: ignore[attr-defined]
    start = np.concatenate(ball)
    hx, hy = surface.gradient(start[0], start[1])
    if gap(0, start) <= 1e-12 and start[5] - hx * start[3] - hy * start[4] <= 0:
        return ball, 0.0
    way = solve_ivp(
        rates, (0, 60), start, method="DOP853", rtol=RTOL, atol=ATOL, events=gap, max_step=LONGEST_STEP
    )
    end, time = event_state(way)
    place = np.array([end[0], end[1], surface.height(end[0], end[1])])
    return Ball(place, end[3:6], end[6:9]), time


def pocket_tilt(laws: Laws, speed: float, phi: float) -> float:
    """Tilt of the ground under a landing ball [rad]; phi from the normal."""
    b = laws.bounce_numbers
    if laws.bounce is BounceLaw.CROSS_2002:
        return b.grip_tilt * math.sin(2 * phi)
    share = phi / math.radians(44.4)
    if laws.bounce is BounceLaw.PENNER_2002:
        return b.tilt * (speed / 18.6) * share
    return b.tilt * (speed * math.cos(phi)) / (18.6 * math.cos(math.radians(44.4))) * share


def restitution(laws: Laws, into: float) -> float:
    """Restitution before firmness and turf [-]."""
    b = laws.bounce_numbers
    if laws.bounce is BounceLaw.CROSS_2002:
        return b.restitution_at_rest / (1 + into / b.grip_speed)
    if into > 20:
        return b.restitution_floor
    return max(b.restitution_at_rest - b.restitution_slope * into + b.restitution_curve * into**2, 0.0)


def bounce(world: World, ball: Ball, normal: Vector, turf: Vector, ln_restitution: float) -> Ball:
    """One bounce on a plane with this normal, by rotating into the tilted plane's own axes."""
    laws = world.laws
    into = -float(ball.velocity @ normal)
    if into <= 0:
        return ball
    tangent = ball.velocity + into * normal
    along = float(np.linalg.norm(tangent))
    e1 = tangent / along if along > 0 else np.cross(normal, np.array([0.0, 1.0, 0.0]))
    e1 = e1 / np.linalg.norm(e1)
    phi = math.atan2(along, into)
    tilt = min(pocket_tilt(laws, math.hypot(along, into), phi) * turf[TILT_SCALE] / world.firmness, phi)
    plane_x = math.cos(tilt) * e1 + math.sin(tilt) * normal
    plane_z = math.cos(tilt) * normal - math.sin(tilt) * e1
    axes = np.array([plane_x, np.cross(plane_z, plane_x), plane_z])
    v, w = axes @ ball.velocity, axes @ ball.spin
    e = restitution(laws, -v[2]) * world.firmness * turf[RESTITUTION_SCALE] * math.exp(ln_restitution)
    e = min(e, laws.bounce_numbers.restitution_cap)
    slip = np.array([v[0] - RADIUS * w[1], v[1] + RADIUS * w[0]])
    size = float(np.linalg.norm(slip))
    gain = 1 + (laws.bounce_numbers.grip_restitution if laws.bounce is BounceLaw.CROSS_2002 else 0)
    rub = min(2 / 7 * gain * size, turf[FRICTION] * (1 + e) * -v[2])
    jx, jy = -rub * slip / size if size > 0 else (0.0, 0.0)
    v_out = axes.T @ np.array([v[0] + jx, v[1] + jy, -e * v[2]])
    w_out = axes.T @ (w + 2.5 / RADIUS * np.array([jy, -jx, 0.0]))
    return Ball(ball.place, v_out - min(float(v_out @ normal), 0.0) * normal, w_out)
