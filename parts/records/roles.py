"""Who may do what where a server keeps the database: one role for each kind of work.

A person's login is given one role or several. Everybody reads everything; the ledger's own tables
are written by the database itself. Knows no SQL. Invariant: what a role may do is said here once,
and the server's rights, the page that people read and the tests are made from it.
"""

from __future__ import annotations

from dataclasses import dataclass

from parts.records.book import BOOK_FILES, FILES_BY_NAME


@dataclass(frozen=True, slots=True)
class Right:
    """What a role may do with the rows of one table; `changes` names columns."""

    table: str
    adds: bool = False
    changes: tuple[str, ...] = ()
    takes_out: bool = False


@dataclass(frozen=True, slots=True)
class Role:
    name: str
    says: str
    rights: tuple[Right, ...] = ()


def _but_its_key(table: str) -> tuple[str, ...]:
    """All columns but those that tell one row from another."""
    file = FILES_BY_NAME[table]
    key = {name.rstrip("_") for name in file.key}
    return tuple(name for name in file.header if name not in key)


def _keeps(*tables: str) -> tuple[Right, ...]:
    return tuple(Right(table, True, _but_its_key(table), True) for table in tables)


def _records(*tables: str) -> tuple[Right, ...]:
    """What happened is added and put right, and not taken out."""
    return tuple(Right(table, True, _but_its_key(table)) for table in tables)


_EVERY_EDIT_IS_TOLD = Right("changes", adds=True)

ROLES = (
    Role("longpole_reading", "asks every question and changes nothing"),
    Role(
        "longpole_storeroom",
        "enters movements, counts, reservations and what was found at a crane",
        (
            Right("movements", adds=True),
            Right("counts", adds=True),
            *_records("reservations", "observations"),
            *_keeps("failures"),  # a step that is undone takes out the failure that it recorded
            Right("positions", changes=("part", "installed", "hours_at_install")),
            Right("orders", changes=("received_on",)),
            _EVERY_EDIT_IS_TOLD,
        ),
    ),
    Role(
        "longpole_purchasing",
        "keeps suppliers, offers, orders, notices and currencies",
        (
            *_keeps("suppliers", "offers", "orders", "notices", "currencies"),
            _EVERY_EDIT_IS_TOLD,
        ),
    ),
    Role(
        "longpole_maintenance",
        "keeps every record of the site but movements, and loads books that bring no new ones",
        (
            *_keeps(*(file.name for file in BOOK_FILES if file.name != "movements")),
            _EVERY_EDIT_IS_TOLD,
        ),
    ),
)
