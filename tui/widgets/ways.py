"""The ways to get a part as lines to read: what can be used first, then what cannot and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.content import Content

from parts.records.answers import HeadStart, WayAnswer
from tui import formats
from tui.widgets.texts import ASSUMED, QUIET, STRONG, said

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
USABLE, UNUSABLE = "●", "×"
DAYS_WIDTH = 9


def way_lines(ways: Iterable[WayAnswer], part: str) -> list[Content]:
    """Return the ways of a part, one paragraph each."""
    return [line for way in ways for line in _way(way, part)]


def _way(way: WayAnswer, part: str) -> list[Content]:
    days = formats.days(way.days_mean).rjust(DAYS_WIDTH)
    mark, style = (USABLE, STRONG) if way.usable else (UNUSABLE, QUIET)
    head = said((f"{mark} {days}  ", style), (_what(way, part), style), _details(way))
    if way.why_not is not None:
        return [head, said((f"{'':13}not usable: {way.why_not}", ""))]
    return [head]


def _what(way: WayAnswer, part: str) -> str:
    words = KINDS.get(way.kind, way.kind)
    if way.part != part:
        return f"{words}: {way.part}"
    return words


def _details(way: WayAnswer) -> Content:
    texts = [_from(way)]
    if way.qty is not None:
        texts.append(f"{way.qty} to be had")
    if way.price is not None:
        texts.append(formats.money(way.price, way.currency))
    if way.usable and way.days_confident is not None and way.days_confident != way.days_mean:
        texts.append(f"{formats.days(way.days_confident)} to be safe")
    plain = ", ".join(text for text in (*texts, *way.notes) if text and text != "assumed")
    mark = [(" (assumed)", ASSUMED)] if "assumed" in way.notes and way.kind != "default" else []
    return said(f", {plain}" if plain else "", *mark)


def _from(way: WayAnswer) -> str:
    route = f"by route {way.route}" if way.route else ""
    where = f"from {way.supplier}" if way.supplier else ""
    source = "" if way.supplier and way.supplier in way.source else way.source
    return " ".join(text for text in (source, where, route) if text)


def head_start_lines(found: Sequence[HeadStart], currency: str | None) -> list[Content]:
    """Return what ordering an operation ahead would save, the best first."""
    ordered = sorted(found, key=lambda start: -start.saves_days)
    return [
        said(
            (f"  {formats.days(start.saves_days).rjust(DAYS_WIDTH)}  ", STRONG),
            f"saved by having done ahead: {formats.listed(start.operations)}",
            f" ({formats.money(start.cost, currency)})" if start.cost is not None else "",
        )
        for start in ordered
        if start.saves_days > 0
    ]
