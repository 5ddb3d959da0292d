"""The tables, made from the columns that the records declare.

Knows how a kind of fact is stored and which rules the database itself upholds: no table, column or
bound is named here a second time. Invariant: the newest migration leaves exactly these tables
behind, and `FORM` is its number.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ColumnClause,
    ColumnElement,
    Date,
    ForeignKeyConstraint,
    Index,
    PrimaryKeyConstraint,
    Table,
    UniqueConstraint,
    and_,
    func,
    literal_column,
)
from sqlalchemy.schema import SchemaItem

from parts.records import fields
from parts.records.book import BOOK_FILES, FILES_BY_NAME, BookFile
from parts.records.fields import Kind
from parts.records.settings import NUMBER_AT_MOST
from parts.store import ledger_tables
from parts.store.metadata import METADATA, TYPES

__all__ = ["METADATA", "TABLES", "ledger_tables"]  # those of the book and those beside it, whole

APPLICATION_ID = 0x4C506F6C  # "LPol" in the header of a SQLite file says whose it is
FORM = 2

TEXT_AT_MOST = 10_000


def may_be_blank(column: fields.Column) -> bool:
    return not column.required and column.default is None


def key_in_order(book_file: BookFile, table: Table) -> list[ColumnElement[Any]]:
    """The columns of the key to sort and find by; a blank counts as an empty text."""
    blank = {column.name for column in book_file.columns if may_be_blank(column)}
    columns = ((name, table.c[name.rstrip("_")]) for name in book_file.key)
    return [
        func.coalesce(column, literal_column("''")) if name in blank else column
        for name, column in columns
    ]


def _number_bounds(column: fields.Column, stored: ColumnClause[Any]) -> list[ColumnElement[bool]]:
    bounds = []
    if column.lowest is not None:
        bounds.append(stored >= column.lowest)
    if column.above is not None:
        bounds.append(stored > column.above)
    if column.highest is not None:
        bounds.append(stored <= column.highest)
    elif column.kind is Kind.NUMBER:
        bounds.append(stored <= NUMBER_AT_MOST)
        if column.lowest is None and column.above is None:
            bounds.append(stored >= -NUMBER_AT_MOST)
    return bounds


def _check(column: fields.Column, name: str) -> list[SchemaItem]:
    """The rule that a stored value keeps, as one CHECK named by its column."""
    # without its table's name, which changes while a migration rebuilds the table
    stored = ColumnClause[Any](name, type_=TYPES[column.kind])
    rules: list[ColumnElement[bool]]
    match column.kind:
        case Kind.DAY:
            return _check_day(stored, name)
        case Kind.FLAG:
            return [CheckConstraint(stored.in_((0, 1)), name=name).ddl_if(dialect="sqlite")]
        case Kind.TEXT if column.choices:
            rules = [stored.in_(column.choices)]
        case Kind.TEXT:
            rules = [func.length(stored).between(1, TEXT_AT_MOST)]
        case _:
            rules = _number_bounds(column, stored)
    return [CheckConstraint(and_(*rules), name=name)] if rules else []


def _check_day(stored: ColumnClause[Any], name: str) -> list[SchemaItem]:
    """A day of our calendar, whose years have four digits."""
    # made to reckon, date() answers with another text or none for a day that is none
    same_day = func.date(stored, literal_column("'+0 days'"))
    of_text = and_(stored.is_not_distinct_from(same_day), stored >= "0001")
    first, last = [literal_column(f"DATE '{day}'", Date) for day in ("0001-01-01", "9999-12-31")]
    return [
        CheckConstraint(of_text, name=name).ddl_if(dialect="sqlite"),
        CheckConstraint(stored.between(first, last), name=name).ddl_if(dialect="postgresql"),
    ]


def _foreign_key(book_file: BookFile, column: fields.Column) -> list[SchemaItem]:
    """A reference to the whole key of another file, on the same crane where the key has one.

    Routes and orders are named by a part of their key; the book's rules see to those.
    """
    target = FILES_BY_NAME.get(column.refers_to)
    if target is None or column.many or target.key[:-1] not in ((), ("crane",)):
        return []
    return [
        ForeignKeyConstraint(
            [*target.key[:-1], column.name],
            [f"{target.name}.{name}" for name in target.key],
            deferrable=True,
            initially="DEFERRED",
        )
    ]


def _table(book_file: BookFile) -> Table:
    """One file's table: kept in the order of its key, or of entry where the key cannot order it."""
    blank = {column.name for column in book_file.columns if may_be_blank(column)}
    numbered = book_file.name == "movements" or not blank.isdisjoint(book_file.key)
    items: list[SchemaItem] = []
    if numbered:
        items.append(Column("id", TYPES[Kind.WHOLE], CheckConstraint("id > 0", name="id")))
    for column, name in zip(book_file.columns, book_file.header, strict=True):
        items.append(Column(name, TYPES[column.kind], nullable=column.name in blank))
        items += [*_check(column, name), *_foreign_key(book_file, column)]
    key = ("id",) if numbered else (name.rstrip("_") for name in book_file.key)
    items.append(PrimaryKeyConstraint(*key))
    return Table(book_file.name, METADATA, *items, sqlite_strict=True, sqlite_with_rowid=numbered)


TABLES = {book_file.name: _table(book_file) for book_file in BOOK_FILES}

TABLES["movements"].append_constraint(UniqueConstraint("key"))
TABLES["movements"].append_constraint(UniqueConstraint("reverses"))  # undone once at most
for _name in ("offers", "notices"):
    _key = key_in_order(FILES_BY_NAME[_name], TABLES[_name])
    Index(f"uq_{_name}_key", *_key, unique=True)
# A position may be written before the one that it is in; without this index the database would
# look through all positions each time.
Index(None, TABLES["positions"].c.crane, TABLES["positions"].c.parent)
Index(None, TABLES["movements"].c.part)  # a posting reads the movements of its part alone
