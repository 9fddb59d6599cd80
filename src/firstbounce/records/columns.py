"""Kinds of columns that mean the same in SQLite (strict tables) and PostgreSQL, and keep nonsense out.

Text holds no NUL and no half of a surrogate pair (PostgreSQL cannot hold them), numbers are finite (SQLite
would keep NaN as NULL), whole numbers fit 64 bits. Enumerations are text, booleans 0 or 1, a moment is two
columns: UTC as text that sorts by time, and the offset of the place in minutes.
"""

from __future__ import annotations

import json
import math
from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, Column, Double, ForeignKey, Integer, MetaData, Table, Text
from sqlalchemy.dialects.sqlite import REAL
from sqlalchemy.types import TypeDecorator, TypeEngine

from firstbounce.errors import ParameterError

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)
LONGEST_NAME = 80
LONGEST_TEXT = 4000
FARTHEST_M = 500  #: no place of a green's frame lies further out, each way [m]


class Words(TypeDecorator[str]):
    """Text that both databases can hold."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Any) -> str | None:
        return None if value is None else sound_text(str(value))


class Json(TypeDecorator[Any]):
    """A list or table of plain values, as text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Any) -> str | None:
        return None if value is None else json_text(value)

    def process_result_value(self, value: Any, dialect: Any) -> Any:
        return None if value is None else json.loads(value)


class Real(TypeDecorator[float]):
    """A finite number."""

    impl = Double
    cache_ok = True

    def load_dialect_impl(self, dialect: Any) -> TypeEngine[Any]:
        return dialect.type_descriptor(REAL() if dialect.name == "sqlite" else Double())

    def process_bind_param(self, value: Any, dialect: Any) -> float | None:
        if value is not None and not math.isfinite(value):
            raise ParameterError(f"A number that is kept must be finite, got {value!r}.")
        return None if value is None else float(value)


class Whole(TypeDecorator[int]):
    """A whole number of 64 bits."""

    impl = BigInteger
    cache_ok = True

    def load_dialect_impl(self, dialect: Any) -> TypeEngine[Any]:
        return dialect.type_descriptor(Integer() if dialect.name == "sqlite" else BigInteger())

    def process_bind_param(self, value: Any, dialect: Any) -> int | None:
        if value is not None and not -(2**63) <= value < 2**63:
            raise ParameterError(f"A whole number that is kept must fit 64 bits, got {value}.")
        return None if value is None else int(value)


def sound_text(text: str) -> str:
    """The text itself; ParameterError when a database could not hold it."""
    if "\0" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
        raise ParameterError(
            "A text holds a letter that cannot be kept (a NUL or half of a pair); type it again."
        )
    return text


def json_text(value: Any) -> str:
    """JSON without blanks; the order of keys is kept."""
    try:
        text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except ValueError:
        raise ParameterError("A number that is kept must be finite.") from None
    return sound_text(text)


def table(name: str, *parts: Any, **options: Any) -> Table:
    """A strict table of the records."""
    return Table(name, METADATA, *parts, sqlite_strict=True, **options)


def key(name: str = "id") -> list[Any]:
    """An id of 32 hexadecimal digits made where the record was made; primary key."""
    return [Column(name, Words, primary_key=True), check(f"length({name}) = 32", f"{name}_32")]


def ref(name: str, target: str, *, null: bool = False, primary: bool = False) -> Column[str]:
    """The id of a row of another table."""
    return Column(name, Words, ForeignKey(f"{target}.id"), nullable=null, primary_key=primary)


def words(name: str, *, longest: int = LONGEST_NAME, null: bool = False) -> list[Any]:
    """A name or a text of limited length."""
    return [Column(name, Words, nullable=null), check(f"length({name}) <= {longest}", f"{name}_length")]


def one_of(name: str, *allowed: str, null: bool = False) -> list[Any]:
    """A word of a closed set that belongs to the records."""
    listed = ", ".join(f"'{word}'" for word in allowed)
    return [Column(name, Words, nullable=null), check(f"{name} in ({listed})", f"{name}_known")]


def flag(name: str) -> list[Any]:
    """Yes or no, as 1 or 0."""
    return [Column(name, Whole, nullable=False), check(f"{name} in (0, 1)", f"{name}_flag")]


def real(name: str, low: float, high: float, *, null: bool = True) -> list[Any]:
    """A number between two limits."""
    return [Column(name, Real, nullable=null), check(f"{name} between {low:g} and {high:g}", f"{name}_range")]


def count(name: str, *, null: bool = False) -> list[Any]:
    """A whole number from 0 on."""
    return [Column(name, Whole, nullable=null), check(f"{name} >= 0", f"{name}_from_0")]


def document(name: str, *, null: bool = False) -> Column[Any]:
    """JSON."""
    return Column(name, Json, nullable=null)


def place(name: str, *, null: bool = True) -> list[Any]:
    """A point of the green's frame: two columns, both given or neither."""
    x, y = f"{name}_x_m", f"{name}_y_m"
    both = check(f"({x} is null) = ({y} is null)", f"{name}_both")
    sides = [part for side in (x, y) for part in real(side, -FARTHEST_M, FARTHEST_M, null=null)]
    return [*sides, both]


def moment(name: str, *, null: bool = False) -> list[Any]:
    """A moment: UTC to the microsecond, and how far the place was ahead of it in minutes."""
    utc, offset = f"{name}_utc", f"{name}_offset_min"
    return [
        Column(utc, Words, nullable=null),
        Column(offset, Whole, nullable=null),
        check(f"length({utc}) = 27", f"{utc}_27"),
        check(f"{offset} between -1080 and 1080", f"{offset}_range"),
    ]


def lie(name: str = "lie") -> list[Any]:
    """A lie: kind, wet, slopes of the stance."""
    return [
        *words(name),
        *flag(f"{name}_wet"),
        *real(f"{name}_uphill_deg", -25, 25, null=False),
        *real(f"{name}_above_feet_deg", -25, 25, null=False),
    ]


def check(rule: str, name: str) -> CheckConstraint:
    """A named rule of a table."""
    return CheckConstraint(rule, name=name)
