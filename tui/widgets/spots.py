"""Which row of a list the cursor is on: by what the row is about, so that it is found again.

Its number alone would not do: a list read again is ordered anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tui.widgets.rows import Items

NAMES = ("crane", "position", "mechanism", "part", "order", "supplier", "store", "name", "record")
"""The attributes by which one thing in a list is told from the others."""
ROWS_SEARCHED = 2000
"""Rows of a list that are looked through; of a longer one only those about the row there was."""


@dataclass(frozen=True)
class Spot:
    """The row under the cursor, what it is about, and what is typed above the list.

    On a page to read, `row` is the line that stands at the top.
    """

    row: int = 0
    about: tuple[str, ...] = ()
    typed: str = ""

    def row_in(self, items: Items[Any]) -> int:
        """Return the row that is about the same thing, else the same row."""
        count = len(items)
        here = max(0, min(self.row, count - 1))
        if not (count and self.about):
            return here
        span = count if count <= ROWS_SEARCHED else ROWS_SEARCHED // 20
        near = range(max(0, here - span), min(count, here + span + 1))
        found = (row for row in near if about(items[row]) == self.about)
        return min(found, key=lambda row: abs(row - here), default=here)


def about(item: object) -> tuple[str, ...]:
    """Return what a row of a list is about."""
    return tuple(str(getattr(item, name)) for name in NAMES if getattr(item, name, None))


def facts_about(item: object) -> dict[str, str]:
    """Return the part that a row is about, its order if it has one, and where it is fitted if that
    is one place."""
    crane, position = getattr(item, "crane", None), getattr(item, "position", None)
    named = {name: getattr(item, name, None) for name in ("part", "order")}
    found = {name: value for name, value in named.items() if isinstance(value, str) and value}
    return found | ({"at": f"{crane}/{position}"} if crane and position else {})


def columns_about(item: object) -> dict[str, str]:
    """Return the columns that tell what a row is about: a part, else a crane, else a supplier."""
    for name in ("part", "crane", "supplier"):
        value = getattr(item, name, None)
        if isinstance(value, str) and value:
            return {name: value}
    return {}


def subjects_of(item: object) -> tuple[tuple[str, ...], ...]:
    """Return what a row is about, the nearest first: each a kind and the names of one thing."""
    part, crane, position, supplier = (
        getattr(item, name, None) for name in ("part", "crane", "position", "supplier")
    )
    found = (
        ("position", crane, position) if crane and position else None,
        *(("upgrade", name) for name in getattr(item, "upgrades", ())),
        ("part", part) if part else None,
        ("supplier", supplier) if supplier else None,
        ("crane", crane) if crane else None,
    )
    return tuple(each for each in found if each and all(isinstance(name, str) for name in each))
