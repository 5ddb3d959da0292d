"""Where the record behind a figure leads, however odd the names in it are."""

from __future__ import annotations

import pytest
from textual.message import Message

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.snapshot import snapshot_of
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Order, Supplier
from tests.tui.small_site import TODAY
from tui.records import opening
from tui.site import Site


@pytest.fixture(scope="module")
def site() -> Site:
    book = Book()
    book["cranes"].extend([Crane(crane="K/1"), Crane(crane="OLD", retire_on=TODAY)])
    book["parts"].extend([Part(part="A/B"), Part(part="C, D"), Part(part="new")])
    book["suppliers"].append(Supplier(supplier="one/two"))
    book["offers"].extend(
        [
            Offer(supplier="one/two", part="A/B", likely=1.0),
            Offer(supplier="one/two", part="new", kind="made", route="r/s"),
        ]
    )
    book["orders"].append(
        Order(order="7/8", part="C, D", supplier="one/two", qty=1, ordered_on=TODAY)
    )
    book["positions"].extend(
        [
            Position(crane="K/1", position="drum/left", part="A/B"),
            Position(crane="OLD", position="drum", part="A/B"),
        ]
    )
    return Site(snapshot_of(book, TODAY))


def names_in(message: Message | None) -> str:
    """Return the names that a message carries, crane before position."""
    carried = (getattr(message, name, None) for name in ("crane", "position", "part"))
    return " ".join(name for name in carried if name)


@pytest.mark.parametrize(
    ("record", "leads_to"),
    [
        ("", ""),
        ("classes drums", ""),
        ("parts A/B", "A/B"),
        ("parts C, D", "C, D"),
        ("parts gone", ""),
        ("movements new", "new"),
        ("failures of new", "new"),
        ("companions new/A/B", "A/B"),
        ("substitutes A/B/C, D", "C, D"),
        ("offers one/two/A/B/new", "A/B"),
        ("offers one/two/new/made/r/s", "new"),
        ("orders 7/8/C, D", "C, D"),
        ("positions K/1/drum/left", "K/1 drum/left"),
        ("positions OLD/drum", ""),
        ("positions K/1/gone", "K/1"),
        ("needs K/1", "K/1"),
        ("functions K/1/hoisting", "K/1"),
        ("cranes OLD", ""),
        ("scores age, parts A/B", "A/B"),
        ("scores age, classes drums", ""),
    ],
)
def test_a_record_leads_to_its_part_position_or_crane(
    site: Site, record: str, leads_to: str
) -> None:
    assert names_in(opening(record, site)) == leads_to
