"""How far a ball can roll from a place before the turf can change: spares the kernel from looking.

The turf raster is seen in blocks of 8 by 8 cells. A block is free when it and its neighbours are all of one
kind; the clearance of a block is the way [m] to the nearest block that is not, at least that far in x or y.
"""

from __future__ import annotations

import weakref

import numpy as np
from numpy.typing import NDArray

from firstbounce.ground.arrays import GroundArrays

BLOCK = 8  #: cells along a block [-]
FAR = 1e9  #: clearance of a map of one kind [m]

_known: dict[int, tuple[weakref.ref[NDArray[np.uint8]], NDArray[np.float64]]] = {}


def clearance(ground: GroundArrays) -> NDArray[np.float64]:
    """Clearance [m] of each block, shape (blocks in y, blocks in x); kept for arrays that are read only."""
    turf = ground.turf
    if turf.flags.writeable:
        return _measure(turf, 1 / ground.inv_tcell)
    known = _known.get(id(turf))
    if known is not None and known[0]() is turf:
        return known[1]
    found = _measure(turf, 1 / ground.inv_tcell)
    for key in [key for key, (there, _) in list(_known.items()) if there() is None]:
        _known.pop(key, None)
    _known[id(turf)] = (weakref.ref(turf), found)
    return found


def _measure(turf: NDArray[np.uint8], cell: float) -> NDArray[np.float64]:
    from scipy.ndimage import distance_transform_cdt

    edge = _edges(turf)
    if not edge.any():
        return np.full(edge.shape, FAR)
    blocks = distance_transform_cdt(~edge, metric="chessboard").astype(np.float64)
    return np.maximum(blocks - 1, 0) * (BLOCK * cell)


def _edges(turf: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Blocks that hold more than one kind, or another kind than a block beside or below them."""
    ny, nx = (-(-size // BLOCK) for size in turf.shape)
    padded = np.pad(turf, ((0, ny * BLOCK - turf.shape[0]), (0, nx * BLOCK - turf.shape[1])), mode="edge")
    blocks = padded.reshape(ny, BLOCK, nx, BLOCK)
    low, high = blocks.min(axis=(1, 3)), blocks.max(axis=(1, 3))
    edge = low != high
    for a, b in ((np.s_[1:, :], np.s_[:-1, :]), (np.s_[:, 1:], np.s_[:, :-1])):
        differ = low[a] != low[b]
        edge[a] |= differ
        edge[b] |= differ
    return edge
