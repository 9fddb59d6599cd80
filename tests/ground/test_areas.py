import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.ground.areas import (
    Area,
    Raster,
    blank_raster,
    cells_inside,
    inside,
    paint,
    polygon_area,
    polygon_fault,
)
from firstbounce.ground.turf import CODES
from firstbounce.words import TurfKind

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))


def winding_number(corners, x, y):
    """Turns that the corners make around a point: an independent way to tell inside from outside."""
    angles = [math.atan2(cy - y, cx - x) for cx, cy in corners]
    turns = 0.0
    for before, after in zip(angles, angles[1:] + angles[:1], strict=True):
        turns += (after - before + math.pi) % (2 * math.pi) - math.pi
    return round(turns / (2 * math.pi))


@st.composite
def star_polygons(draw):
    """Polygons without crossings: corners at growing angles around the origin."""
    n = draw(st.integers(4, 12))
    angles = (np.arange(n) + draw(st.lists(st.floats(0, 0.9), min_size=n, max_size=n))) * 2 * math.pi / n
    radii = draw(st.lists(st.floats(0.5, 8), min_size=n, max_size=n))
    return tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True))


@given(corners=star_polygons(), x=st.floats(-9, 9), y=st.floats(-9, 9))
def test_inside_agrees_with_the_winding_number(corners, x, y):
    near = min(_distance_to_side(corners[i - 1], corners[i], x, y) for i in range(len(corners)))
    if near > 1e-9:
        assert bool(inside(corners, x, y)) == (winding_number(corners, x, y) != 0)


def _distance_to_side(a, b, x, y):
    a, b, p = np.array(a), np.array(b), np.array((x, y))
    length2 = (b - a) @ (b - a)
    t = np.clip((p - a) @ (b - a) / length2, 0, 1) if length2 else 0.0
    return float(np.linalg.norm(a + t * (b - a) - p))


@given(corners=star_polygons(), turn=st.integers(0, 11), back=st.booleans())
def test_inside_does_not_care_where_the_corners_start_or_which_way_they_run(corners, turn, back):
    x, y = np.meshgrid(np.linspace(-8, 8, 17) + 0.0137, np.linspace(-8, 8, 17) + 0.0071)
    k = turn % len(corners)
    other = corners[k:] + corners[:k]
    other = other[::-1] if back else other
    np.testing.assert_array_equal(inside(corners, x, y), inside(other, x, y))


@settings(max_examples=30)
@given(corners=star_polygons())
def test_painted_cells_are_those_whose_centre_is_inside(corners):
    raster = blank_raster((-9, 9, -9, 9), most_cells=10_000)
    ny, nx = raster.codes.shape
    x = raster.x0_m + (np.arange(nx) + 0.5) * raster.cell_m
    y = raster.y0_m + (np.arange(ny) + 0.5) * raster.cell_m
    differ = cells_inside(corners, raster) != inside(corners, x[None, :], y[:, None])
    assert differ.sum() == 0


@settings(max_examples=30)
@given(corners=star_polygons())
def test_painted_area_is_the_area_of_the_polygon(corners):
    raster = blank_raster((-9, 9, -9, 9))
    painted = cells_inside(corners, raster).sum() * raster.cell_m**2
    around = sum(math.dist(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    assert abs(painted - polygon_area(corners)) < raster.cell_m * around


@pytest.mark.parametrize(
    ("corners", "message"),
    [
        (((0, 0), (1, 1)), "at least 3 corners"),
        ((), "at least 3 corners"),
        (((0, 0), (1, 0), (float("nan"), 1)), "not a number"),
        (((0, 0), (4, 0), (4, 0), (0, 4)), "same corner twice in a row"),
        (((0, 0), (4, 0), (4, 4), (0, 0)), "same corner twice in a row"),
        (((0, 0), (4, 4), (4, 0), (0, 4)), "side 1 meets side 3"),
        (((0, 0), (4, 0), (2, 0), (2, 3)), "crosses itself"),
        (((0, 0), (1, 1), (2, 2)), "crosses itself|one line"),
        (((0, 0), (4, 0), (4, 4), (2, 0), (0, 4)), "crosses itself"),
    ],
)
def test_impossible_polygons_are_told_in_one_sentence(corners, message):
    with pytest.raises(ParameterError, match=message):
        Area(TurfKind.BUNKER, corners)


@given(corners=star_polygons())
def test_polygons_without_crossings_pass(corners):
    assert polygon_fault(corners, "The area") is None


def test_fringe_is_a_band_of_its_width():
    raster = paint(
        blank_raster((-3, 7, -3, 7)), outline=SQUARE, fringe_m=1.0, areas=(), around=TurfKind.LIGHT_ROUGH
    )
    x = np.array([-2.0, -1.1, -0.9, -0.1, 0.1, 3.9, 4.1, 4.9, 5.1])
    kinds = ["light rough"] * 2 + ["fringe"] * 2 + ["green"] * 2 + ["fringe"] * 2 + ["light rough"]
    np.testing.assert_array_equal(raster.code_at(x, 2.0), [CODES[TurfKind(kind)] for kind in kinds])
    corner = 4 + 1 / math.sqrt(2)  # round, not square, at the corners
    assert raster.code_at(corner - 0.1, corner - 0.1) == CODES[TurfKind.FRINGE]
    assert raster.code_at(corner + 0.1, corner + 0.1) == CODES[TurfKind.LIGHT_ROUGH]


def test_painting_leaves_what_it_is_given():
    blank = blank_raster((0, 4, 0, 4))
    paint(blank, outline=SQUARE, fringe_m=0.5, areas=(Area(TurfKind.MAT, SQUARE),), around=TurfKind.FAIRWAY)
    assert blank.codes.sum() == 0


def test_a_place_beyond_the_raster_has_the_turf_of_its_edge():
    codes = np.array([[0, 1], [2, 3]], dtype=np.uint8)
    raster = Raster(codes, 0.0, 0.0, 1.0)
    np.testing.assert_array_equal(raster.code_at([-5, 9, -5, 9], [-5, -5, 9, 9]), [0, 1, 2, 3])
