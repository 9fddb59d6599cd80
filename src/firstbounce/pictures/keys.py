"""Ids of pictures, made from what they show."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import fields, is_dataclass

import numpy as np


def key_of(kind: str, picture: object) -> str:
    """A short id from the content of a description: the same picture, the same id."""
    digest = hashlib.sha256()
    _feed(digest.update, picture)
    return f"{kind}-{digest.hexdigest()[:8]}"


def _feed(update: Callable[[bytes], None], value: object) -> None:
    if is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            update(field.name.encode())
            _feed(update, getattr(value, field.name))
    elif isinstance(value, np.ndarray):
        update(repr(value.shape).encode())
        update(np.ascontiguousarray(value).tobytes())
    elif isinstance(value, (list, tuple)):
        update(b"(")
        for item in value:
            _feed(update, item)
        update(b")")
    elif callable(value):
        update(getattr(value, "__qualname__", "").encode())
    else:
        update(repr(value).encode())
