"""Common random draws: the same luck for every club, so that differences between clubs are sharp.

Pure: the generator is made from a hash of the inputs, so the same inputs always give the same plan.
"""

from __future__ import annotations

import hashlib
from dataclasses import fields, is_dataclass
from enum import Enum

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.planning.landing import Floats

#: Generating vector of an embedded lattice, good for 2 to 2**20 points (R. Cools, F. Kuo, D. Nuyens, SIAM J.
#: Sci. Comput. 28 (2006) 2162; numbers from memory; tests/planning/test_draws.py checks that it is even).
_LATTICE = np.array(
    [
        [1, 182667, 469891, 498753, 110745, 446247, 250185, 118627, 245333, 283199, 408519, 391023],
        [246327, 126539, 399185, 461527, 300343, 69681, 516695, 436179, 106383, 238523, 413283, 70841],
    ],
    dtype=np.float64,
).ravel()


def seed_of(*inputs: object) -> int:
    """A 64-bit seed from the content of plain records, arrays, numbers and words."""
    digest = hashlib.sha256()
    for part in inputs:
        _feed(digest, part)
    return int.from_bytes(digest.digest()[:8], "big")


def generator(seed: int) -> np.random.Generator:
    """The generator that belongs to a seed."""
    return np.random.Generator(np.random.PCG64(seed))


def _feed(digest: hashlib._Hash, part: object) -> None:
    """Add one part to the digest, with its kind, so that 1 and "1" differ."""
    digest.update(type(part).__name__.encode())
    if isinstance(part, np.ndarray):
        digest.update(str(part.shape).encode() + np.ascontiguousarray(part).tobytes())
    elif is_dataclass(part):
        for field in fields(part):
            digest.update(field.name.encode())
            _feed(digest, getattr(part, field.name))
    elif isinstance(part, dict):
        for key in sorted(part, key=str):
            _feed(digest, (str(key), part[key]))
    elif isinstance(part, (tuple, list, set, frozenset)):
        for item in sorted(part, key=str) if isinstance(part, (set, frozenset)) else part:
            _feed(digest, item)
    elif isinstance(part, Enum):
        digest.update(str(part.value).encode())
    elif part is None or isinstance(part, (str, int, float, bool, np.generic)):
        digest.update(repr(part).encode())
    else:
        raise ParameterError(f"A plan cannot be seeded from {type(part).__name__}.")


def even_uniforms(rng: np.random.Generator, n: int, columns: int) -> Floats:
    """Evenly spread points in the unit cube, (n, columns): a randomly shifted lattice sequence.

    Any block of a power of two of consecutive points is itself evenly spread.
    """
    if not 0 < columns <= len(_LATTICE):
        raise ParameterError(f"Even draws have 1 to {len(_LATTICE)} columns, got {columns}.")
    places = _reversed_bits(n)[:, None] * _LATTICE[:columns] + rng.random(columns)
    return np.clip(places % 1.0, 1e-9, 1 - 1e-9)


def _reversed_bits(n: int) -> Floats:
    """0, 1/2, 1/4, 3/4, ...: the first n numbers of van der Corput's sequence, exact."""
    value, count = np.zeros(n), np.arange(n, dtype=np.int64)
    for bit in range(max(int(n - 1).bit_length(), 1)):
        value += ((count >> bit) & 1) * 0.5 ** (bit + 1)
    return value


def even_normals(rng: np.random.Generator, n: int, columns: int) -> Floats:
    """Evenly spread standard normals, (n, columns)."""
    from scipy.special import ndtri

    return ndtri(even_uniforms(rng, n, columns))


class EvenNormals:
    """Stands in for a generator where only a table of standard normals is drawn: even ones, rows shuffled.

    The shuffle keeps the rows free of any tie with the even draws of strikes and ground.
    """

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng

    def standard_normal(self, shape: tuple[int, int]) -> Floats:
        """Standard normals of this shape (n, columns); columns beyond the lattice are plain chance."""
        n, columns = shape
        even = even_normals(self._rng, n, min(columns, len(_LATTICE)))
        rest = self._rng.standard_normal((n, columns - even.shape[1]))
        return self._rng.permutation(np.column_stack([even, rest]))
