"""Flight from one contact to the next: Runge-Kutta steps that end on the ground. See docs/shot/flight.md."""

from __future__ import annotations

import numpy as np

from firstbounce.shot.aero import acceleration, wind_gain
from firstbounce.shot.compiler import compiled, inlined
from firstbounce.shot.terrain import hermite, hermite_velocity, slope_at
from firstbounce.shot.trail import note


@inlined
def _time_to_ground(gap, rate, pull):
    """Time [s] until gap + rate t - pull t^2 / 2 = 0, pull > 0."""
    return (rate + np.sqrt(rate * rate + 2.0 * pull * max(gap, 0.0))) / pull


@compiled
def _landing_share(x0, y0, z0, vx0, vy0, vz0, x1, y1, z1, vx1, vy1, vz1, h, low, high, g):
    """Share of the step at which the path meets the ground (gap above 0 at `low`, at most 0 at `high`)."""
    s = 0.5 * (low + high)
    for _ in range(60):
        x = hermite(x0, vx0, x1, vx1, h, s)
        y = hermite(y0, vy0, y1, vy1, h, s)
        z = hermite(z0, vz0, z1, vz1, h, s)
        ground, hx, hy = slope_at(x, y, g)
        gap = z - ground
        if gap > 0.0:
            low = s
        else:
            high = s
        if abs(gap) < 1e-9 or high - low < 1e-12:
            break
        rate = h * (
            hermite_velocity(z0, vz0, z1, vz1, h, s)
            - hx * hermite_velocity(x0, vx0, x1, vx1, h, s)
            - hy * hermite_velocity(y0, vy0, y1, vy1, h, s)
        )
        newton = s - gap / rate if rate != 0.0 else low
        s = newton if low < newton < high else 0.5 * (low + high)
    return s


@compiled
def fly(  # noqa: PLR0915  (Runge-Kutta written out, kept in registers)
    x, y, z, vx, vy, vz, spin, ax, ay, az, g, law, c, time, trail, used
):
    """From a contact point (or any height) to the next contact with the ground.

    Returns x, y, z, vx, vy, vz, spin, hx, hy, duration [s], used: the state at the landing, the slope there.
    """
    t = 0.0
    ground, hx, hy = slope_at(x, y, g)
    speed = np.sqrt(vx * vx + vy * vy + vz * vz)
    gain = 0.0
    if c.windy != 0.0:
        gain = np.log(1.0 + (max(z - ground, 0.0) + c.radius) * c.inv_roughness) * c.wind_gain
    qx, qy, qz = acceleration(vx, vy, vz, gain, spin, ax, ay, az, law, c)
    for _ in range(2000):
        gap = z - ground
        # foresee the end: by the ground there, not only by the tangent plane here
        rate = vz - hx * vx - hy * vy
        pull = max(-(qz - hx * qx - hy * qy), 1.0)
        longest = min(c.flight_step, c.flight_share * speed / c.gravity + 0.01)
        h = max(min(longest, _time_to_ground(gap, rate, pull)), 1e-6)
        there = slope_at(x + h * (vx + 0.5 * h * qx), y + h * (vy + 0.5 * h * qy), g)[0]
        rate = (z + h * (vz + 0.5 * h * qz) - there - gap) / h + 0.5 * pull * h
        h = min(longest, _time_to_ground(gap, rate, pull))
        gain = rise = 0.0
        if c.windy != 0.0:
            gain, rise = wind_gain(gap, rate, pull, h, c)
        a1x, a1y, a1z = acceleration(vx, vy, vz, gain - rise, spin, ax, ay, az, law, c)
        fade = c.spin_decay * h
        w = spin * (1.0 - 0.5 * fade * speed)
        half = 0.5 * h
        ux = vx + half * a1x
        uy = vy + half * a1y
        uz = vz + half * a1z
        a2x, a2y, a2z = acceleration(ux, uy, uz, gain, w, ax, ay, az, law, c)
        ux = vx + half * a2x
        uy = vy + half * a2y
        uz = vz + half * a2z
        a3x, a3y, a3z = acceleration(ux, uy, uz, gain, w, ax, ay, az, law, c)
        ux = vx + h * a3x
        uy = vy + h * a3y
        uz = vz + h * a3z
        a4x, a4y, a4z = acceleration(ux, uy, uz, gain + rise, w, ax, ay, az, law, c)
        sixth = h / 6.0
        x1 = x + h * (vx + sixth * (a1x + a2x + a3x))
        y1 = y + h * (vy + sixth * (a1y + a2y + a3y))
        z1 = z + h * (vz + sixth * (a1z + a2z + a3z))
        vx1 = vx + sixth * (a1x + 2.0 * (a2x + a3x) + a4x)
        vy1 = vy + sixth * (a1y + 2.0 * (a2y + a3y) + a4y)
        vz1 = vz + sixth * (a1z + 2.0 * (a2z + a3z) + a4z)
        ground1, hx1, hy1 = slope_at(x1, y1, g)
        gap1 = z1 - ground1
        rate1 = vz1 - hx1 * vx1 - hy1 * vy1
        speed1 = np.sqrt(vx1 * vx1 + vy1 * vy1 + vz1 * vz1)
        fade *= 0.5 * (speed + speed1)
        spin *= 1.0 - fade * (1.0 - 0.5 * fade)
        speed = speed1
        if rate1 < 0.0 and abs(gap1) < -0.002 * rate1:
            dt = -gap1 / rate1
            dt = -gap1 / (rate1 + 0.5 * dt * a4z)
            x = x1 + dt * (vx1 + 0.5 * dt * a4x)
            y = y1 + dt * (vy1 + 0.5 * dt * a4y)
            vx = vx1 + dt * a4x
            vy = vy1 + dt * a4y
            vz = vz1 + dt * a4z
            t += h + dt
            break
        share = -1.0
        if gap1 <= 0.0:
            share = _landing_share(x, y, z, vx, vy, vz, x1, y1, z1, vx1, vy1, vz1, h, 0.0, 1.0, g)
        elif gap1 < 0.2 * (abs(x1 - x) + abs(y1 - y)):
            mx = hermite(x, vx, x1, vx1, h, 0.5)
            my = hermite(y, vy, y1, vy1, h, 0.5)
            mz = hermite(z, vz, z1, vz1, h, 0.5)
            if mz < slope_at(mx, my, g)[0]:
                share = _landing_share(x, y, z, vx, vy, vz, x1, y1, z1, vx1, vy1, vz1, h, 0.0, 0.5, g)
        if share >= 0.0:
            t += share * h
            ex = hermite(x, vx, x1, vx1, h, share)
            ey = hermite(y, vy, y1, vy1, h, share)
            ux = hermite_velocity(x, vx, x1, vx1, h, share) if h > 0.0 else vx
            uy = hermite_velocity(y, vy, y1, vy1, h, share) if h > 0.0 else vy
            vz = hermite_velocity(z, vz, z1, vz1, h, share) if h > 0.0 else vz
            x, y, vx, vy = ex, ey, ux, uy
            break
        x, y, z, vx, vy, vz = x1, y1, z1, vx1, vy1, vz1
        qx, qy, qz = a4x, a4y, a4z
        ground, hx, hy = ground1, hx1, hy1
        t += h
        used = note(trail, used, 0, time + t, x, y, z)
    z, hx, hy = slope_at(x, y, g)
    used = note(trail, used, 0, time + t, x, y, z)
    return x, y, z, vx, vy, vz, spin, hx, hy, t, used
