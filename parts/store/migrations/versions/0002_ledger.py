"""The ledger beside the site book: postings, balances, counts and the journal of edits.

Frozen, but for the seals, whose form is for ever. Movements that are there already are sealed as
entered by nobody known, at no known time.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.schema import SchemaItem

from parts.records.ledger import Stamp
from parts.store.postgres_guards import guard
from parts.store.seals import FIRST, seal

revision = "0002"
down_revision = "0001"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
WHOLE = sa.Integer().with_variant(sa.BigInteger(), "postgresql")
DAY = sa.Text().with_variant(sa.Date(), "postgresql")

NOBODY = Stamp(at="", who="", place="")
SEALED = (
    'date, part, qty, kind, store, bin, condition, serial, crane, position, "order", expires_on, '
    '"by", note, reverses, "key"'
)


def text(*names: str, blank: bool = False) -> list[SchemaItem]:
    return [sa.Column(name, TEXT, nullable=blank) for name in names]


def whole(name: str, rule: str) -> list[SchemaItem]:
    return [sa.Column(name, WHOLE, nullable=False), sa.CheckConstraint(rule, name=name)]


def refers(column: str, target: str) -> SchemaItem:
    return sa.ForeignKeyConstraint([column], [target], deferrable=True, initially="DEFERRED")


def upgrade() -> None:
    op.create_table(
        "postings",
        sa.Column("movement", WHOLE, nullable=False, autoincrement=False),
        *whole("number", "number > 0"),
        *text("at", "who", "place", "seal"),
        refers("movement", "movements.id"),
        sa.PrimaryKeyConstraint("movement"),
        sqlite_strict=True,
    )
    op.create_table(
        "balances",
        *text("part", "store"),
        *whole("qty", "qty >= 0"),
        *whole("movements", "movements >= 0"),
        *text("seal"),
        refers("part", "parts.part"),
        sa.PrimaryKeyConstraint("part", "store"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "counts",
        *text("sheet", "part", "store"),
        sa.Column("counted_on", DAY, nullable=False),
        *whole("counted", "counted >= 0"),
        *whole("book", "book >= 0"),
        *text("movement", blank=True),
        *text("at", "who", "place"),
        refers("part", "parts.part"),
        refers("movement", "movements.key"),
        sa.PrimaryKeyConstraint("sheet", "part", "store"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "changes",
        sa.Column("id", WHOLE, sa.CheckConstraint("id > 0", name="id")),
        *text("at", "who", "place", "file", "key"),
        *text("before", "after", "why", "movement", blank=True),
        sa.PrimaryKeyConstraint("id"),
        sqlite_strict=True,
    )
    op.create_index("ix_changes_movement", "changes", ["movement"])
    op.create_index("ix_movements_part", "movements", ["part"])
    if op.get_context().dialect.name == "sqlite":
        seal_what_is_there()
        guard_on_sqlite()
    else:
        guard(op.get_bind())


def seal_what_is_there() -> None:
    connection = op.get_bind()
    accounts: dict[tuple[str, str], tuple[int, int, str]] = {}
    rows = connection.exec_driver_sql(f"SELECT id, {SEALED} FROM movements ORDER BY id")  # noqa: S608
    for number, *stored in rows.fetchall():
        account = (stored[1], stored[4] or "")
        qty, count, before = accounts.get(account, (0, 0, FIRST))
        sealed = seal(before, count + 1, NOBODY, stored)
        accounts[account] = (qty + stored[2], count + 1, sealed)
        connection.exec_driver_sql(
            "INSERT INTO postings VALUES (?, ?, '', '', '', ?)", (number, count + 1, sealed)
        )
    for account, held in accounts.items():
        connection.exec_driver_sql("INSERT INTO balances VALUES (?, ?, ?, ?, ?)", (*account, *held))


def only_added(table: str, repeated: str) -> None:
    never = f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
    op.execute(f"CREATE TRIGGER {table}_never_change BEFORE UPDATE ON {table} {never}")
    op.execute(f"CREATE TRIGGER {table}_never_vanish BEFORE DELETE ON {table} {never}")
    op.execute(
        f"CREATE TRIGGER {table}_never_repeat BEFORE INSERT ON {table} "  # noqa: S608
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {repeated}) {never}"
    )


def guard_on_sqlite() -> None:
    only_added("postings", "movement = NEW.movement")
    only_added("counts", "sheet = NEW.sheet AND part = NEW.part AND store = NEW.store")
    only_added("changes", "id = NEW.id")
    op.execute(
        "CREATE TRIGGER balances_never_short BEFORE UPDATE ON balances WHEN NEW.qty < 0 "
        "BEGIN SELECT RAISE(ABORT, 'less than nothing in store'); END"
    )
    op.execute(
        "CREATE TRIGGER movements_keep_balance AFTER INSERT ON movements BEGIN "
        "INSERT OR IGNORE INTO balances (part, store, qty, movements, seal) "
        "VALUES (NEW.part, coalesce(NEW.store, ''), 0, 0, ''); "
        "UPDATE balances SET qty = qty + NEW.qty, movements = movements + 1 "
        "WHERE part = NEW.part AND store = coalesce(NEW.store, ''); END"
    )
