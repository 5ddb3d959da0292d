"""The tables that a site book does not hold: postings, balances, counts and the journal of edits.

Knows what the database itself upholds: what is entered stays, a balance never falls below nothing.
PostgreSQL's own guards are in `postgres_guards`. Invariant: the newest migration leaves exactly
these tables and triggers behind.
"""

from __future__ import annotations

from sqlalchemy import (
    DDL,
    CheckConstraint,
    Column,
    ForeignKeyConstraint,
    Index,
    PrimaryKeyConstraint,
    Table,
    event,
)
from sqlalchemy.schema import SchemaItem

from parts.records.fields import Kind
from parts.store.metadata import METADATA, TYPES


def _text(name: str, *, blank: bool = False) -> Column[str]:
    return Column(name, TYPES[Kind.TEXT], nullable=blank)


def _whole(name: str, rule: str) -> list[SchemaItem]:
    return [Column(name, TYPES[Kind.WHOLE], nullable=False), CheckConstraint(rule, name=name)]


def _refers(column: str, target: str) -> SchemaItem:
    return ForeignKeyConstraint([column], [target], deferrable=True, initially="DEFERRED")


POSTINGS = Table(
    "postings",
    METADATA,
    Column("movement", TYPES[Kind.WHOLE], nullable=False, autoincrement=False),
    *_whole("number", "number > 0"),
    *(_text(name) for name in ("at", "who", "place", "seal")),
    _refers("movement", "movements.id"),
    PrimaryKeyConstraint("movement"),
    sqlite_strict=True,
)
BALANCES = Table(
    "balances",
    METADATA,
    *(_text(name) for name in ("part", "store")),
    *_whole("qty", "qty >= 0"),
    *_whole("movements", "movements >= 0"),
    _text("seal"),
    _refers("part", "parts.part"),
    PrimaryKeyConstraint("part", "store"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
COUNTS = Table(
    "counts",
    METADATA,
    *(_text(name) for name in ("sheet", "part", "store")),
    Column("counted_on", TYPES[Kind.DAY], nullable=False),
    *_whole("counted", "counted >= 0"),
    *_whole("book", "book >= 0"),
    _text("movement", blank=True),
    *(_text(name) for name in ("at", "who", "place")),
    _refers("part", "parts.part"),
    _refers("movement", "movements.key"),
    PrimaryKeyConstraint("sheet", "part", "store"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
CHANGES = Table(
    "changes",
    METADATA,
    Column("id", TYPES[Kind.WHOLE], CheckConstraint("id > 0", name="id")),
    *(_text(name) for name in ("at", "who", "place", "file", "key")),
    *(_text(name, blank=True) for name in ("before", "after", "why", "movement")),
    PrimaryKeyConstraint("id"),
    sqlite_strict=True,
)
Index(None, CHANGES.c.movement)


def _only_added(table: str, repeated: str) -> tuple[str, ...]:
    """Refuse UPDATE and DELETE; INSERT OR REPLACE takes a row's place without asking those two."""
    never = f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
    return (
        f"CREATE TRIGGER {table}_never_change BEFORE UPDATE ON {table} {never}",
        f"CREATE TRIGGER {table}_never_vanish BEFORE DELETE ON {table} {never}",
        f"CREATE TRIGGER {table}_never_repeat BEFORE INSERT ON {table} "  # noqa: S608
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {repeated}) {never}",
    )


SQLITE_GUARDS = (
    *_only_added("movements", "id = NEW.id OR key = NEW.key OR reverses = NEW.reverses"),
    *_only_added("postings", "movement = NEW.movement"),
    *_only_added("counts", "sheet = NEW.sheet AND part = NEW.part AND store = NEW.store"),
    *_only_added("changes", "id = NEW.id"),
    # Raised, not left to the CHECK: INSERT OR IGNORE would pass over a CHECK and keep the movement.
    "CREATE TRIGGER balances_never_short BEFORE UPDATE ON balances WHEN NEW.qty < 0 "
    "BEGIN SELECT RAISE(ABORT, 'less than nothing in store'); END",
    "CREATE TRIGGER movements_keep_balance AFTER INSERT ON movements BEGIN "
    "INSERT OR IGNORE INTO balances (part, store, qty, movements, seal) "
    "VALUES (NEW.part, coalesce(NEW.store, ''), 0, 0, ''); "
    "UPDATE balances SET qty = qty + NEW.qty, movements = movements + 1 "
    "WHERE part = NEW.part AND store = coalesce(NEW.store, ''); END",
)
for _guard in SQLITE_GUARDS:
    _ddl = DDL(_guard)  # type: ignore[no-untyped-call]  # SQLAlchemy gives it no types
    event.listen(METADATA, "after_create", _ddl.execute_if(dialect="sqlite"))
