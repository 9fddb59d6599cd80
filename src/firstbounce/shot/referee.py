"""The referee: the same laws integrated by SciPy, slowly and exactly, to judge the compiled kernel.

Written apart from the kernel: plain Python and NumPy vectors, the surface through SciPy's B-splines, every
phase through solve_ivp (DOP853) with events, including the skid, which the kernel solves in closed form.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.integrate import solve_ivp

from firstbounce.ground.turf import PLUG_SPEED, SLIDING_FRICTION, STIMP_RATIO, SWALLOWS
from firstbounce.shot import laws as names
from firstbounce.shot.laws import CaptureLaw, RollLaw
from firstbounce.shot.referee_air import bounce, event_state, fly
from firstbounce.shot.referee_world import (
    ATOL,
    LONGEST_STEP,
    RADIUS,
    RTOL,
    Ball,
    Surface,
    Vector,
    Verdict,
    World,
)
from firstbounce.units import GRAVITY
from firstbounce.words import Outcome

LONGEST_LEG = 1.0  #: a roll is integrated in legs of this [s]
LONGEST_ROLL = 90.0  #: a ball that still rolls then will not stop [s]


def scattered_normal(surface: Surface, ball: Ball, along: float, across: float) -> Vector:
    """Normal of the ground with its own scatter."""
    hx, hy = surface.gradient(ball.place[0], ball.place[1])
    level = math.hypot(ball.velocity[0], ball.velocity[1])
    fx, fy = (ball.velocity[0] / level, ball.velocity[1] / level) if level > 0 else (0.0, 1.0)
    gradient = np.array([-hx - along * fx + across * fy, -hy - along * fy - across * fx, 1.0])
    return gradient / np.linalg.norm(gradient)


def flies_in(world: World, surface: Surface, ball: Ball) -> bool:
    """Whether it drops one radius (across the slope) before the far rim, having come down within the hole."""
    if world.hole is None:
        return False
    offset = ball.place[:2] - np.array([world.hole.x, world.hole.y])
    level = ball.velocity[:2]
    speed = float(np.linalg.norm(level)) + 1e-12
    beside = abs(float(offset[0] * level[1] - offset[1] * level[0])) / speed
    if np.linalg.norm(offset) >= names.HOLE_RADIUS or beside > names.HOLE_RADIUS - RADIUS:
        return False
    t = (math.sqrt(names.HOLE_RADIUS**2 - beside**2) - float(offset @ level) / speed) / speed
    normal = surface.normal(ball.place[0], ball.place[1])
    sunk = -float(ball.velocity @ normal) * t + GRAVITY * float(normal[2]) * t * t / 2
    return sunk >= RADIUS


def lost(world: World, surface: Surface, ball: Ball, normal: Vector) -> Outcome | None:
    """An end at a landing: holed, off the map, in the water, plugged; None when the ball bounces."""
    if flies_in(world, surface, ball):
        return Outcome.HOLED_FLYING
    kind = surface.turf(ball.place[0], ball.place[1])
    if kind == 255:
        return Outcome.LEFT_MAP
    turf = world.ground.turf_props[kind]
    if turf[SWALLOWS]:
        return Outcome.IN_WATER
    plugs = -float(ball.velocity @ normal) > turf[PLUG_SPEED] * world.firmness
    return Outcome.PLUGGED if plugs else None


def skid(world: World, surface: Surface, ball: Ball) -> tuple[Vector, Vector, float, list[Vector]]:
    """From the last landing to rolling: place and velocity seen from above, time [s], passes of the hole."""
    kind = surface.turf(ball.place[0], ball.place[1])
    mu = world.ground.turf_props[kind, SLIDING_FRICTION] if kind != 255 else 0.4
    normal = surface.normal(ball.place[0], ball.place[1])
    v = ball.velocity - (ball.velocity @ normal) * normal
    first = v - np.cross(ball.spin, RADIUS * normal)
    if np.linalg.norm(first) < 1e-9:
        return ball.place[:2], v[:2], 0.0, []

    def slip_of(s: Vector) -> tuple[Vector, Vector]:
        hx, hy = surface.gradient(s[0], s[1])
        n = np.array([-hx, -hy, 1.0]) / math.sqrt(1 + hx * hx + hy * hy)
        rise = hx * s[2] + hy * s[3]
        return np.array([s[2], s[3], rise]) - np.cross(s[4:7], RADIUS * n), n

    def rates(_t: float, s: Vector) -> Vector:
        slip, n = slip_of(s)
        rub = -mu * GRAVITY * n[2] * slip / np.linalg.norm(slip)
        gradient = -n[:2] / n[2]
        fall = -gradient * (GRAVITY + surface.bend(*s[:4])) * n[2] ** 2
        return np.concatenate([s[2:4], fall + rub[:2], -2.5 / RADIUS * np.cross(n, rub)])

    def grips(_t: float, s: Vector) -> float:
        return float(slip_of(s)[0] @ first) - 1e-7

    def near(_t: float, s: Vector) -> float:
        return float((s[0] - hole.x) * s[2] + (s[1] - hole.y) * s[3]) if hole else -1.0

    hole = world.hole
    near.direction = 1  # type: ignore[attr-defined]
    grips.terminal, grips.direction = True, -1  # type: ignore[attr-defined]
    start = np.concatenate([ball.place[:2], v[:2], ball.spin])
    way: Any = solve_ivp(
        rates,
        (0, 5),
        start,
        method="DOP853",
        rtol=1e-9,
        atol=1e-10,
        events=(grips, near),
        max_step=LONGEST_STEP,
    )
    end, time = event_state(way)
    passes = [s[:4] for s in way.y_events[1]]
    return end[:2], end[2:4], time, passes


def rolling_rates(world: World, surface: Surface, kind: int) -> Callable[[float, Vector], Vector]:
    """Equation of motion of a sphere rolling on this turf: horizontal place and velocity."""
    laws = world.laws
    a0 = world.green_deceleration * math.exp(world.scatter[names.SCATTER_DECELERATION])
    a0 = a0 / world.ground.turf_props[kind, STIMP_RATIO]

    def rates(_t: float, s: Vector) -> Vector:
        hx, hy = surface.value(s[0], s[1], 1, 0), surface.value(s[0], s[1], 0, 1)
        steep = 1 + hx * hx + hy * hy
        speed = math.sqrt(s[2] ** 2 + s[3] ** 2 + (hx * s[2] + hy * s[3]) ** 2) + 1e-15
        push = (laws.slope_gain * 5 / 7 * GRAVITY + surface.bend(*s)) / steep
        a = (
            a0 * max(1 + laws.roll_speed_slope * (speed - 1), 0.2)
            if laws.roll is RollLaw.SPEED_DEPENDENT
            else a0
        )
        drag = a / (math.sqrt(steep) * speed)
        return np.array([s[2], s[3], -hx * push - drag * s[2], -hy * push - drag * s[3]])

    return rates


def capture_speed(world: World, surface: Surface, offset: float, velocity: Vector) -> float:
    """Highest speed [m/s] along the ground at which the ball drops, passing at this offset [m]."""
    R, laws = names.HOLE_RADIUS, world.laws
    if laws.capture is CaptureLaw.HOLMES_1991:
        limit = 1.63 * (1 - (offset / R) ** 2)
    elif offset > R - RADIUS:
        limit = 0.0
    else:
        reach = math.sqrt(R**2 - offset**2) + math.sqrt((R - RADIUS) ** 2 - offset**2)
        limit = math.sqrt(GRAVITY / (2 * RADIUS)) * reach
    stick = world.hole is not None and world.hole.flagstick and offset < 0.010
    if world.hole is not None:
        normal = surface.normal(world.hole.x, world.hole.y)
        falls = math.sqrt(2 * RADIUS / (GRAVITY * normal[2]))  # time to drop one radius across the slope
        along = _along(velocity, normal)
        brake = GRAVITY * along[2] / max(float(np.linalg.norm(along)), 1e-12)
        limit = limit * math.sqrt(normal[2]) + 0.5 * brake * falls
    return limit * (laws.flagstick_gain if stick else 1) + world.scatter[names.SCATTER_LIP] * laws.lip_width


def _along(velocity: Vector, normal: Vector) -> Vector:
    """Velocity along the ground of a ball seen from above to move with `velocity`."""
    return np.array([*velocity, -float(velocity @ normal[:2]) / normal[2]])


class Roller:
    """A roll from one event to the next until it ends."""

    def __init__(self, world: World, surface: Surface) -> None:
        self.world, self.surface, self.time = world, surface, 0.0
        self.hole = world.hole is not None
        self.centre = np.array([world.hole.x, world.hole.y]) if world.hole else np.zeros(2)

    def run(self, place: Vector, velocity: Vector) -> tuple[Vector, Outcome]:
        """Where and how the roll ends."""
        state = np.concatenate([place, velocity])
        kind = self.surface.turf(*place)
        while True:
            if kind == 255:
                return state[:2], self._beyond(state, self.kind_before)
            if self.world.ground.turf_props[kind, SWALLOWS]:
                return state[:2], Outcome.IN_WATER
            self.kind_before = kind
            state, event = self._leg(state, kind)
            if event == "late":
                return state[:2], Outcome.CANNOT_STOP
            if event == "edge":
                kind = self.surface.turf(*state[:2])
            elif event == "near":
                if self.drops(state):
                    return self.centre, Outcome.HOLED_ROLLING
                state[:2] += 1e-6 * state[2:]  # past the nearest point, not to meet it again
            elif event == "slow":
                if self._holds(state, kind):
                    return state[:2], self._at_rest(state)
                state[2:] = -1e-3 * np.array(self.surface.gradient(*state[:2]))

    kind_before = 255

    def _leg(self, state: Vector, kind: int) -> tuple[Vector, str]:
        """At most LONGEST_LEG of rolling on one kind of turf: the state at its end and what ended it."""

        def slow(_t: float, s: Vector) -> float:
            return math.hypot(s[2], s[3]) - 1e-5

        def near(_t: float, s: Vector) -> float:
            return float((s[:2] - self.centre) @ s[2:]) if self.hole else -1.0

        for event, direction in ((slow, -1), (near, 1)):
            event.terminal, event.direction = True, direction  # type: ignore[attr-defined]
        if math.hypot(state[2], state[3]) <= 1e-5:
            return state, "slow"
        way: Any = solve_ivp(
            rolling_rates(self.world, self.surface, kind),
            (self.time, self.time + LONGEST_LEG),
            state,
            method="DOP853",
            rtol=RTOL,
            atol=ATOL,
            events=(slow, near),
            max_step=LONGEST_STEP,
            dense_output=True,
        )
        edge = self._edge(way.sol, float(way.t[-1]), kind)
        if edge is not None:
            self.time = edge
            return way.sol(edge), "edge"
        for which, name in enumerate(("slow", "near")):
            if len(way.t_events[which]):
                end, self.time = event_state(way, which)
                return end, name
        self.time = float(way.t[-1])
        return way.y[:, -1], "late" if self.time > LONGEST_ROLL else "on"

    def _edge(self, path: Any, end: float, kind: int) -> float | None:
        """First time [s] at which the path is on another turf: looked for every 2 mm, then bisected."""
        start = path(self.time)
        reach = (math.hypot(start[2], start[3]) + 1.0) * (end - self.time)
        times = np.linspace(self.time, end, max(int(reach / 0.002), 2))
        places = path(times)[:2]
        other = np.flatnonzero([self.surface.turf(x, y) != kind for x, y in places.T])
        if not len(other):
            return None
        low, high = times[max(other[0] - 1, 0)], times[other[0]]
        while high - low > 1e-12 * max(high, 1.0):
            middle = (low + high) / 2
            if middle in (low, high):
                break
            low, high = (middle, high) if self.surface.turf(*path(middle)[:2]) == kind else (low, middle)
        return float(high)

    def _beyond(self, state: Vector, kind: int) -> Outcome:
        """Off the map: lost, or never to stop because the slope pulls harder than the turf brakes."""
        inner = state[:2] - 1e-6 * np.sign(state[2:])
        return Outcome.LEFT_MAP if kind == 255 or self._holds(inner, kind) else Outcome.CANNOT_STOP

    def _holds(self, state: Vector, kind: int) -> bool:
        """Whether the turf's brake is stronger than the downhill pull here."""
        hx, hy = self.surface.gradient(state[0], state[1])
        at_rest = np.array([state[0], state[1], 0.0, 0.0])
        level = rolling_rates(self.world, self.surface, kind)(0, at_rest)
        laws, steep = self.world.laws, 1 + hx * hx + hy * hy
        a0 = self.world.green_deceleration * math.exp(self.world.scatter[names.SCATTER_DECELERATION])
        a0 /= self.world.ground.turf_props[kind, STIMP_RATIO]
        if laws.roll is RollLaw.SPEED_DEPENDENT:
            a0 *= max(1 - laws.roll_speed_slope, 0.2)
        return math.hypot(level[2], level[3]) <= a0 / math.sqrt(steep)

    def drops(self, state: Vector) -> bool:
        """Whether a ball at its nearest to the hole is captured."""
        offset = float(np.linalg.norm(state[:2] - self.centre))
        if offset >= names.HOLE_RADIUS:
            return False
        normal = self.surface.normal(*self.centre)
        speed = float(np.linalg.norm(_along(state[2:], normal)))
        return speed < capture_speed(self.world, self.surface, offset, state[2:])

    def _at_rest(self, state: Vector) -> Outcome:
        near = self.hole and np.linalg.norm(state[:2] - self.centre) < names.HOLE_RADIUS
        return Outcome.HOLED_ROLLING if near else Outcome.STOPPED


def referee(position: ArrayLike, velocity: ArrayLike, spin: ArrayLike, world: World) -> Verdict:
    """Play one ball: position, velocity, spin (3,) [m], [m/s], [rad/s]."""
    surface = Surface(world.ground)
    ball = Ball(*(np.array(a, dtype=float) for a in (position, velocity, spin)))
    ball, time = fly(world, surface, ball)
    landing, bounces = ball, 0
    while True:
        along, across, ln_e = world.scatter[3 * bounces : 3 * bounces + 3] if bounces < 2 else (0.0, 0.0, 0.0)
        normal = scattered_normal(surface, ball, along, across)
        end = lost(world, surface, ball, normal)
        if end is not None:
            hole = world.hole
            place = (
                np.array([hole.x, hole.y, ball.place[2]])
                if hole and end is Outcome.HOLED_FLYING
                else ball.place
            )
            return Verdict(landing.place, landing.velocity, place, end, bounces, time)
        turf = world.ground.turf_props[surface.turf(ball.place[0], ball.place[1])]
        ball = bounce(world, ball, normal, turf, ln_e)
        gain = math.exp(world.ln_run / 2) if bounces == 0 else 1.0
        ball = Ball(ball.place, gain * ball.velocity, gain * ball.spin)
        bounces += 1
        true = surface.normal(ball.place[0], ball.place[1])
        up = float(ball.velocity @ true)
        ball = Ball(ball.place, ball.velocity - min(up, 0.0) * true, ball.spin)
        if up <= 0 or up**2 < 2 * GRAVITY * names.LAST_APEX or bounces >= names.MOST_BOUNCES:
            break
        ball, hop = fly(world, surface, ball)
        time += hop
    return _run_out(world, surface, ball, landing, bounces, time)


def _run_out(world: World, surface: Surface, ball: Ball, landing: Ball, bounces: int, time: float) -> Verdict:
    place, velocity, slide, passes = skid(world, surface, ball)
    turn = world.scatter[names.SCATTER_HEADING]
    turned = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]) @ velocity
    roller = Roller(world, surface)
    if any(roller.drops(state) for state in passes):
        end, outcome = roller.centre, Outcome.HOLED_ROLLING
    else:
        end, outcome = roller.run(place, turned)
    finish = np.array([end[0], end[1], surface.height(end[0], end[1])])
    return Verdict(landing.place, landing.velocity, finish, outcome, bounces, time + slide + roller.time)
