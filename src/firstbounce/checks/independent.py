"""Checks against independent programs: MuJoCo for rolling, psychrolib for moist air, SciPy's integrator.

MuJoCo, psychrolib and statsmodels are development packages; without them the case is reported as not run.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from firstbounce.checks.case import Case, Seen
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Bounds, HeightGrid
from firstbounce.shot.air import density_cipm_2007
from firstbounce.shot.laws import BALL_MASS, BALL_RADIUS
from firstbounce.shot.play import trace

NO_RESISTANCE = 1e-9  #: rolling deceleration where only the slope shall act [m/s2]
CELL = 0.05  #: of the height field that both programs roll on [m]
HALF = 4.0  #: half the side of that field [m]

_SCENE = """
<mujoco>
  <option timestep="0.0005" integrator="implicitfast" cone="elliptic" impratio="100" gravity="{gravity}"/>
  <asset>{asset}</asset>
  <worldbody>
    <geom {floor} condim="3" friction="0.8 0 0" solref="0.002 1" solimp="0.99 0.999 0.0001"/>
    <body pos="{x} {y} {z}"><freejoint/>
      <geom type="sphere" size="{radius}" mass="{mass}" condim="3" friction="0.8 0 0"
            solref="0.002 1" solimp="0.99 0.999 0.0001"/>
    </body>
  </worldbody>
</mujoco>
"""


def _ball_in_mujoco(
    asset: str, floor: str, gravity: tuple[float, float, float], at: tuple[float, float, float]
) -> Any:
    import mujoco

    model = mujoco.MjModel.from_xml_string(
        _SCENE.format(
            asset=asset,
            floor=floor,
            gravity=" ".join(f"{part:.12g}" for part in gravity),
            x=at[0],
            y=at[1],
            z=at[2] + BALL_RADIUS,
            radius=BALL_RADIUS,
            mass=BALL_MASS,
        )
    )
    return mujoco, model, mujoco.MjData(model)


def inclined_acceleration(angle_deg: float) -> float:
    """Downhill acceleration [m/s2] that MuJoCo gives a ball rolling from rest on a plane."""
    angle = math.radians(angle_deg)
    gravity = (9.81 * math.sin(angle), 0.0, -9.81 * math.cos(angle))
    mujoco, model, data = _ball_in_mujoco("", 'type="plane" size="50 50 1"', gravity, (0, 0, 0))
    while data.time < 0.2:
        mujoco.mj_step(model, data)
    start_time, start_speed = data.time, data.qvel[0]
    while data.time < 1.2:
        mujoco.mj_step(model, data)
    return float((data.qvel[0] - start_speed) / (data.time - start_time))


def _heights(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A green with a bowl, a tilt and a ripple [m]: slopes up to about 12 percent."""
    return 0.012 * x**2 + 0.008 * y**2 + 0.02 * y + 0.03 * np.sin(0.9 * x) * np.cos(0.7 * y)


def rolled_in_mujoco(start: tuple[float, float], velocity: tuple[float, float], seconds: float) -> np.ndarray:
    """Where MuJoCo's ball is after so many seconds on the height field [m]: (x, y) of its contact."""
    nodes = np.arange(-HALF, HALF + CELL / 2, CELL)
    heights = _heights(*np.meshgrid(nodes, nodes))
    low, high = heights.min(), heights.max()
    n = len(nodes)
    size = f"{HALF} {HALF} {high - low} 0.1"
    asset = f'<hfield name="green" nrow="{n}" ncol="{n}" size="{size}"/>'
    z = float(_heights(np.array(start[0]), np.array(start[1])))
    mujoco, model, data = _ball_in_mujoco(
        asset, f'type="hfield" hfield="green" pos="0 0 {low}"', (0, 0, -9.81), (*start, z)
    )
    model.hfield_data[:] = ((heights - low) / (high - low)).ravel()
    data.qvel[:2] = velocity
    data.qvel[3:5] = (-velocity[1] / BALL_RADIUS, velocity[0] / BALL_RADIUS)
    while data.time < seconds:
        mujoco.mj_step(model, data)
    return np.array(data.qpos[:2])


def rolled_here(start: tuple[float, float], velocity: tuple[float, float], seconds: float) -> np.ndarray:
    """Where our ball is after so many seconds on the same heights [m]."""
    nodes = np.arange(-HALF, HALF + CELL / 2, CELL)
    ground = Ground(
        surface=HeightGrid(-HALF, -HALF, CELL, _heights(*np.meshgrid(nodes, nodes))),
        bounds=Bounds(-HALF, HALF, -HALF, HALF),
    )
    _, points = trace(
        (*start, 0.0),
        (*velocity, 0.0),
        (0.0, 0.0, 0.0),
        ground=ground.compiled(),
        green_deceleration=NO_RESISTANCE,
        begin=2,
        step_s=0.01,
    )
    t = np.array([point.t_s for point in points])
    return np.array(
        [
            np.interp(seconds, t, [point.x_m for point in points]),
            np.interp(seconds, t, [point.y_m for point in points]),
        ]
    )


def heightfield_gap(start: tuple[float, float], velocity: tuple[float, float], seconds: float = 2.0) -> float:
    """Distance between the two balls over the distance rolled [-]."""
    here = rolled_here(start, velocity, seconds)
    away = float(np.hypot(*(here - np.array(start))))
    return float(np.hypot(*(here - rolled_in_mujoco(start, velocity, seconds)))) / away


def _moist_air_difference() -> float:
    """Largest relative difference of density from psychrolib over weathers [-]."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    worst = 0.0
    for t in (0.0, 10.0, 20.0, 30.0):
        for p in (90_000.0, 101_325.0):
            for humidity in (0.2, 0.8):
                ratio = psychrolib.GetHumRatioFromRelHum(t, humidity, p)
                theirs = psychrolib.GetMoistAirDensity(t, ratio, p)
                worst = max(worst, abs(density_cipm_2007(t, p, humidity) / theirs - 1))
    return worst


def cases() -> Iterator[Case]:
    """Rolling against MuJoCo, moist air against psychrolib."""
    for angle in (2.0, 5.0, 10.0):
        yield Case(
            what=f"acceleration of a rolling ball on {angle:g} deg: MuJoCo beside 5/7 g sin",
            published=5 / 7 * 9.81 * math.sin(math.radians(angle)),
            tolerance=0.001,
            unit="m/s2",
            source="MuJoCo, elliptic cone; ours is the published side",
            seen=Seen.INDEPENDENT,
            compute=inclined_acceleration,
            given=(angle,),
        )
    for start, velocity in (
        ((-2.0, -1.0), (1.0, 0.6)),
        ((1.5, -2.0), (-0.6, 1.2)),
        ((2.0, 2.0), (-0.5, -0.4)),
    ):
        yield Case(
            what=f"ball rolled 2 s over a curved field from {start}: gap from MuJoCo over distance",
            published=0.0,
            tolerance=0.01,
            source="MuJoCo height field, 5 cm cells",
            seen=Seen.INDEPENDENT,
            compute=heightfield_gap,
            given=(start, velocity),
        )
    yield Case(
        what="largest relative difference of moist air's density, 0 to 30 C",
        published=0.0,
        tolerance=0.002,
        source="psychrolib (ASHRAE 2017, ideal gas)",
        seen=Seen.INDEPENDENT,
        compute=_moist_air_difference,
    )
