import math

import numpy as np
import pytest

from firstbounce.errors import ParameterError
from firstbounce.ground import turf
from firstbounce.ground.turf import KINDS, TURFS, Turf, turf_props
from firstbounce.units import stimp_to_deceleration
from firstbounce.words import TurfKind


def test_every_kind_has_a_turf_with_a_source():
    assert set(TURFS) == set(TurfKind)
    assert all(len(TURFS[kind].source) > 10 for kind in TurfKind)


def test_the_green_is_the_measure_of_all_others():
    green = TURFS[TurfKind.GREEN]
    assert (green.stimp_ratio, green.restitution_scale, green.tilt_scale) == (1, 1, 1)


def test_speeds_follow_the_order_a_coach_knows():
    order = [
        TurfKind.GREEN,
        TurfKind.TEMPORARY_GREEN,
        TurfKind.FAIRWAY,
        TurfKind.LIGHT_ROUGH,
        TurfKind.HEAVY_ROUGH,
        TurfKind.BUNKER,
    ]
    ratios = [TURFS[kind].stimp_ratio for kind in order]
    assert ratios == sorted(ratios, reverse=True)


@pytest.mark.parametrize(
    ("kind", "low_ft", "high_ft"),
    # equivalent Stimp on a green of 10 ft, from memory, low
    [(TurfKind.FRINGE, 5, 7), (TurfKind.FAIRWAY, 4, 6), (TurfKind.LIGHT_ROUGH, 1, 3)],
)
def test_equivalent_speeds_lie_in_the_usual_bands(kind, low_ft, high_ft):
    assert low_ft <= 10 * TURFS[kind].stimp_ratio <= high_ft


def test_the_property_table_has_a_row_for_each_code():
    props = turf_props()
    assert props.shape == (len(KINDS), turf.N_PROPS)
    row = props[KINDS.index(TurfKind.FRINGE)]
    assert row[turf.STIMP_RATIO] == 0.60
    assert (row[turf.RESTITUTION_SCALE], row[turf.TILT_SCALE]) == (0.95, 1.05)
    sand = props[KINDS.index(TurfKind.BUNKER)]
    assert list(sand[[turf.FRICTION, turf.SLIDING_FRICTION, turf.PLUG_SPEED]]) == [0.60, 0.60, 9.0]
    assert row[turf.SWALLOWS] == 0
    assert props[KINDS.index(TurfKind.WATER), turf.SWALLOWS] == 1
    assert np.isinf(props[KINDS.index(TurfKind.MAT), turf.PLUG_SPEED])


def test_the_green_plugs_as_ground_of_one_strength():
    # derived: ground that yields at a constant pressure p takes m v^2 / 2 = p pi r s^2; s = r at plug speed.
    # 0.43 MPa is soft but solid ground (cone readings of greens 0.5 to 2 MPa, from memory, low)
    mass, radius = 0.04593, 0.021335
    pressure = mass * TURFS[TurfKind.GREEN].plug_speed ** 2 / (2 * math.pi * radius**3)
    assert 0.3e6 < pressure < 2e6
    # a full wedge comes down at about 18 m/s into the ground: marks of 1 to 2 cm (from memory, low)
    mark = 18 * math.sqrt(mass / (2 * math.pi * radius * pressure))
    assert 0.010 < mark < 0.020


def test_softer_kinds_plug_sooner():
    order = (TurfKind.GREEN, TurfKind.FRINGE, TurfKind.FAIRWAY, TurfKind.BUNKER, TurfKind.STANDING_WATER)
    speeds = [TURFS[kind].plug_speed for kind in order]
    assert speeds == sorted(speeds, reverse=True)


@pytest.mark.parametrize("speed, within", [(1.5, 1.6), (2.0, 1.2), (3.0, 1.7)])
def test_a_puddle_stops_a_ball_as_water_and_wet_grass_would(speed, within):
    # derived: drag of the part under 10 mm of water, C_D 0.5 of a sphere (from memory), and grass that brakes
    # as a green of Stimp 7: d(v^2)/dx = -2 (k v^2 + a), solved for v = 0
    radius, depth, mass = 0.021335, 0.010, 0.04593
    inner = radius - depth
    wetted = radius**2 * math.acos(inner / radius) - inner * math.sqrt(radius**2 - inner**2)
    k, a = 0.5 * 1000 * 0.5 * wetted / mass, stimp_to_deceleration(7)
    way = math.log(1 + k * speed**2 / a) / (2 * k)
    brake = stimp_to_deceleration(10) / TURFS[TurfKind.STANDING_WATER].stimp_ratio
    assert 1 / within < speed**2 / (2 * brake) / way < within


def test_a_row_can_be_replaced_without_touching_the_usual_table():
    slow = Turf(kind=TurfKind.FRINGE, stimp_ratio=0.4, source="test")
    assert turf_props({TurfKind.FRINGE: slow})[KINDS.index(TurfKind.FRINGE), turf.STIMP_RATIO] == 0.4
    assert TURFS[TurfKind.FRINGE].stimp_ratio == 0.60


@pytest.mark.parametrize("wrong", [{"stimp_ratio": 0.0}, {"friction": -0.1}, {"tilt_scale": float("nan")}])
def test_impossible_turf_is_refused(wrong):
    with pytest.raises(ParameterError, match="fringe"):
        Turf(**({"kind": TurfKind.FRINGE, "stimp_ratio": 0.6, "source": "test"} | wrong))
