"""Drag and lift of a golf ball, three rival laws. See docs/shot/flight.md for sources and ranges.

A law gives (C_D, C_L) from Reynolds number Re = V d / nu and spin ratio S = r w / V. No source covers a chip
(Re 1.4e4 to 4e4, S 0.2 to 1.0); the functions named after a source refuse to leave its range, while the
kernel holds the rival at the ends of its range, as a rival world must fly something.
"""

from __future__ import annotations

import numpy as np

from firstbounce.errors import OutOfRange
from firstbounce.shot.compiler import inlined


def aero_smits_smith_1994(reynolds: float, spin_ratio: float) -> tuple[float, float]:
    """(C_D, C_L) [-] for 7e4 < Re < 2.1e5, 0.08 < S < 0.2.

    A. J. Smits and D. R. Smith, Science and Golf II (1994) 340-347; equation and range from memory.
    """
    if not (7e4 <= reynolds <= 2.1e5 and 0.08 <= spin_ratio <= 0.2):
        raise OutOfRange(
            f"Reynolds number {reynolds:.3g} and spin ratio {spin_ratio:.3g} must lie in 7e4..2.1e5 and"
            " 0.08..0.2, the range of smits_smith_1994; use aero_chip_range."
        )
    return _smits_smith(reynolds, spin_ratio)


def aero_chip_range(reynolds: float, spin_ratio: float) -> tuple[float, float]:
    """(C_D, C_L) [-], recommended form (choice) that joins the published ends; Re up to 2.1e5, S >= 0."""
    if not (0 <= reynolds <= 2.1e5 and spin_ratio >= 0):
        raise OutOfRange(
            f"Reynolds number {reynolds:.3g} must lie in 0..2.1e5, spin ratio {spin_ratio:.3g} at 0 or above."
        )
    return _chip_range(reynolds, spin_ratio)


@inlined
def _chip_range(reynolds, spin_ratio):
    """Sigmoid drag through the crisis; lift equal to 0.54 S^0.4 at S = 0.1 and 0.2, at most 0.42."""
    drag = 0.25 + 0.25 / (1.0 + np.exp((reynolds - 5.5e4) * (1 / 0.7e4))) + 0.18 * min(spin_ratio, 0.5)
    return drag, spin_ratio / (0.226 + 2.39 * spin_ratio)


@inlined
def _smits_smith(reynolds, spin_ratio):
    """Held at the ends of the Reynolds range and at S = 0.5; lift goes to 0 with S."""
    re = min(max(reynolds, 7e4), 2.1e5)
    s = min(spin_ratio, 0.5)
    return 0.24 + 0.18 * s + 0.06 * np.sin(np.pi * (re - 9e4) / 2e5), 0.54 * s**0.4


@inlined
def _constant(spin_ratio):
    """Drag 0.45; lift 0.25, smoothly 0 without spin."""
    return 0.45, 0.25 * spin_ratio / (0.05 + spin_ratio)


@inlined
def drag_and_lift(law, reynolds, spin_ratio):
    """(C_D, C_L) [-] of the law with this code (AeroLaw)."""
    if law == 0:
        return _chip_range(reynolds, spin_ratio)
    if law == 1:
        return _smits_smith(reynolds, spin_ratio)
    return _constant(spin_ratio)


@inlined
def wind_gain(gap, rate, pull, h, c):
    """Wind's share of its reference speed over a step of h [s]: mean, and rise from the middle to the end.

    The ball's centre is gap + rate t - pull t^2 / 2 + r above the ground. Wind: log law made finite at the
    ground, u_ref ln(1 + z/z0) / ln(1 + z_ref/z0). The argument of the logarithm is a quadratic in t with a
    root before and one after the step, so its integral and first moment are closed (docs/shot/flight.md);
    the line with the same two gives the same velocity and way, however fast the wind grows with height.
    """
    base = max(gap, 0.0) + c.radius + 1.0 / c.inv_roughness
    root = np.sqrt(rate * rate + 2.0 * pull * base)
    b = (rate + root) / pull
    a = 2.0 * base / (rate + root) if rate > 0.0 else (root - rate) / pull
    h = max(h, 1e-6)
    rest = max(b - h, 1e-9)
    log_b = np.log(b)
    log_rest = np.log(rest)
    log_a = np.log(a)
    log_end = np.log(a + h)
    mean = (b * log_b - rest * log_rest + (a + h) * log_end - a * log_a) / h - 2.0
    moment = (
        (0.5 * (h * h - b * b) * log_rest + 0.5 * b * b * log_b)
        + (0.5 * (h * h - a * a) * log_end + 0.5 * a * a * log_a)
        - 0.5 * h * (h + b - a)
    ) / (h * h)
    rise = 6.0 * moment - 3.0 * mean if h > 0.002 else 0.0
    return (np.log(0.5 * pull * c.inv_roughness) + mean) * c.wind_gain, rise * c.wind_gain


@inlined
def acceleration(vx, vy, vz, gain, spin, ax, ay, az, law, c):
    """Acceleration [m/s2] in the air.

    gain: wind here over wind at the reference height [-]; spin [rad/s] about the unit axis (ax, ay, az).
    """
    vx = vx - c.wind_x * gain
    vy = vy - c.wind_y * gain
    speed = np.sqrt(vx * vx + vy * vy + vz * vz) + 1e-12
    cd, cl = drag_and_lift(law, speed * c.reynolds, spin * c.radius / speed)
    k = c.force * speed
    drag = k * cd * c.cd_scale
    lift = k * cl * c.cl_scale
    return (
        lift * (ay * vz - az * vy) - drag * vx,
        lift * (az * vx - ax * vz) - drag * vy,
        lift * (ax * vy - ay * vx) - drag * vz - c.gravity,
    )
