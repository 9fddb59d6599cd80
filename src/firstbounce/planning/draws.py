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
    """Evenly spread points in the unit cube, (n, columns): scrambled Sobol, best for powers of 2."""
    from scipy.stats import qmc

    power = max(int(np.ceil(np.log2(max(n, 2)))), 1)
    points = qmc.Sobol(columns, scramble=True, rng=rng).random_base2(power)[:n]
    return np.clip(points, 1e-9, 1 - 1e-9)


def even_normals(rng: np.random.Generator, n: int, columns: int) -> Floats:
    """Evenly spread standard normals, (n, columns)."""
    from scipy.special import ndtri

    return ndtri(even_uniforms(rng, n, columns))
