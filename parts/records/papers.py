"""The documents that people hand over: for whom, a title, sentences, and rows of typed cells.

Knows no look and no file. Invariant: a row has a cell for each column; None is a cell in which
nothing stands, while what nobody knows says so in words. A column `by hand` is left for a pen.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal, NamedTuple

Cell = str | int | float | datetime.date | None
Row = tuple[Cell, ...]
Form = Literal["text", "day", "whole", "figure", "days", "money", "price", "share", "by hand"]
NOT_KNOWN = "not known"


class Column(NamedTuple):
    title: str
    form: Form = "text"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One document. `nothing` is what it says without rows, `total` its last row; in print it may
    show its `first` rows only, and then says how many there are."""

    reader: str
    title: str
    says: tuple[str, ...] = ()
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    nothing: str
    total: Row = ()
    first: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """All documents of one day, and the seal of the ledger that they rest on."""

    database: str
    today: datetime.date
    currency: str | None
    cranes: int
    positions: int
    seal: str
    papers: tuple[Paper, ...]

    @property
    def head(self) -> tuple[tuple[str, str], ...]:
        """What stands above all documents, as names and values."""
        return (
            ("Site", f"{self.cranes:,} cranes in use, {self.positions:,} positions, "
             f"as held in {self.database}"),
            ("As known on", self.today.isoformat()),
            ("Money in", self.currency or "the site's currency, which it does not name"),
            ("Seal", self.seal),
        )  # fmt: skip


def known(value: Cell) -> Cell:
    """A figure or a day, or that nobody knows it."""
    return NOT_KNOWN if value is None else value
