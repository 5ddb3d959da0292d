"""The site book: which files it has, in which order, what a row of each is and its key.

A `Book` is everything that a database holds, as records. It knows neither CSV nor SQL.
Invariant: `BOOK_FILES` is the one list of files that the reader, the writer and the database use.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

from parts.records import catalogue, history, site, stock, structure, supply
from parts.records.fields import Column, columns


@dataclass(frozen=True, slots=True)
class BookFile:
    """One file of the site book: its name, the class of its rows, the columns of its key."""

    name: str
    record: type
    key: tuple[str, ...]
    required: bool = False

    @property
    def columns(self) -> tuple[Column, ...]:
        return columns(self.record)

    @property
    def header(self) -> tuple[str, ...]:
        """Column names as written in the file."""
        return _header(self.record)

    def key_of(self, row: Any) -> tuple[Any, ...]:
        return tuple(getattr(row, name) for name in self.key)


@cache
def _header(record: type) -> tuple[str, ...]:
    return tuple(column.name.rstrip("_") for column in columns(record))


BOOK_FILES: tuple[BookFile, ...] = (
    BookFile("site", site.Setting, ("key",)),
    BookFile("classes", catalogue.PartClass, ("part_class",)),
    BookFile("scores", site.Score, ("driver",)),
    BookFile("holidays", site.Holiday, ("date",)),
    BookFile("cranes", structure.Crane, ("crane",), required=True),
    BookFile("functions", structure.Function, ("crane", "function")),
    BookFile("parts", catalogue.Part, ("part",), required=True),
    BookFile("part_numbers", catalogue.PartNumber, ("part", "number")),
    BookFile("positions", structure.Position, ("crane", "position"), required=True),
    BookFile("needs", structure.Need, ("crane", "item", "needs")),
    BookFile("companions", catalogue.Companion, ("part", "companion")),
    BookFile("substitutes", catalogue.Substitute, ("part", "substitute")),
    BookFile("suppliers", supply.Supplier, ("supplier",)),
    BookFile("offers", supply.Offer, ("supplier", "part", "kind", "route")),
    BookFile("routes", supply.Operation, ("route", "operation")),
    BookFile("movements", stock.Movement, ("key",)),
    BookFile("reservations", stock.Reservation, ("part", "for_")),
    BookFile("currencies", supply.Currency, ("currency",)),
    BookFile("orders", supply.Order, ("order", "part")),
    BookFile("failures", history.Failure, ("crane", "position", "failed_on")),
    BookFile("notices", supply.Notice, ("part", "supplier", "notice_on", "kind")),
    BookFile("duty", history.Duty, ("crane", "mechanism")),
    BookFile("observations", history.Observation, ("crane", "position", "date", "what")),
    BookFile("upgrades", history.Upgrade, ("upgrade",)),
    BookFile("upgrade_effects", history.UpgradeEffect, ("upgrade", "crane", "position")),
)

FILES_BY_NAME = {book_file.name: book_file for book_file in BOOK_FILES}


@dataclass(slots=True)
class Book:
    """The rows of every file, by file name; a file that has none is an empty list."""

    rows: dict[str, list[Any]] = field(
        default_factory=lambda: {book_file.name: [] for book_file in BOOK_FILES}
    )

    def __getitem__(self, name: str) -> list[Any]:
        return self.rows[name]
