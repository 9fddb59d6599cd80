"""The ground as plain arrays: the one form in which compiled kernels see any surface and turf."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray


class GroundArrays(NamedTuple):
    """Everything a kernel needs to know of the ground. Never written to.

    The height is a uniform cubic B-spline (ground/spline.py): `coeffs` has one ring of coefficients
    more than the nodes, so that node (j, i) at (x0 + i/inv_cell, y0 + j/inv_cell) has coefficient
    coeffs[j + 1, i + 1]. The turf is a raster of kind codes; its cell (j, i) covers
    tx0 + i/inv_tcell <= x < tx0 + (i + 1)/inv_tcell, and the same in y.
    """

    coeffs: NDArray[np.float64]  #: (nodes in y + 2, nodes in x + 2) spline coefficients [m]
    x0: float  #: x of the first node [m]
    y0: float  #: y of the first node [m]
    inv_cell: float  #: one over the distance of nodes [1/m]
    turf: NDArray[np.uint8]  #: (my, mx) code of the turf in each cell: row of turf_props
    tx0: float  #: x of the left edge of the turf raster [m]
    ty0: float  #: y of the near edge of the turf raster [m]
    inv_tcell: float  #: one over the size of a turf cell [1/m]
    turf_props: NDArray[np.float64]  #: (kinds, properties): see the column indices in ground/turf.py
    x_min: float  #: the map ends here: a ball beyond has left it [m]
    x_max: float
    y_min: float
    y_max: float
    z_max: float  #: no point of the surface inside the map is higher [m]
