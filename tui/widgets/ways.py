"""The ways to get a part as lines to read: what can be used first, then what cannot and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from parts.records.answers import HeadStart, WayAnswer
from tui import formats
from tui.widgets.sheet import Pair
from tui.widgets.texts import ASSUMED, STRONG, WARN, said

KINDS = {
    "stock": "in our store",
    "substitute": "another part stands in",
    "order": "on order",
    "new": "buy new",
    "made": "have it made",
    "repair": "have the removed one repaired",
    "used": "buy used",
    "donor": "take from a retired crane",
    "default": "assumed",
}
WHERE = {"store": "in our store"}
"""Where a part that stands in comes from, in the same words as the part itself."""
USABLE, UNUSABLE = "●", "×"
DAYS_WIDTH = 9


def way_pairs(ways: Iterable[WayAnswer], part: str) -> list[Pair]:
    """Return the ways of a part: mark and days, and beside them what the way is."""
    return [_way(way, part) for way in ways]


def _way(way: WayAnswer, part: str) -> Pair:
    days = formats.days(way.days_mean).rjust(DAYS_WIDTH)
    head = " ".join(text for text in (_what(way, part), _from(way)) if text)
    details = f"\n{'; '.join(_details(way))}" if _details(way) else ""
    if way.usable:
        style = ASSUMED if way.kind == "default" else STRONG
        return said((f"{USABLE} {days}", style)), said((head, style), details)
    why = said((f"\nnot usable: {way.why_not}", WARN))
    return said(f"{UNUSABLE} {days}"), said(head, details, why)


def _what(way: WayAnswer, part: str) -> str:
    words = KINDS.get(way.kind, way.kind)
    return words if way.part == part else f"{words}: {way.part}"


def _from(way: WayAnswer) -> str:
    route = f"by route {way.route}" if way.route else ""
    by = "by" if way.kind in ("made", "repair") else "from"
    where = f"{by} {way.supplier}" if way.supplier else ""
    is_said = way.kind == "stock" or (way.supplier and way.supplier in way.source)
    source = "" if is_said else WHERE.get(way.source, way.source)
    return ", ".join(text for text in (source, where, route) if text)


def _details(way: WayAnswer) -> list[str]:
    found = []
    if way.usable and way.days_confident is not None and way.days_confident != way.days_mean:
        found.append(f"allow {formats.days(way.days_confident)} to be safe")
    if way.price is not None:
        found.append(formats.money(way.price, way.currency))
    found += _order_terms(way)
    if way.qty is not None:
        found.append(f"{way.qty} to be had")
    return found + [note for note in way.notes if note != "assumed" or way.kind != "default"]


def _order_terms(way: WayAnswer) -> list[str]:
    """What else an order costs, how many it takes, and what a unit comes to with that."""
    found = [f"at least {way.min_qty}"] if way.min_qty > 1 else []
    if way.order_cost:
        found.append(f"{formats.money(way.order_cost, way.currency)} for the order")
    if way.landed_price is not None and way.order_cost:
        found.append(f"landed {formats.money(way.landed_price, way.currency)} each")
    return found


def head_start_pairs(found: Sequence[HeadStart], currency: str | None) -> list[Pair]:
    """Return what ordering an operation ahead would save, the best first."""
    ordered = sorted(found, key=lambda start: -start.saves_days)
    return [
        (
            said((f"saves {formats.days(start.saves_days).rjust(DAYS_WIDTH)}", STRONG)),
            said(
                f"with {formats.listed(start.operations)} done ahead",
                f", {formats.money(start.cost, currency)}" if start.cost is not None else "",
            ),
        )
        for start in ordered
        if start.saves_days > 0
    ]
