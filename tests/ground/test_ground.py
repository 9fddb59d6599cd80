import numpy as np
import pytest

from firstbounce.errors import ParameterError
from firstbounce.ground.areas import Area
from firstbounce.ground.ground import Ground, hole_fault, outline_holds, start_fault, steepness_fault
from firstbounce.ground.spline import surface_at
from firstbounce.ground.surface import Bounds, HeightGrid, Plane
from firstbounce.ground.turf import KINDS
from firstbounce.words import Point, TurfKind

GREEN = ((-5.0, 5.0), (5.0, 5.0), (5.0, 20.0), (-5.0, 20.0))
POND = Area(TurfKind.WATER, ((6.0, 10.0), (9.0, 10.0), (9.0, 15.0), (6.0, 15.0)))


@pytest.fixture(scope="module")
def ground():
    return Ground(surface=Plane((0, 0, 1), 2.0, 90.0), outline=GREEN, areas=(POND,), fringe_m=1.0)


def test_level_is_flat_and_all_green():
    arrays = Ground.level().compiled()
    assert np.abs(arrays.coeffs).max() == 0
    assert set(np.unique(arrays.turf)) == {KINDS.index(TurfKind.GREEN)}
    assert arrays.z_max == 0


def test_turf_by_place(ground):
    places = {
        (0, 12): TurfKind.GREEN,
        (5.5, 8): TurfKind.FRINGE,
        (7, 12): TurfKind.WATER,
        (-10, 0): TurfKind.FAIRWAY,
    }
    assert {place: ground.turf_at(*place) for place in places} == places
    np.testing.assert_array_equal(
        ground.turf_code_at(*np.array(list(places), float).T), [KINDS.index(kind) for kind in places.values()]
    )


def test_the_kernels_see_the_same_turf_and_heights(ground):
    a = ground.compiled()
    rng = np.random.default_rng(1)
    x, y = rng.uniform(a.x_min, a.x_max, 500), rng.uniform(a.y_min, a.y_max, 500)
    i, j = ((x - a.tx0) * a.inv_tcell).astype(int), ((y - a.ty0) * a.inv_tcell).astype(int)
    np.testing.assert_array_equal(a.turf[j, i], ground.turf_code_at(x, y))
    for at in zip(x[:50], y[:50], strict=True):
        h, hx, hy, *_ = surface_at(*at, a.coeffs, a.x0, a.y0, a.inv_cell)
        assert h == pytest.approx(ground.surface.height(*at), abs=1e-12)
        assert (hx, hy) == pytest.approx((-0.02, 0), abs=1e-12)


@pytest.mark.parametrize("side", [20.0, 90.0, 300.0])
def test_kernels_find_the_cell_of_a_place_whatever_the_size_of_cells(side):
    right_half = Area(TurfKind.BUNKER, ((0.0, -side), (side, -side), (side, side), (0.0, side)))
    half = side / 2
    a = Ground(surface=Plane(), areas=(right_half,), bounds=Bounds(-half, half, -half, half)).compiled()
    for x, kind in ((-0.4, TurfKind.FAIRWAY), (0.4, TurfKind.BUNKER)):
        assert KINDS[a.turf[int(half * a.inv_tcell), int((x - a.tx0) * a.inv_tcell)]] is kind


def test_rough_goes_under_the_green_and_sand_over_it_whatever_the_order():
    wide = ((-6.0, 4.0), (6.0, 4.0), (6.0, 21.0), (-6.0, 21.0))
    sand = Area(TurfKind.BUNKER, ((-1.0, 10.0), (1.0, 10.0), (0.0, 12.0)))
    map_of = Ground(surface=Plane(), outline=GREEN, areas=(sand, Area(TurfKind.LIGHT_ROUGH, wide)))
    assert map_of.turf_at(0, 10.5) is TurfKind.BUNKER
    assert map_of.turf_at(0, 7) is TurfKind.GREEN
    assert map_of.turf_at(5.5, 7) is TurfKind.LIGHT_ROUGH


def test_later_areas_lie_over_earlier_ones():
    square = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    areas = (Area(TurfKind.BARE, square), Area(TurfKind.MAT, square))
    assert Ground(surface=Plane(), outline=GREEN, areas=areas).turf_at(1, 1) is TurfKind.MAT
    assert Ground(surface=Plane(), outline=GREEN, areas=areas[::-1]).turf_at(1, 1) is TurfKind.BARE


def test_the_raster_stays_small_on_a_huge_map():
    assert Ground.level((-150, 150, -150, 150)).raster.codes.nbytes <= 1_010_000
    assert Ground.level().raster.cell_m == pytest.approx(0.07)
    assert Ground.level((-10, 10, -10, 30)).raster.cell_m == 0.05


@pytest.mark.parametrize("surface", ["plane", "bumps"])
def test_no_point_is_higher_than_z_max(surface):
    rng = np.random.default_rng(2)
    grid = HeightGrid(-5, -5, 2.0, rng.normal(0, 0.2, (12, 10)))
    bounds = Bounds(-4, 12, -4, 16)
    made = Plane((0, 0, 0), 8.0, 200.0) if surface == "plane" else grid
    a = Ground(surface=made, around=TurfKind.GREEN, bounds=bounds).compiled()
    x, y = np.meshgrid(np.linspace(-4, 12, 400), np.linspace(-4, 16, 400))
    highest = made.height(x, y).max()
    assert highest <= a.z_max + 1e-9
    assert a.z_max - highest < 0.1


def test_a_map_takes_the_bounds_of_its_grid_or_of_its_green():
    grid = HeightGrid(-10, -5, 1.0, np.zeros((31, 21)))
    assert Ground(surface=grid).map == (-10, 10, -5, 25)
    assert Ground(surface=Plane(), outline=GREEN).map == (-20, 20, -10, 35)


def test_another_surface_keeps_the_painted_turf(ground):
    other = ground.with_surface(Plane((0, 0, 0), 1.0, 0.0))
    assert other.raster is ground.raster
    assert other.compiled().turf is ground.compiled().turf
    assert ground.surface.slope_percent == 2.0


def test_faults_are_one_clear_sentence(ground):
    assert hole_fault(ground, Point(0, 12)) is None
    assert "lies on fairway, not on the green" in hole_fault(ground, Point(-10, 0))
    assert "outside the map" in hole_fault(ground, Point(0, 99))
    assert start_fault(ground, Point(0, -3)) is None
    assert "outside the map" in start_fault(ground, Point(0, -99))
    assert "in water" in start_fault(ground, Point(7, 12))
    assert outline_holds(ground, Point(0, 12))
    assert not outline_holds(ground, Point(0, 0))


def test_heights_in_wrong_units_are_noticed():
    bumps = 30 * np.sin(np.arange(20))[None, :] * np.ones((20, 1))
    assert "are the heights in metres?" in steepness_fault(Ground(surface=HeightGrid(0, 0, 1, bumps)))
    assert steepness_fault(Ground.level(slope_percent=5)) is None


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"outline": ((0, 0), (4, 4), (4, 0), (0, 4))}, "crosses itself"),
        ({"outline": ((0, 0), (4, 4))}, "at least 3 corners"),
        ({"outline": None}, "needs bounds"),
        ({"bounds": (0, 2, 0, 2)}, "reaches beyond the map"),
        ({"bounds": (0, -2, 0, 2)}, "above 0"),
        ({"bounds": (0, 900, 0, 2)}, "at most 400"),
        ({"fringe_m": -1.0}, "fringe"),
        ({"surface": HeightGrid(0, 0, 1, np.zeros((3, 3))), "bounds": (-9, 9, -9, 30)}, "smaller map"),
    ],
)
def test_impossible_maps_are_refused(wrong, message):
    with pytest.raises(ParameterError, match=message):
        Ground(**({"surface": Plane(), "outline": GREEN} | wrong))
