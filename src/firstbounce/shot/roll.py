"""Skid and roll over a curved surface until the ball stops, drops, or is lost. See docs/shot/roll.md.

All motion is written in the horizontal plane; the height follows from the surface. A rolling sphere on
z = h(x, y): q'' = -grad h (5/7 g + v'Hv) / (1 + |grad h|^2) - a0 cos(beta) v / |v3|.
"""

from __future__ import annotations

import numpy as np

from firstbounce.shot.compiler import compiled, inlined
from firstbounce.shot.hole import capture_speed
from firstbounce.shot.terrain import bend_at, hermite, hermite_velocity, is_outside, slope_at, turf_at
from firstbounce.shot.trail import note


@inlined
def _push(shape, vx, vy, a0, c):
    """Horizontal acceleration [m/s2] of a ball that rolls where the surface has this gradient and bend."""
    hx, hy, hxx, hxy, hyy = shape
    steep = 1.0 / (1.0 + hx * hx + hy * hy)
    rise = hx * vx + hy * vy
    speed = np.sqrt(vx * vx + vy * vy + rise * rise) + 1e-12
    push = (c.pull + vx * vx * hxx + 2.0 * vx * vy * hxy + vy * vy * hyy) * steep
    drag = a0 * max(1.0 + c.roll_speed_slope * (speed - 1.0), 0.2) * np.sqrt(steep) / speed
    return -hx * push - drag * vx, -hy * push - drag * vy


@inlined
def stop_vector(vx, vy, a, bx, by):
    """Way [m] until a ball stops that is braked by `a` along its path and pulled by (bx, by), a > |b|.

    Exact for constant a and b (docs/shot/roll.md): a closed form, no stepping into the singular stop.
    """
    v2 = vx * vx + vy * vy
    b = np.sqrt(bx * bx + by * by)
    v = np.sqrt(v2)
    if v == 0.0:
        return 0.0, 0.0
    if b < 1e-12:
        return vx * v / (2.0 * a), vy * v / (2.0 * a)
    ex = bx / b
    ey = by / b
    cos = (vx * ex + vy * ey) / v
    sin = (vy * ex - vx * ey) / v
    p = 1.0 + cos
    m = 1.0 - cos
    along = 0.125 * v2 * (p * p / (a - b) - m * m / (a + b))
    across = 0.5 * v2 * sin * (p / (2.0 * a - b) + m / (2.0 * a + b))
    return along * ex - across * ey, along * ey + across * ex


@inlined
def stop_time(vx, vy, a, bx, by):
    """Time [s] until the same ball stops."""
    return (a * np.sqrt(vx * vx + vy * vy) + vx * bx + vy * by) / (a * a - bx * bx - by * by)


@inlined
def roll_step(x, y, vx, vy, h, a0, shape, g, c):
    """One step of h [s] from a place where the surface has this gradient and bend, and the shape at its end.

    Nystrom's form of the classical Runge-Kutta step: both middle stages stand at one place, so the surface is
    looked at once there. The end is looked at where the last stage foresees it, fourth order from where the
    step ends, and serves the next step as its start.
    """
    a1x, a1y = _push(shape, vx, vy, a0, c)
    half = 0.5 * h
    middle = bend_at(x + half * (vx + 0.25 * h * a1x), y + half * (vy + 0.25 * h * a1y), g)
    a2x, a2y = _push(middle, vx + half * a1x, vy + half * a1y, a0, c)
    a3x, a3y = _push(middle, vx + half * a2x, vy + half * a2y, a0, c)
    end = bend_at(x + h * (vx + half * a3x), y + h * (vy + half * a3y), g)
    a4x, a4y = _push(end, vx + h * a3x, vy + h * a3y, a0, c)
    sixth = h / 6.0
    return (
        x + h * (vx + sixth * (a1x + a2x + a3x)),
        y + h * (vy + sixth * (a1y + a2y + a3y)),
        vx + sixth * (a1x + 2.0 * (a2x + a3x) + a4x),
        vy + sixth * (a1y + 2.0 * (a2y + a3y) + a4y),
        end,
    )


@compiled
def _pass_hole(x0, y0, vx0, vy0, x1, y1, vx1, vy1, h, c):
    """Closest approach of one step to the hole: offset [m], velocity there [m/s]; offset < 0 if none."""
    rx0 = x0 - c.hole_x
    ry0 = y0 - c.hole_y
    rx1 = x1 - c.hole_x
    ry1 = y1 - c.hole_y
    if rx0 * vx0 + ry0 * vy0 >= 0.0 or rx1 * vx1 + ry1 * vy1 < 0.0:
        return -1.0, 0.0, 0.0
    low = 0.0
    high = 1.0
    for _ in range(40):
        s = 0.5 * (low + high)
        rx = hermite(rx0, vx0, rx1, vx1, h, s)
        ry = hermite(ry0, vy0, ry1, vy1, h, s)
        ux = hermite_velocity(rx0, vx0, rx1, vx1, h, s)
        uy = hermite_velocity(ry0, vy0, ry1, vy1, h, s)
        if rx * ux + ry * uy < 0.0:
            low = s
        else:
            high = s
    return np.sqrt(rx * rx + ry * ry), ux, uy


@compiled
def _turf_edge(x0, y0, vx0, vy0, x1, y1, vx1, vy1, h, kind, g):
    """Share of the step at which the ball first comes to another turf (or off the map); 2 if it does not.

    Looks every half cell, and into the cell that a diagonal move cuts, then bisects on the raster.
    """
    count = int((abs(x1 - x0) + abs(y1 - y0)) * 2.0 * g.inv_tcell) + 1
    low = 0.0
    high = 2.0
    px = x0
    py = y0
    for k in range(1, count + 1):
        s = k / count
        x = hermite(x0, vx0, x1, vx1, h, s)
        y = hermite(y0, vy0, y1, vy1, h, s)
        cut = _cut_corner(px, py, x, y, g)
        if cut >= 0.0:
            middle = low + cut * (s - low)
            mx = px + cut * (x - px)
            my = py + cut * (y - py)
            if turf_at(mx, my, g) != kind:
                high = middle
                break
        if turf_at(x, y, g) != kind:
            high = s
            break
        low = s
        px = x
        py = y
    if high > 1.0:
        return 2.0
    for _ in range(36):
        s = 0.5 * (low + high)
        x = hermite(x0, vx0, x1, vx1, h, s)
        y = hermite(y0, vy0, y1, vy1, h, s)
        if turf_at(x, y, g) == kind:
            low = s
        else:
            high = s
    return high


@inlined
def _cut_corner(px, py, x, y, g):
    """Share of a short diagonal move at which it is in the cell that it only cuts; -1 if it cuts none."""
    u = (px - g.tx0) * g.inv_tcell
    v = (py - g.ty0) * g.inv_tcell
    du = (x - px) * g.inv_tcell
    dv = (y - py) * g.inv_tcell
    i0 = np.floor(u)
    j0 = np.floor(v)
    i1 = np.floor(u + du)
    j1 = np.floor(v + dv)
    if i0 == i1 or j0 == j1:
        return -1.0
    return 0.5 * ((max(i0, i1) - u) / du + (max(j0, j1) - v) / dv)


@inlined
def _clear(x, y, way, clear, g):
    """Whether no other turf can lie within `way` [m] of the place."""
    i = min(max(int((x - g.tx0) * g.inv_tcell), 0), g.turf.shape[1] - 1)
    j = min(max(int((y - g.ty0) * g.inv_tcell), 0), g.turf.shape[0] - 1)
    return way < clear[j // 8, i // 8]


@inlined
def slide(vx, vy, vz, sx, sy, sz, hx, hy, friction, c):
    """The skid from the last landing to rolling on the tangent plane: V (x, y), way of the slip, time [s].

    Friction takes the slip (sx, sy, sz) away along itself, with gravity's downhill part on it: the same
    closed form as the stop. V = v - 2/7 slip feels only (5/7) of gravity's downhill part, whatever the
    friction (docs/shot/roll.md), so V rolls without resistance while the slip adds its own way.
    """
    steep = 1.0 / (1.0 + hx * hx + hy * hy)
    slip = np.sqrt(sx * sx + sy * sy + sz * sz)
    a = 3.5 * friction * c.gravity * np.sqrt(steep)
    pull = c.gravity * steep
    bx = -hx * pull
    by = -hy * pull
    b2 = bx * bx + by * by + (hx * bx + hy * by) ** 2
    ux = vx - (2.0 / 7.0) * sx
    uy = vy - (2.0 / 7.0) * sy
    if slip < 1e-9 or a * a <= 1.5 * b2:
        return ux, uy, 0.0, 0.0, 0.0
    dot = sx * bx + sy * by + sz * (hx * bx + hy * by)
    t = (a * slip + dot) / (a * a - b2)
    b = np.sqrt(b2)
    if b < 1e-9:
        way = slip / (7.0 * a)
        return ux, uy, way * sx, way * sy, t
    cos = dot / (slip * b)
    p = 1.0 + cos
    m = 1.0 - cos
    along = 0.125 * slip * slip * (p * p / (a - b) - m * m / (a + b)) * (2.0 / 7.0) / b
    across = 0.5 * slip * slip * (p / (2.0 * a - b) + m / (2.0 * a + b)) * (2.0 / 7.0)
    return (
        ux,
        uy,
        along * bx + across * (sx / slip - cos * bx / b),
        along * by + across * (sy / slip - cos * by / b),
        t,
    )


@compiled
def _room(law, offset, vx, vy, lip, g, c):
    """Capture speed minus speed [m/s] of a ball that passes the hole's centre at `offset` [m]."""
    _, hx, hy = slope_at(c.hole_x, c.hole_y, g)
    climb = hx * vx + hy * vy
    speed = np.sqrt(vx * vx + vy * vy + climb * climb)
    cos = 1.0 / np.sqrt(1.0 + hx * hx + hy * hy)
    rise = climb / (speed * cos) if speed > 0.0 else 0.0
    return capture_speed(law, offset, lip, rise, cos, c) - speed


@inlined
def _drop(x0, y0, vx0, vy0, x1, y1, vx1, vy1, h, law, lip, nearest, margin, g, c):
    """Whether the ball drops in this step; nearest approach [m] and best margin [m/s] so far."""
    dx = x1 - c.hole_x
    dy = y1 - c.hole_y
    end = np.sqrt(dx * dx + dy * dy)
    if end > abs(x1 - x0) + abs(y1 - y0) + 0.2:
        return False, min(nearest, end), margin
    nearest = min(nearest, end)
    offset, ux, uy = _pass_hole(x0, y0, vx0, vy0, x1, y1, vx1, vy1, h, c)
    if offset < 0.0:
        return False, nearest, margin
    nearest = min(nearest, offset)
    if offset >= c.hole_radius:
        return False, nearest, margin
    room = _room(law, offset, ux, uy, lip, g, c)
    return room > 0.0, nearest, max(margin, room)


@compiled
def _final_way(x, y, vx, vy, brake, hx, hy, g, c):
    """Way and time of the end of a roll in closed form, the slope taken at the middle of the way."""
    f = c.pull / (1.0 + hx * hx + hy * hy)
    wx, wy = stop_vector(vx, vy, brake, -hx * f, -hy * f)
    for _ in range(2):
        _, mx, my = slope_at(x + 0.5 * wx, y + 0.5 * wy, g)
        f = c.pull / (1.0 + mx * mx + my * my)
        if f * np.sqrt(mx * mx + my * my) < 0.98 * brake:
            wx, wy = stop_vector(vx, vy, brake, -mx * f, -my * f)
            hx = mx
            hy = my
    f = c.pull / (1.0 + hx * hx + hy * hy)
    return wx, wy, stop_time(vx, vy, brake, -hx * f, -hy * f)


@compiled
def roll(  # noqa: PLR0911, PLR0912, PLR0915  (one loop and its events, kept in registers)
    x, y, vx, vy, slip, green, heading, lip, capture, clear, g, c, time, trail, used
):
    """Skid and roll to the end: x, y, outcome code, duration [s], nearest approach [m], margin [m/s], used.

    slip: what `slide` found; heading: turn to the right when the roll begins [rad]; green: today's
    deceleration [m/s2] for this ball, to which the turf's ratio is applied by place; clear: how far the turf
    stays the same (shot/clearance.py).
    """
    t = 0.0
    nearest = np.inf
    margin = -np.inf
    kind = turf_at(x, y, g)
    ux, uy, way_x, way_y, skid_time = slip
    cos = np.cos(heading)
    sin = np.sin(heading)
    if skid_time == 0.0:
        vx, vy = cos * ux + sin * uy, cos * uy - sin * ux
    shape = bend_at(x, y, g)
    for _ in range(20000):
        if kind == 255:
            return x, y, 4, t, nearest, margin, used
        if g.turf_props[kind, 6] != 0.0:
            return x, y, 5, t, nearest, margin, used
        skids = skid_time > 0.0
        if skids:
            a0 = brake = pull = 0.0
            h = skid_time
            skid_time = 0.0
            fx, fy = ux, uy
        else:
            a0 = green / g.turf_props[kind, 0]
            hx, hy = shape[0], shape[1]
            steep = 1.0 / (1.0 + hx * hx + hy * hy)
            speed = np.sqrt(vx * vx + vy * vy)
            brake = a0 * np.sqrt(steep) * max(1.0 + c.roll_speed_slope * (0.667 * speed - 1.0), 0.2)
            pull = c.pull * steep * np.sqrt(hx * hx + hy * hy)
            left = speed * speed / (2.0 * max(brake - pull, 1e-6))
            if brake > 1.02 * pull and left < max(c.stop_length, 0.002):
                near = c.hole != 0.0 and (x - c.hole_x) ** 2 + (y - c.hole_y) ** 2 < (left + 0.2) ** 2
                if left < 0.002 or not near:
                    wx, wy, dt = _final_way(x, y, vx, vy, brake, hx, hy, g, c)
                    same = _clear(x, y, abs(wx) + abs(wy), clear, g) or (
                        turf_at(x + wx, y + wy, g) == kind and turf_at(x + 0.5 * wx, y + 0.5 * wy, g) == kind
                    )
                    if left < 0.001 or (same and turf_at(x + wx, y + wy, g) == kind):
                        x += wx
                        y += wy
                        if c.hole != 0.0:
                            end = np.sqrt((x - c.hole_x) ** 2 + (y - c.hole_y) ** 2)
                            nearest = min(nearest, end)
                            if end < c.hole_radius:
                                room = _room(capture, end, 0.0, 0.0, lip, g, c)
                                return x, y, 1, t + dt, nearest, max(margin, room), used
                        return x, y, 0, t + dt, nearest, margin, used
            if t > 90.0:
                return x, y, 3, t, nearest, margin, used
            if speed < 1e-4 and pull <= brake:
                return x, y, 0, t, nearest, margin, used
            h = min(c.roll_time, c.roll_step / (speed + 1e-9), max(0.5 * speed / (brake + pull), 0.004))
            fx, fy = vx, vy
        x1, y1, vx1, vy1, shape = roll_step(x, y, fx, fy, h, a0, shape, g, c)
        if skids:
            x1 += way_x
            y1 += way_y
            shape = bend_at(x1, y1, g)
        there = kind
        if is_outside(x1, y1, g) or not _clear(x, y, 1.1 * (abs(x1 - x) + abs(y1 - y)), clear, g):
            share = 2.0 if skids else _turf_edge(x, y, vx, vy, x1, y1, vx1, vy1, h, kind, g)
            if share <= 1.0:
                ex = hermite(x, vx, x1, vx1, h, share)
                ey = hermite(y, vy, y1, vy1, h, share)
                wx = hermite_velocity(x, vx, x1, vx1, h, share)
                vy1 = hermite_velocity(y, vy, y1, vy1, h, share)
                x1, y1, vx1 = ex, ey, wx
                h *= share
                shape = bend_at(x1, y1, g)
            there = turf_at(x1, y1, g)
        if c.hole != 0.0:
            holed, nearest, margin = _drop(
                x, y, vx, vy, x1, y1, vx1, vy1, h, capture, lip, nearest, margin, g, c
            )
            if holed:
                return c.hole_x, c.hole_y, 1, t + h, nearest, margin, used
        if there == 255 and pull > brake:
            return x1, y1, 3, t + h, nearest, margin, used
        kind = there
        x, y, vx, vy = x1, y1, vx1, vy1
        t += h
        if skids:
            vx, vy = cos * vx + sin * vy, cos * vy - sin * vx
        if used < trail.shape[0]:
            used = note(trail, used, 2 if skids else 3, time + t, x, y, slope_at(x, y, g)[0])
    return x, y, 3, t, nearest, margin, used
