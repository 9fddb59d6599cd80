"""How kernels are compiled: cached in a named folder, no fast-math, NumPy division, inputs read only."""

from __future__ import annotations

from typing import Any

from firstbounce.shot.executor import name_cache

name_cache()

from numba import njit, types  # noqa: E402  (the folder of the compiled code must be named first)

#: A small function copied into its callers.
inlined = njit(cache=True, forceinline=True, error_model="numpy")
#: A function called from kernels.
compiled = njit(cache=True, error_model="numpy")

FLOAT, INT, CODE = types.float64, types.int64, types.uint8


def kernel(*arguments: Any, cache: bool = True) -> Any:
    """A function over many balls that returns nothing, compiled once for these types, without the lock."""
    return njit(types.void(*arguments), cache=cache, error_model="numpy", nogil=True)


def read_only(dtype: Any, ndim: int) -> Any:
    """An array that the kernel may only read: writing into an input does not compile."""
    return types.Array(dtype, ndim, "C", readonly=True)


def writable(dtype: Any, ndim: int) -> Any:
    """An array for results."""
    return types.Array(dtype, ndim, "C")


def record(cls: Any, *kinds: Any) -> Any:
    """A named tuple: of these types, or of floats when none are given."""
    return types.NamedTuple(kinds, cls) if kinds else types.NamedUniTuple(FLOAT, len(cls._fields), cls)


def three(kind: Any) -> Any:
    """A tuple of three values of one type."""
    return types.UniTuple(kind, 3)
