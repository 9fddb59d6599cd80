import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RectBivariateSpline, make_interp_spline

from firstbounce.errors import ParameterError
from firstbounce.ground.spline import surface_at
from firstbounce.ground.surface import (
    Bounds,
    HeightGrid,
    Plane,
    downhill_direction,
    height_grid_from_points,
    highest,
)

BOUNDS = Bounds(-12.0, 9.0, -3.0, 30.0)


def hills(x, y):
    return 0.3 * np.sin(x / 5) * np.cos(y / 7) + 0.02 * y


@pytest.fixture(scope="module")
def grid():
    x, y = np.arange(31) - 10.0, np.arange(41) - 5.0
    return HeightGrid(-10, -5, 1.0, hills(x[None, :], y[:, None]))


@given(
    slope=st.floats(0, 30),
    downhill=st.floats(-360, 720),
    x=st.floats(-12, 9),
    y=st.floats(-3, 30),
    z=st.floats(-50, 50),
)
def test_a_plane_is_exact_as_a_spline(slope, downhill, x, y, z):
    plane = Plane((1.0, 2.0, z), slope, downhill)
    s = plane.spline(BOUNDS)
    h, hx, hy, hxx, hxy, hyy = surface_at(x, y, s.coeffs, s.x0_m, s.y0_m, 1 / s.cell_m)
    assert h == pytest.approx(float(plane.height(x, y)), abs=1e-12)
    assert (hx, hy) == pytest.approx(plane.steepness, abs=1e-12)
    assert max(abs(hxx), abs(hxy), abs(hyy)) < 1e-12


def test_a_plane_falls_the_way_it_says():
    for downhill, step in [(0, (0, 1)), (90, (1, 0)), (180, (0, -1)), (270, (-1, 0))]:
        plane = Plane((0, 0, 0), 2.0, downhill)
        assert plane.height(*step) == pytest.approx(-0.02)
        assert np.array(downhill_direction(downhill)) == pytest.approx(np.array(step), abs=1e-15)


@given(gx=st.floats(-0.3, 0.3), gy=st.floats(-0.3, 0.3))
def test_a_plane_keeps_its_gradient(gx, gy):
    assert Plane.of_gradient((gx, gy)).steepness == pytest.approx((gx, gy), abs=1e-12)


def test_a_height_grid_runs_through_its_nodes(grid):
    x, y = np.meshgrid(np.arange(31) - 10.0, np.arange(41) - 5.0)
    assert np.abs(grid.height(x, y) - grid.heights).max() < 1e-12


def test_a_height_grid_agrees_with_natural_splines_of_scipy(grid):
    x, y = np.linspace(-10, 20, 73), np.linspace(-5, 35, 91)
    along_y = make_interp_spline(np.arange(41) - 5.0, grid.heights, bc_type="natural", axis=0)
    both = make_interp_spline(np.arange(31) - 10.0, along_y(y), bc_type="natural", axis=1)
    np.testing.assert_allclose(grid.height(x[None, :], y[:, None]), both(x), atol=1e-12)


def test_gradients_and_bends_agree_with_fitpack_away_from_the_edge(grid):
    # RectBivariateSpline ends another way, which dies out by a factor 3.7 a node
    peer = RectBivariateSpline(np.arange(31) - 10.0, np.arange(41) - 5.0, grid.heights.T, s=0)
    rng = np.random.default_rng(3)
    x, y = rng.uniform(4, 6, 50), rng.uniform(10, 20, 50)
    np.testing.assert_allclose(grid.gradient(x, y)[0], peer(x, y, dx=1, grid=False), atol=1e-7)
    np.testing.assert_allclose(grid.gradient(x, y)[1], peer(x, y, dy=1, grid=False), atol=1e-7)
    for ours, (dx, dy) in zip(grid.hessian(x, y), [(2, 0), (1, 1), (0, 2)], strict=True):
        np.testing.assert_allclose(ours, peer(x, y, dx=dx, dy=dy, grid=False), atol=1e-6)


def test_the_kernel_agrees_with_the_referee(grid):
    s = grid.spline(grid.extent)
    rng = np.random.default_rng(4)
    for x, y in rng.uniform((-10, -5), (20, 35), (60, 2)):
        ours = surface_at(x, y, s.coeffs, s.x0_m, s.y0_m, 1 / s.cell_m)
        referee = (grid.height(x, y), *grid.gradient(x, y), *grid.hessian(x, y))
        assert ours == pytest.approx([float(value) for value in referee], abs=1e-12)


def test_a_smooth_green_is_met_between_its_nodes(grid):
    rng = np.random.default_rng(5)
    x, y = rng.uniform((-7, -2), (17, 32), (200, 2)).T
    assert np.abs(grid.height(x, y) - hills(x, y)).max() < 1e-3


def test_derivatives_are_those_of_the_height(grid):
    x, y, step = np.array([1.3, -4.2]), np.array([7.7, 20.1]), 1e-4
    slope = (grid.height(x + step, y) - grid.height(x - step, y)) / (2 * step)
    np.testing.assert_allclose(grid.gradient(x, y)[0], slope, atol=1e-8)
    bend = (grid.gradient(x, y + step)[0] - grid.gradient(x, y - step)[0]) / (2 * step)
    np.testing.assert_allclose(grid.hessian(x, y)[1], bend, atol=1e-8)


def test_heights_given_are_not_changed_and_cannot_change_later():
    heights = np.zeros((4, 4))
    grid = HeightGrid(0, 0, 1, heights)
    heights[1, 1] = 5.0
    assert grid.height(1, 1) == 0
    with pytest.raises(ValueError, match="read-only"):
        grid.heights[0, 0] = 1.0


def test_shapes_broadcast(grid):
    assert grid.height(np.zeros(5)[None, :], np.zeros(3)[:, None]).shape == (3, 5)
    assert Plane().gradient(np.zeros(5)[None, :], np.zeros(3)[:, None])[1].shape == (3, 5)
    assert np.shape(grid.height(0.0, 0.0)) == ()


def test_points_in_any_order_make_a_grid():
    x, y = np.meshgrid([0.0, 0.5, 1.0], [2.0, 2.5, 3.0, 3.5])
    order = np.random.default_rng(6).permutation(12)
    made = height_grid_from_points(x.ravel()[order], y.ravel()[order], (x + 10 * y).ravel()[order])
    assert (made.cell_m, made.x0_m, made.y0_m, made.heights.shape) == (0.5, 0.0, 2.0, (4, 3))
    np.testing.assert_allclose(made.heights, x + 10 * y)


@pytest.mark.parametrize(
    ("points", "message"),
    [
        ([(0, 0), (1, 0), (3, 0), (0, 1), (1, 1), (3, 1)], "not regular in x"),
        ([(0, 0), (1, 0), (0, 2), (1, 2)], "steps 1 m in x but 2 m in y"),
        ([(0, 0), (1, 0), (0, 1)], "needs 4 heights"),
        ([(0, 0), (1, 0), (0, 1), (0, 1)], "1 nodes left empty"),
        ([(0, 0), (0, 1)], "two different values of x"),
        ([(0, 0), (1, 0), (0, float("nan")), (1, 1)], "three numbers"),
    ],
)
def test_points_off_a_grid_are_refused(points, message):
    x, y = np.array(points, float).T
    with pytest.raises(ParameterError, match=message):
        height_grid_from_points(x, y, np.zeros(len(x)))


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((0, 0, 1, [[0, 1], [float("nan"), 2]]), "row 2, column 1"),
        ((0, 0, 0, np.zeros((3, 3))), "cell above 0"),
        ((0, 0, 1, np.zeros((1, 3))), "at least 2 by 2"),
        ((0, float("inf"), 1, np.zeros((3, 3))), "corner"),
    ],
)
def test_impossible_grids_are_refused(args, message):
    with pytest.raises(ParameterError, match=message):
        HeightGrid(*args)


def test_impossible_planes_are_refused():
    with pytest.raises(ParameterError, match="turn the direction"):
        Plane((0, 0, 0), -1.0, 0.0)
    with pytest.raises(ParameterError, match="finite"):
        Plane((0, 0, float("nan")), 1.0, 0.0)


def test_a_map_beyond_the_grid_is_refused(grid):
    with pytest.raises(ParameterError, match="smaller map"):
        grid.spline(Bounds(-11, 5, 0, 5))


def test_the_highest_point_of_a_plane_is_its_corner():
    plane = Plane((0, 0, 0), 5.0, 200.0)
    corner = max(float(plane.height(x, y)) for x in BOUNDS[:2] for y in BOUNDS[2:])
    assert highest(plane.spline(BOUNDS), BOUNDS) == pytest.approx(corner, abs=1e-9)


def test_known_surfaces_draw_themselves(grid):
    rng = np.random.default_rng(7)
    assert grid.draw(rng) is grid
    assert Plane((0, 0, 0), 2.0, 40.0).draw(rng).steepness == pytest.approx(
        Plane((0, 0, 0), 2.0, 40.0).steepness
    )
