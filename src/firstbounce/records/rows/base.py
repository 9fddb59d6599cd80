"""What all rows share: ids, limits, moments, and one sentence for a value that makes no sense."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Annotated, Any, TypeVar, dataclass_transform

from pydantic import AfterValidator, ConfigDict, Field, StringConstraints, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked_dataclass

from firstbounce.errors import ParameterError
from firstbounce.records.columns import FARTHEST_M, LONGEST_NAME, LONGEST_TEXT, sound_text
from firstbounce.words import Point

T = TypeVar("T")


@dataclass_transform(kw_only_default=True, frozen_default=True)
def row(cls: type[T]) -> type[T]:
    """A frozen dataclass whose values are checked when it is made."""
    config = ConfigDict(extra="forbid", allow_inf_nan=False)
    return checked_dataclass(cls, frozen=True, kw_only=True, slots=True, config=config)  # type: ignore[return-value]


def _aware(value: datetime.datetime) -> datetime.datetime:
    if value.tzinfo is None:
        raise ValueError("a moment needs the offset of its place, such as 2026-05-14T10:12:00+02:00")
    if not 1970 <= value.year < 9000:
        raise ValueError("a moment lies between the years 1970 and 9000")
    offset = value.utcoffset() or datetime.timedelta()
    if abs(offset) > datetime.timedelta(hours=18) or offset.seconds % 60:
        raise ValueError("the offset of a place is whole minutes, at most 18 hours")
    return value


def _near(value: Point) -> Point:
    if not (abs(value.x_m) <= FARTHEST_M and abs(value.y_m) <= FARTHEST_M):
        raise ValueError(f"a place lies within {FARTHEST_M} m of the mark; were feet typed as metres?")
    return value


Id = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{32}$")]
Name = Annotated[
    str,
    StringConstraints(min_length=1, max_length=LONGEST_NAME, strip_whitespace=True),
    AfterValidator(sound_text),
]
LongText = Annotated[
    str, StringConstraints(max_length=LONGEST_TEXT, strip_whitespace=True), AfterValidator(sound_text)
]
Moment = Annotated[datetime.datetime, AfterValidator(_aware)]
Place = Annotated[Point, AfterValidator(_near)]
Whole = Annotated[int, Field(ge=0, lt=2**53)]
Document = dict[str, Any]


def row_from(cls: type[T], values: Mapping[str, Any]) -> T:
    """A row from plain values, as JSON gives them. ParameterError names each value that makes no sense."""
    try:
        return _adapter(cls).validate_python(dict(values))
    except ValidationError as error:
        raise ParameterError(said(error)) from None


def plain(row: Any) -> dict[str, Any]:
    """A row as plain values for JSON; `row_from` makes the same row of them."""
    values: dict[str, Any] = _adapter(type(row)).dump_python(row, mode="json")
    return values


def said(error: ValidationError) -> str:
    """What is wrong, in one sentence a value; at most five are named."""
    wrong = error.errors(include_url=False)
    parts = [f"{'.'.join(map(str, one['loc'])) or 'the record'}: {_plainly(one['msg'])}" for one in wrong[:5]]
    more = f", and {len(wrong) - 5} more" if len(wrong) > 5 else ""
    return f"This cannot be kept: {'; '.join(parts)}{more}."


def _plainly(message: str) -> str:
    return message.removeprefix("Value error, ").rstrip(".")


_ADAPTERS: dict[type, TypeAdapter[Any]] = {}


def _adapter(cls: type[T]) -> TypeAdapter[T]:
    if cls not in _ADAPTERS:
        _ADAPTERS[cls] = TypeAdapter(cls)
    return _ADAPTERS[cls]
