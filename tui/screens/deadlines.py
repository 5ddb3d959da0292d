"""The parts of which a last order is still possible: by when, how many, on one axis of days."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from parts.records.purchase_answers import Deadline
from tui import actions, formats, words
from tui import purchase_sentences as sentences
from tui.messages import OpenLastBuy
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import STRONG, said
from tui.widgets.timeline import LAST, ORDER_BY, axis, timeline

DeadlineField = Field[Deadline]
NOTHING = "No last day is known for any part that is still asked for.\n\nPress Esc to go back."
WIDTH_OF_OTHERS = 57
"""What the columns beside the timeline take, with the margin and the bar for scrolling."""
URGENT_DAYS = 30


class DeadlinesScreen(ListPage[Deadline]):
    """The timeline of last orders."""

    ACTS: ClassVar = actions.DEADLINES
    WORDS: ClassVar = words.DEADLINES
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "DeadlinesScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site) -> None:
        self._today = site.snapshot.today
        self._found: tuple[Deadline, ...] = ()
        super().__init__(("longpole", "last days"), f"as known on {self._today}", self._fields(0))
        self._site = site

    def _fields(self, width: int) -> tuple[DeadlineField, ...]:
        days = [day for each in self._found for day in (each.order_by, each.last_buy_on) if day]
        end, room = max([self._today, *days]), max(0, width - WIDTH_OF_OTHERS)
        return (
            DeadlineField(Column("Part", 12), lambda each: each.part, lambda _: "strong"),
            DeadlineField(
                Column("Order by", 10),
                lambda each: formats.day(each.order_by),
                lambda each: "warn" if each.order_by is None else "",
            ),
            DeadlineField(Column("Left", 9, "right"), sentences.days_left, left_style),
            DeadlineField(Column("Take", 5, "right"), lambda each: f"{each.quantity:,}"),
            DeadlineField(
                Column("Lasts", 9, "right"), lambda each: sentences.sure(each.chance_enough)
            ),
            DeadlineField(
                Column(axis(self._today, end, room), room),
                lambda d: timeline(self._today, d.order_by, d.last_buy_on, end, room),
                left_style,
            ),
        )

    def load(self) -> None:
        """Ask for the last days."""
        self.ask(lambda: self._site.deadlines, self._show)

    def _show(self, found: tuple[Deadline, ...]) -> None:
        self._found = found
        self._table.set_empty_text(NOTHING)
        count = formats.count(len(found), "part")
        legend = f"{ORDER_BY} = order by, {LAST} = last day of the supplier."
        self.say((f"{count} can soon no longer be bought. ", STRONG), legend if found else "")
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw the axis as wide as there is room."""
        if self._found:
            self._draw()

    def _draw(self) -> None:
        self._table.show_fields(self._fields(self.size.width))
        self._table.list_items(self._found, at=self._table.cursor or 0)

    def tell(self, item: Deadline | None) -> None:
        """Say until when the part under the cursor can be ordered."""
        lines = [] if item is None else list(
            sentences.deadline_lines(item, self._today, self._site.currency)
        )  # fmt: skip
        told = tuple(said((text, STRONG if at < 1 else "")) for at, text in enumerate(lines))
        self.query_one(LinesPanel).show(lambda _: told)

    def open_item(self, item: Deadline) -> None:
        """Open the table of the last order."""
        self.post_message(OpenLastBuy(item.part))


def left_style(deadline: Deadline) -> str:
    """Return the style word of what is left: loud where it is over, not known or near."""
    if deadline.days_left is None:
        return "warn"
    return "down" if deadline.days_left < URGENT_DAYS else "reduced"
