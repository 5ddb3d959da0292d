"""A list that something typed decides, with the row under the cursor told below it.

The line that is typed in always has the keys, so no letter does anything else here; arrows move
the list. Keys that come close together are answered once, and only what was typed last.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from threading import Lock
from typing import Any, ClassVar, Generic, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Input

from tui.screens.page import RECKONING, Page
from tui.site import Site
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.rows import Items
from tui.widgets.table import RowTable

MOVES = ("up", "down", "pageup", "pagedown")
Item = TypeVar("Item")
Answer = TypeVar("Answer")


class TypedPage(Page, Generic[Item]):
    """A line to type in, a table, a panel."""

    PAUSE_S: ClassVar = 0.12
    """Keys that come closer together than this are answered once."""

    # The keys that move are the list's although the line has the rest of them.
    DEFAULT_CSS = """
    TypedPage RowTable > .row-table--cursor-away {
        background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(key, f"move('{key}')", "Move in the list", show=False, priority=True)
        for key in MOVES
    ]

    def __init__(self, trail: Sequence[str], day: str, fields: Sequence[Field[Item]]) -> None:
        super().__init__(trail, day)
        self._timer: Timer | None = None
        self._is_due = self._opens_then = False
        self._turn = Lock()
        self._table = FieldTable(fields, empty=RECKONING)
        self._table.can_focus = False

    @abstractmethod
    def line(self) -> Widget:
        """Return the line that is typed in."""

    @abstractmethod
    def panel(self) -> Widget:
        """Return the panel below the table."""

    @abstractmethod
    def ask_again(self) -> None:
        """Ask with what is typed."""

    @abstractmethod
    def tell(self, item: Item | None) -> None:
        """Say in the panel what there is to say about the item under the cursor."""

    @abstractmethod
    def open_item(self, item: Item) -> None:
        """Open what an item stands for."""

    def above(self) -> ComposeResult:
        """Return what stands between the line and the list."""
        yield from ()

    def body(self) -> ComposeResult:
        """Lay out the line, the list and the panel."""
        yield self.line()
        yield from self.above()
        yield self._table
        yield self.panel()

    def on_mount(self) -> None:
        """Ask with what the line holds from the beginning."""
        self.query_one(Input).focus()
        self.ask_again()

    def take_site(self, site: Site) -> bool:
        """Ask again with what is typed, and the cursor on the same row."""
        self._site = site
        self._table.begin_at(self._table.spot)
        self.ask_again()
        return True

    @property
    def typed(self) -> str:
        """What the line holds."""
        return self.query_one(Input).value

    def on_input_changed(self, event: Input.Changed) -> None:
        """Ask when the keys pause."""
        if self._timer is not None:
            self._timer.stop()
        self._is_due, self._opens_then = True, False
        self._timer = self.set_timer(self.PAUSE_S, self.ask_again)

    def ask_in_turn(self, question: Callable[[], Answer], take: Callable[[Answer], object]) -> None:
        """Ask once what was asked before is answered, and only if nothing was asked since."""
        number = self._asked + 1

        def in_turn() -> Any:
            with self._turn:
                return question() if number == self._asked and self.is_attached else None

        self.ask(in_turn, take)

    def list_found(self, items: Items[Item], *, at: int = 0, total: int | None = None) -> None:
        """List what was found; what enter was pressed for meanwhile opens."""
        self._table.list_items(items, at=at, total=total)
        self._is_due = False
        if self._opens_then:
            self._opens_then = False
            self.action_open()

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Tell about the item under the cursor."""
        self.tell(self._table.chosen)

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the item that was clicked."""
        self.action_open()

    def on_input_submitted(self) -> None:
        """Open the item under the cursor."""
        self.action_open()

    def action_open(self) -> None:
        """Open the item under the cursor, but never one that what is typed is about to hide."""
        self._opens_then = self._is_due
        if self._is_due:
            return
        if (item := self._table.chosen) is not None:
            self.open_item(item)
        else:
            self.tell_nothing_to_open()

    def action_move(self, key: str) -> None:
        """Move the cursor of the list."""
        table = self._table
        if key in ("up", "down"):
            table.action_step(1 if key == "down" else -1)
        else:
            table.action_page(1 if key == "pagedown" else -1)
