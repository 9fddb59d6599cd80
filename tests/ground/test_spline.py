"""The surface spline against planes (exact) and SciPy's natural cubic spline (independent)."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from firstbounce.errors import ParameterError
from firstbounce.ground.spline import height_at, spline_coefficients, surface_at


def test_plane_is_exact_with_its_gradient_and_no_bend():
    x, y = np.meshgrid(np.arange(7) * 0.5 - 1, np.arange(9) * 0.5 + 2)
    coeffs = spline_coefficients(0.3 + 0.02 * x - 0.05 * y)
    for px, py in [(-0.9, 2.1), (0.37, 4.44), (1.99, 5.99), (2.5, 6.5)]:
        got = surface_at(px, py, coeffs, -1.0, 2.0, 2.0)
        assert got == pytest.approx((0.3 + 0.02 * px - 0.05 * py, 0.02, -0.05, 0, 0, 0), abs=1e-12)
        assert height_at(px, py, coeffs, -1.0, 2.0, 2.0) == pytest.approx(got[0], abs=1e-14)


def test_bumpy_grid_equals_scipy_natural_splines_in_both_directions():
    rng = np.random.default_rng(1)
    nodes_x, nodes_y = np.arange(8) * 0.7, np.arange(6) * 0.7
    heights = rng.normal(size=(6, 8))
    coeffs = spline_coefficients(heights)
    for px, py in rng.uniform([0, 0], [4.9, 3.5], size=(50, 2)):
        along_x = CubicSpline(nodes_x, heights, axis=1, bc_type="natural")
        across = [CubicSpline(nodes_y, along_x(px, nu=nu), bc_type="natural") for nu in (0, 1, 2)]
        expected = [
            float(part)
            for part in (
                across[0](py),
                across[1](py),
                across[0](py, 1),
                across[2](py),
                across[1](py, 1),
                across[0](py, 2),
            )
        ]
        assert list(surface_at(px, py, coeffs, 0.0, 0.0, 1 / 0.7)) == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("heights", [np.zeros((1, 5)), np.zeros(4), np.array([[0, 1], [np.nan, 0]])])
def test_grid_that_cannot_be_a_surface_is_refused(heights):
    with pytest.raises(ParameterError, match="at least 2 by 2"):
        spline_coefficients(heights)
