"""Lead times, promised and real: what each supplier took for each day that it quoted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.content import Content

from parts.records.picture_answers import SupplierDays
from tui import formats
from tui.acts import OPEN_DRAWN, UNIT
from tui.pictures.view import View
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.panel import LinesPanel
from tui.widgets.strips import AT, HIGH, LOW, MARK, MIDDLE, Spread, ruler, strip
from tui.widgets.table import RowTable
from tui.widgets.texts import QUIET, STRONG, WARN, said

SupplierField = Field[SupplierDays]
WIDE, WIDTH_OF_OTHERS = 100, 50
"""What the columns beside name and strips take, with the margin and the bar for scrolling."""
LEAST_TOP, MOST_TOP = 1.5, 4.0
NOTHING = "No supplier is recorded.\n\nPress Esc to go back."
LEGEND = (
    f"Days taken for each day quoted: {LOW} least, {MIDDLE} median, {HIGH} most, {AT} the factor "
    f"that quotations are multiplied by, {MARK} as promised. Two signs in one cell become ◈."
)
TEACHES = "Only what has come teaches the factor; what is overdue does not yet."


class LeadTimesView(View):
    """Suppliers on one axis."""

    NAME: ClassVar = "Lead times, promised and real"
    IDLE: ClassVar = (OPEN_DRAWN, UNIT)
    DEFAULT_CSS = "LeadTimesView LinesPanel { height: 7; }"

    def __init__(self, page: Page, site: Site) -> None:
        super().__init__(page, site)
        self._found: tuple[SupplierDays, ...] = ()
        self._table = FieldTable(fields_of((), 0))

    def compose(self) -> ComposeResult:
        """Lay out the sentence, the suppliers and the panel."""
        yield self._sentence
        yield self._table
        yield LinesPanel()

    def load(self) -> None:
        """Ask what suppliers took."""
        self._table.focus()
        self._on.ask(lambda: self._site.promised_and_real, self._show)

    def _show(self, found: tuple[SupplierDays, ...]) -> None:
        self._found = found
        delivered = [each for each in found if each.deliveries]
        late = sum(is_late(each) for each in delivered)
        head = f"{late} of {formats.count(len(delivered), 'supplier')} took longer than promised"
        none = len(found) - len(delivered)
        rest = f"; {none} have delivered nothing yet and take the factor of all" if none else ""
        self.say((f"{head}, at the median{rest}.", STRONG))
        self._table.set_empty_text(NOTHING)
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw the axis as wide as there is room."""
        if self._found:
            self._draw()

    def _draw(self) -> None:
        self._table.show_fields(fields_of(self._found, self.size.width))
        self._table.list_items(self._found, at=self._table.cursor or 0)

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Tell about the supplier under the cursor."""
        chosen = self._table.chosen
        told = () if chosen is None else tuple(supplier_lines(chosen))
        self.query_one(LinesPanel).show(lambda _: told)

    def copied(self) -> str:
        """Return the row."""
        return self._table.copy_tsv()

    def open_item(self) -> str:
        """Say where orders are."""
        return "Press o for the orders of suppliers that are late."


def is_late(supplier: SupplierDays) -> bool:
    """Return whether its median delivery took longer than quoted."""
    return supplier.ratio is not None and supplier.ratio > 1.0


def word(supplier: SupplierDays) -> str:
    """Return symbol and word of how a supplier keeps its word."""
    if supplier.ratio is None:
        head = "? none yet"
    else:
        head = "▼ late" if is_late(supplier) else "● as said"
    return f"{head}, {supplier.overdue} due" if supplier.overdue else head


def style(supplier: SupplierDays) -> str:
    """Return the style word of how a supplier keeps its word."""
    if supplier.overdue or is_late(supplier):
        return "down"
    return "in-service" if supplier.ratio is not None else "quiet"


def fields_of(found: tuple[SupplierDays, ...], width: int) -> tuple[SupplierField, ...]:
    """Return the columns, with the axis in what room the others leave."""
    most = max((each.ratio for supplier in found for each in supplier.deliveries), default=0.0)
    most = max([most, *(each.factor for each in found)])
    top = min(MOST_TOP, max(LEAST_TOP, most * 1.02))
    name = 18 if width < WIDE else 22
    room = max(0, width - WIDTH_OF_OTHERS - name)
    return (
        SupplierField(Column("Supplier", name), lambda each: each.supplier, lambda _: "strong"),
        SupplierField(Column("Keeps word", 16), word, style),
        SupplierField(Column("Promised", 8, "right"), lambda each: _days(each.quoted_days)),
        SupplierField(Column("Took", 8, "right"), lambda each: _days(each.actual_days)),
        SupplierField(Column("Factor", 6, "right"), lambda each: f"{each.factor:.2f}"),
        SupplierField(
            Column(ruler(1.0, "promised", top, room), room),
            lambda each: strip(spread(each), each.factor, top, room, 1.0),
            style,
        ),
    )


def spread(supplier: SupplierDays) -> Spread | None:
    """Return from the least to the most days taken for each day quoted."""
    ratios = [each.ratio for each in supplier.deliveries]
    return Spread(min(ratios), supplier.ratio or 0.0, max(ratios)) if ratios else None


def _days(value: float | None) -> str:
    return "-" if value is None else formats.days(value)


def supplier_lines(supplier: SupplierDays) -> Iterator[Content]:
    """Return what a supplier promised and what it took, in sentences."""
    factor = f"its quotations are multiplied by {supplier.factor:.2f}"
    found = spread(supplier)
    if found is None:
        yield said(
            (f"{supplier.supplier} has delivered nothing yet; {factor}, as for all.", STRONG)
        )
    else:
        count = len(supplier.deliveries)
        yield said(
            (f"{supplier.supplier}: {supplier.late} of {count} came later than promised; ", STRONG),
            f"{found.low:.2f} to {found.high:.2f} days for each day quoted, median "
            f"{found.middle:.2f}; {factor}.",
        )
    if supplier.overdue:
        orders = formats.count(supplier.overdue, "open order")
        yield said((f"{orders} past the day it was due. {TEACHES}", WARN))
    if not supplier.active:
        yield said(("The supplier is closed and delivers nothing any more.", WARN))
    yield said((LEGEND, QUIET))
