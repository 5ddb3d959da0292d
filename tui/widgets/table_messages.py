"""What a table tells the screen it is on: where the cursor is, what was chosen.

Reached as `RowTable.RowChosen` and so on; handlers are named `on_row_table_row_chosen`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from textual.message import Message

if TYPE_CHECKING:
    from tui.widgets.table import RowTable


class Position(NamedTuple):
    """Where the cursor is: row counted from 1 (0 when there is none), rows listed, rows in all."""

    row: int
    listed: int
    total: int

    def __str__(self) -> str:
        head = f"{self.row} of {self.listed}" if self.listed else "none"
        return head if self.total == self.listed else f"{head} ({self.total} in all)"


class TableMessage(Message, namespace="row_table"):
    """What all messages of a table carry: the table itself."""

    def __init__(self, table: RowTable) -> None:
        super().__init__()
        self.table = table

    @property
    def control(self) -> RowTable:
        """Return the table, so that a handler can be bound to one by a selector."""
        return self.table


class RowHighlighted(TableMessage, namespace="row_table"):
    """The cursor came to a row, or other rows were set; `index` is None without rows."""

    def __init__(self, table: RowTable, index: int | None, position: Position) -> None:
        super().__init__(table)
        self.index = index
        self.position = position


class RowChosen(TableMessage, namespace="row_table"):
    """Enter, or a click on the cursor's row."""

    def __init__(self, table: RowTable, index: int) -> None:
        super().__init__(table)
        self.index = index


class HeaderChosen(TableMessage, namespace="row_table"):
    """A click on a column's title."""

    def __init__(self, table: RowTable, column: int) -> None:
        super().__init__(table)
        self.column = column
