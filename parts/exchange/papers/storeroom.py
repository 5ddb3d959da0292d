"""What the storeroom hands over: what to reorder, to pull, to care for, what lies aside, the stock
statement, and where each spare is used.

Figures are those of the answers; here they only find their columns.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from parts.records.catalogue import Part
from parts.records.papers import Column, Paper, known
from parts.records.purchase_answers import ReorderLine
from parts.records.stock_statement import StockStatement
from parts.records.today_answers import PersonToday, Urgency

READER, FINANCE = "the storeroom", "finance"
NO_STORE_NAMED = "not named"
NAMED = 6
Places = Mapping[str, Sequence[tuple[str, str]]]
"""Crane and position of each place in which a part sits, by part."""
_URGENCIES = {Urgency.NOW: "! now", Urgency.SOON: "- soon", Urgency.LATER: "later"}
_WAITING = (
    ("Shelf-life pull list", ("shelf_life",), "Nothing in store has expired or soon will."),
    ("Storage-care round", ("care",), "Nothing in store is due for care."),
    ("Set aside", ("quarantine", "repair"), "Nothing lies in quarantine or waits for repair."),
)


def reorder_paper(found: Sequence[ReorderLine]) -> Paper:
    """What has fallen below its limit."""
    return Paper(
        reader=READER,
        title="Reorder list",
        says=("What is usable and on order has fallen below the limit.",),
        columns=(
            *map(Column, ("part", "description")), Column("usable", "whole"),
            Column("on order", "whole"), Column("below", "whole"), Column("site min", "whole"),
            Column("site max", "whole"), Column("order now", "whole"), Column("from"),
            Column("why"),
        ),
        rows=tuple(
            (each.part, each.description, each.usable, each.on_order, each.below, each.min_stock,
             each.max_stock, each.order_now, each.supplier, each.why)
            for each in found
            if each.below is not None
        ),
        nothing="Nothing has fallen below its limit.",
    )  # fmt: skip


def waiting_papers(listed: PersonToday, parts: Mapping[str, Part]) -> tuple[Paper, ...]:
    """The rounds along the shelves, with room to write who did what when."""
    return tuple(
        Paper(
            reader=READER,
            title=title,
            columns=(
                *map(Column, ("when", "part", "description", "what")), Column("by", "day"),
                Column("why"), Column("done by, on", "by hand"),
            ),
            rows=tuple(
                (_URGENCIES[line.urgency], line.subject, parts[line.subject].description,
                 line.sentence, line.due_on, line.why, None)
                for line in listed.lines
                if line.kind in kinds
            ),
            nothing=nothing,
        )
        for title, kinds, nothing in _WAITING
    )  # fmt: skip


def statement_paper(found: StockStatement, currency: str | None) -> Paper:
    """The stock statement for finance."""
    money = f" {currency}" if currency else ""
    without = len(found.without_cost)
    says = [
        "On hand is what the ledger holds; usable leaves out what is past its shelf life, in "
        "quarantine or in repair. Value is on hand at the unit cost on record.",
        f"In all {found.total:,.2f}{money}.",
    ]
    if without:
        says.append(
            f"{without:,} {'part has' if without == 1 else 'parts have'} no cost on record: the "
            "value is not known and is in no total."
        )
    return Paper(
        reader=FINANCE,
        title="Stock statement",
        says=tuple(says),
        columns=(
            *map(Column, ("part", "description", "store")), Column("on hand", "whole"),
            Column("usable", "whole"), Column(f"unit cost{money}", "price"),
            Column(f"value{money}", "price"),
        ),
        rows=tuple(
            (each.part, each.description, each.store or NO_STORE_NAMED, each.on_hand, each.usable,
             known(each.unit_cost), known(each.value))
            for each in found.lines
        ),
        nothing="Nothing is in store.",
        total=("total of what has a cost", None, None, None, None, None, found.total),
    )  # fmt: skip


def where_used_paper(found: StockStatement, places: Places) -> Paper:
    """Where each part in store sits, to be taped to it."""
    in_store = dict.fromkeys((each.part, each.description) for each in found.lines)
    return Paper(
        reader=READER,
        title="Where used",
        says=("Where each part in store is fitted; what may stand in for another is not told.",),
        columns=(
            *map(Column, ("part", "description", "crane")), Column("places", "whole"),
            Column("positions"),
        ),
        rows=tuple(
            (part, description, *where)
            for part, description in in_store
            for where in _by_crane(places.get(part, ()))
        ),
        nothing="Nothing is in store.",
    )  # fmt: skip


def _by_crane(places: Sequence[tuple[str, str]]) -> Iterator[tuple[str, int, str]]:
    """The places of a part crane by crane, the first of them by name."""
    if not places:
        yield "in no crane in use", 0, ""
    for crane, found in groupby(places, key=lambda place: place[0]):
        names = [position for _, position in found]
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        yield crane, len(names), ", ".join(names[:NAMED]) + more
