"""What all tables have in common: how each kind of fact is stored, how constraints are named."""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, Boolean, Date, Integer, MetaData, Text
from sqlalchemy.dialects.postgresql import DOUBLE_PRECISION
from sqlalchemy.types import REAL, TypeEngine

from parts.records.fields import Kind

# SQLite's strict tables know five types. PostgreSQL has better ones, and its plain REAL is too
# short; its texts are put in the order of their code points, as SQLite and Python do.
TYPES: dict[Kind, TypeEngine[Any]] = {
    Kind.TEXT: Text().with_variant(Text(collation="C"), "postgresql"),
    Kind.NUMBER: REAL().with_variant(DOUBLE_PRECISION(), "postgresql"),
    Kind.WHOLE: Integer().with_variant(BigInteger(), "postgresql"),
    Kind.DAY: Text().with_variant(Date(), "postgresql"),
    Kind.FLAG: Integer().with_variant(Boolean(), "postgresql"),
}

# Every constraint is named: when a migration rebuilds a SQLite table, nameless ones are lost.
METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)
