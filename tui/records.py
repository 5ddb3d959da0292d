"""Which screen shows the record behind a figure: that of its part, its position or its crane.

Records are named as the services name them, "offers S/P/new" or several of them with commas
between. A name may hold strokes and commas itself, so a record is looked for among the names that
there are. What belongs to no part, position or crane has no screen and gives None.
"""

from __future__ import annotations

from collections.abc import Iterator

from textual.message import Message

from parts.records.snapshot import Snapshot
from tui.messages import OpenCrane, OpenPart, OpenPosition
from tui.site import Site

OF_PARTS = ("parts ", "movements ", "companions ", "substitutes ", "failures of ")
OF_CRANES = ("cranes ", "needs ", "functions ")
SUPPLIES = ("offers ", "orders ")


def opening(record: str, site: Site) -> Message | None:
    """Return what opens the first record of a term that has a screen."""
    wholes = (record, *record.split(", "))
    return next((found for each in wholes if (found := _opening(each, site))), None)


def _opening(record: str, site: Site) -> Message | None:
    snapshot = site.snapshot
    for word in OF_PARTS:
        if record.startswith(word):
            return _part(record.removeprefix(word), snapshot)
    for word in OF_CRANES:
        if record.startswith(word):
            return _crane(record.removeprefix(word), snapshot)
    if record.startswith("positions "):
        return _position(record.removeprefix("positions "), site)
    if record.startswith(SUPPLIES):
        return _supply(record, snapshot)
    return None


def _part(key: str, snapshot: Snapshot) -> Message | None:
    """Open the part that a key names; of a pair, as of a companion, the second one."""
    return next((OpenPart(tail) for tail in (key, *_tails(key)) if tail in snapshot.parts), None)


def _tails(key: str) -> Iterator[str]:
    return (key[at + 1 :] for at, mark in enumerate(key) if mark == "/")


def _heads(key: str) -> Iterator[str]:
    return (key[:at] for at, mark in enumerate(key) if mark == "/")


def _crane(key: str, snapshot: Snapshot) -> Message | None:
    names = (key, *_heads(key))
    live = (name for name in names if name in snapshot.cranes and snapshot.is_live(name))
    return next((OpenCrane(name) for name in live), None)


def _position(key: str, site: Site) -> Message | None:
    """Open a position, or its crane where the position is in no list, as a bare assembly."""
    crane = next((name for name in _heads(key) if name in site.snapshot.cranes), None)
    if crane is None or not site.snapshot.is_live(crane):
        return None
    position = key[len(crane) + 1 :]
    return OpenPosition(crane, position) if site.lists(crane, position) else OpenCrane(crane)


def _supply(record: str, snapshot: Snapshot) -> Message | None:
    """Open the part of an offer or an order: one of the names between the strokes."""
    for row in snapshot.offers:
        key = f"offers {row.supplier}/{row.part}/{row.kind}"
        if record.startswith(key) and record[len(key) :][:1] in ("", "/"):
            return OpenPart(row.part)
    for order in snapshot.orders:
        if record == f"orders {order.order}/{order.part}":
            return OpenPart(order.part)
    return None
