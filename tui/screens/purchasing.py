"""What purchasing has to do: what to order now, what is late, what to ask each supplier."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar, NamedTuple

from textual.content import Content

from parts.records.purchase_answers import EnquiryLine, LateOrder, ReorderLine
from tui import actions, formats, words
from tui import purchase_sentences as sentences
from tui.acts import ALL_PARTS
from tui.messages import OpenPart
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import Field
from tui.widgets.key_line import KeyLine
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said


class Question(NamedTuple):
    """One thing to ask one supplier."""

    supplier: str
    name: str
    line: EnquiryLine

    @property
    def part(self) -> str:
        return self.line.part


Item = ReorderLine | LateOrder | Question
ReorderField, LateField, QuestionField = Field[ReorderLine], Field[LateOrder], Field[Question]
REORDER_FIELDS = (
    ReorderField(Column("Part", 12), lambda line: line.part, lambda _: "strong"),
    ReorderField(
        Column("Order now", 9, "right"),
        lambda line: f"{line.order_now:,}" if line.order_now else "-",
        lambda line: "reduced" if line.order_now else "quiet",
    ),
    ReorderField(Column("Usable", 6, "right"), lambda line: f"{line.usable:,}"),
    ReorderField(Column("Ordered", 7, "right"), lambda line: f"{line.on_order:,}"),
    ReorderField(Column("Point", 5, "right"), lambda line: sentences.limit(line.reorder_point)),
    ReorderField(Column("Max", 5, "right"), lambda line: sentences.limit(line.maximum)),
    ReorderField(
        Column("Site min", 8, "right"), lambda o: sentences.limit(o.min_stock), from_width=100
    ),
    ReorderField(
        Column("Site max", 8, "right"), lambda o: sentences.limit(o.max_stock), from_width=100
    ),
    ReorderField(Column("From", None, least=12), lambda line: line.supplier or "-"),
)
LATE_FIELDS = (
    LateField(Column("Order", 10), lambda order: order.order, lambda _: "strong"),
    LateField(Column("Part", 12), lambda order: order.part),
    LateField(Column("Open", 5, "right"), lambda order: f"{order.open_qty:,}"),
    LateField(Column("Promised", 10), lambda order: formats.day(order.due_on)),
    LateField(Column("What", None, least=24), lambda o: o.sentence, lambda _: "reduced"),
    LateField(Column("Supplier", 20), lambda order: order.supplier, from_width=106),
)
QUESTION_FIELDS = (
    QuestionField(Column("Supplier", 20), lambda q: q.supplier, lambda _: "strong"),
    QuestionField(Column("Part", 12), lambda question: question.part),
    QuestionField(Column("About", 11), lambda question: question.line.about, from_width=92),
    QuestionField(Column("Ask", None, least=24), lambda question: question.line.sentence),
)


class Kind(NamedTuple):
    """One of the lists: its name, its columns, and what stands in place of rows."""

    title: str
    fields: Sequence[Field[Any]]
    nothing: str


KINDS = (
    Kind("what to order", REORDER_FIELDS, "Nothing has to be ordered today.\n\nPress a for all."),
    Kind("late orders", LATE_FIELDS, "Every open order is coming as promised, as far as is known."),
    Kind("what to ask", QUESTION_FIELDS, "There is nothing to ask any supplier."),
)


TO_ORDER, LATE_ORDERS, QUESTIONS = range(len(KINDS))


class PurchasingScreen(ListPage[Item]):
    """The three lists."""

    ACTS: ClassVar = actions.PURCHASING
    WORDS: ClassVar = words.PURCHASING
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "PurchasingScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site, kind: int = TO_ORDER, names: tuple[str, ...] = ()) -> None:
        self._day = f"as known on {site.snapshot.today}"
        super().__init__(("longpole", "purchasing"), self._day, KINDS[kind].fields)
        self._site = site
        self._kind, self._all = kind, False
        self._names = set(names)

    def load(self) -> None:
        """Ask for the list that is shown."""
        asks: tuple[Callable[[], Sequence[Item]], ...] = (
            lambda: self._site.reorder,
            lambda: self._site.late_orders,
            lambda: questions(self._site),
        )
        self.ask(asks[self._kind], self._show)

    def _show(self, found: Sequence[Item]) -> None:
        kind = KINDS[self._kind]
        trail = " › ".join((*self.trail, kind.title))
        self.query_one(".bar", EndsLine).show(trail, self._day)
        self.query_one(KeyLine).leave_out(*(() if self._kind == TO_ORDER else (ALL_PARTS,)))
        listed = [each for each in found if self._all or _is_due(each)]
        self.say((self._count(listed, len(found)), STRONG), "  Tab shows the next list.")
        self._table.set_empty_text(kind.nothing)
        self._table.show_fields(kind.fields)
        named = (at for at, each in enumerate(listed) if self._names <= _names(each))
        self._table.list_items(listed, at=next(named, 0))
        self._names = set()

    def _count(self, listed: Sequence[Item], total: int) -> str:
        if self._kind == 1:
            return f"{formats.count(total, 'order')} late."
        if self._kind == 2:
            asked = len({each.supplier for each in listed if isinstance(each, Question)})
            return f"{formats.count(total, 'thing')} to ask {formats.count(asked, 'supplier')}."
        due = sum(_is_due(each) for each in listed)
        rest = "all are listed" if self._all else "press a for all"
        return f"{formats.count(due, 'part')} to order now, of {total:,}; {rest}."

    def tell(self, item: Item | None) -> None:
        """Say all about the line under the cursor."""
        told = () if item is None else tuple(self._lines(item))
        self.query_one(LinesPanel).show(lambda _: told)

    def _lines(self, item: Item) -> list[Content]:
        if isinstance(item, ReorderLine):
            head, *rest = sentences.reorder_lines(item, self._site.currency)
            record = item.record
        elif isinstance(item, LateOrder):
            head = f"Order {item.order} of {item.part} from {item.supplier}: {item.sentence}."
            promised = formats.day(item.due_on)
            rest = [f"Ordered {item.ordered_on}, promised for {promised}; open {item.open_qty:,}."]
            record = item.record
        else:
            head = f"{item.supplier}{f', {item.name}' if item.name else ''}"
            rest, record = [f"{item.part}: {item.line.sentence}."], item.line.record
        return [said((head, STRONG)), *map(said, rest), said((f"Record: {record}", QUIET))]

    def open_item(self, item: Item) -> None:
        """Open the part."""
        self.post_message(OpenPart(item.part))

    def action_next_list(self) -> None:
        """Show the next of the lists."""
        self._kind = (self._kind + 1) % len(KINDS)
        self.load()

    def action_all(self) -> None:
        """List all parts with their limits, or only those to order now."""
        if self._kind == TO_ORDER:
            self._all = not self._all
            self.load()


def _is_due(item: Item) -> bool:
    return item.order_now > 0 if isinstance(item, ReorderLine) else True


def _names(item: Item) -> set[str]:
    """Return what a line is known by: its order, its part, its supplier."""
    order = item.order if isinstance(item, LateOrder) else ""
    return {order, item.part, item.supplier or ""}


def questions(site: Site) -> tuple[Question, ...]:
    """Return what to ask, one line a question."""
    return tuple(
        Question(each.supplier, each.name, line) for each in site.enquiries for line in each.lines
    )
