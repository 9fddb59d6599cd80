"""Between rows of a table and the dataclasses of `rows`: each field is one column or several.

- a moment `made`: `made_utc`, `made_offset_min`; a place `start_m`: `start_x_m`, `start_y_m`;
- a lie `lie`: `lie`, `lie_wet`, `lie_uphill_deg`, `lie_above_feet_deg`;
- a date is text, an enumeration its word, yes and no are 1 and 0, what is none of these is JSON.
"""

from __future__ import annotations

import datetime
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from pydantic import TypeAdapter

from firstbounce.words import Lie, LieKind, Point

T = TypeVar("T")
UTC = datetime.UTC
MOMENT = "%Y-%m-%dT%H:%M:%S.%fZ"


@dataclass(frozen=True, slots=True)
class _Field:
    name: str
    columns: tuple[str, ...]
    out: Callable[[Any], tuple[Any, ...]]
    back: Callable[..., Any]


def values_of(row: Any, *leave_out: str) -> dict[str, Any]:
    """The columns of a row of the records."""
    values: dict[str, Any] = {}
    for one in _fields(type(row)):
        if one.name in leave_out:
            continue
        value = getattr(row, one.name)
        values.update(
            zip(one.columns, one.out(value) if value is not None else _NONE[: len(one.columns)], strict=True)
        )
    return values


def row_of(cls: type[T], found: Mapping[Any, Any], **others: Any) -> T:
    """The dataclass of a table's row; `others` are fields that do not stand in it."""
    given = {}
    for one in _fields(cls):
        if one.name in others:
            continue
        first = found[one.columns[0]]
        given[one.name] = None if first is None else one.back(*(found[column] for column in one.columns))
    return cls(**given, **others)


def columns_of(cls: type) -> tuple[str, ...]:
    """Names of the columns of a dataclass of the records."""
    return tuple(column for one in _fields(cls) for column in one.columns)


def moment_columns(name: str, when: datetime.datetime | None) -> dict[str, Any]:
    """The two columns of a moment."""
    utc, offset = (None, None) if when is None else _moment_out(when)
    return {f"{name}_utc": utc, f"{name}_offset_min": offset}


def utc_text(when: datetime.datetime) -> str:
    """UTC as text that sorts by time."""
    return when.astimezone(UTC).strftime(MOMENT).rjust(27, "0")


_NONE = (None,) * 4


def _moment_out(when: datetime.datetime) -> tuple[str, int]:
    offset = when.utcoffset() or datetime.timedelta()
    return utc_text(when), int(offset.total_seconds() // 60)


def _moment_back(utc: str, offset_min: int) -> datetime.datetime:
    when = datetime.datetime.fromisoformat(utc)
    return when.astimezone(datetime.timezone(datetime.timedelta(minutes=offset_min)))


def _lie_out(lie: Lie) -> tuple[Any, ...]:
    return str(lie.kind), int(lie.wet), lie.uphill_deg, lie.above_feet_deg


def _lie_back(kind: str, wet: int, uphill_deg: float, above_feet_deg: float) -> Lie:
    return Lie(kind=LieKind(kind), wet=bool(wet), uphill_deg=uphill_deg, above_feet_deg=above_feet_deg)


_KNOWN: dict[type, tuple[_Field, ...]] = {}


def _fields(cls: type) -> tuple[_Field, ...]:
    if cls not in _KNOWN:
        hints = get_type_hints(cls, include_extras=True)
        _KNOWN[cls] = tuple(_field(one.name, hints[one.name]) for one in fields(cls))
    return _KNOWN[cls]


def _field(name: str, hint: Any) -> _Field:
    kind = _bare(hint)
    if kind is datetime.datetime:
        return _Field(name, (f"{name}_utc", f"{name}_offset_min"), _moment_out, _moment_back)
    if kind is Point:
        base = name.removesuffix("_m")
        return _Field(name, (f"{base}_x_m", f"{base}_y_m"), tuple, Point)
    if kind is Lie:
        columns = (name, f"{name}_wet", f"{name}_uphill_deg", f"{name}_above_feet_deg")
        return _Field(name, columns, _lie_out, _lie_back)
    return _Field(name, (name,), *_one_column(kind, hint))


def _one_column(kind: Any, hint: Any) -> tuple[Callable[[Any], tuple[Any, ...]], Callable[..., Any]]:
    if kind is bool:
        return (lambda value: (int(value),)), bool
    if kind is datetime.date:
        return (lambda value: (value.isoformat(),)), datetime.date.fromisoformat
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return (lambda value: (str(value),)), kind
    if kind in (str, int, float):
        return (lambda value: (value,)), (lambda value: value)
    adapter: TypeAdapter[Any] = TypeAdapter(hint)
    return (lambda value: (adapter.dump_python(value, mode="json"),)), adapter.validate_python


def _bare(hint: Any) -> Any:
    """The type itself, without what may be added to it and without None."""
    while get_origin(hint) is Annotated:
        hint = get_args(hint)[0]
    if get_origin(hint) is Literal:
        return type(get_args(hint)[0])
    if get_origin(hint) in (Union, types.UnionType):
        some = [_bare(part) for part in get_args(hint) if part is not type(None)]
        return some[0] if len(some) == 1 else hint
    return hint
