"""Kinds of columns as migrations write them; never changed, so that an old migration stays what it was."""

import sqlalchemy as sa
from sqlalchemy.dialects import sqlite

WORDS = sa.Text()
REAL: sa.types.TypeEngine[float] = sa.Double().with_variant(sqlite.REAL(), "sqlite")
WHOLE: sa.types.TypeEngine[int] = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
