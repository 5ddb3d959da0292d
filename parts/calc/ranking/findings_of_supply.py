"""Findings on who delivers: load-bearing parts, offers, orders, stock, numbers, classes."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from parts.calc.buying.reorder import Reorders
from parts.calc.failing.outages import FleetOutage
from parts.calc.getting.storage_care import care_due
from parts.calc.getting.ways import Way
from parts.calc.ranking.exposures import Exposures
from parts.records.answers import Finding
from parts.records.shown import searchable
from parts.records.states import Severity

PRACTICE = "common practice, no source"
OLD_QUOTE_DAYS = 365


def finding(
    rule: str,
    severity: Severity,
    text: str,
    *,
    crane: str | None = None,
    position: str | None = None,
    part: str | None = None,
    source: str = PRACTICE,
) -> Finding:
    return Finding(rule, severity, crane, position, part, text, source)


def ways_at_positions(outage: FleetOutage) -> Iterator[Finding]:
    """Positions whose part cannot be had, or only in ways that may not bear load."""
    fleet, positions = outage.fleet, outage.snapshot.positions
    for row in np.flatnonzero(fleet.live & fleet.has_part).tolist():
        part, bearing = positions.part[row] or "", bool(fleet.load_bearing[row])
        place = {"crane": positions.crane[row], "position": positions.position[row], "part": part}
        if bearing and _only_unapproved(outage, part):
            yield finding(
                "unapproved_only_source", Severity.DANGER,
                f"{part} bears load here and every way to get it lacks a recorded approval; "
                "a qualified person decides on each",
                **place,
            )  # fmt: skip
        if outage.exchanges.chosen(part, bearing)[0] is None:
            rank = outage.rank_of(place["crane"], place["position"])
            restorable = outage.row(rank).restore_days is not None
            yield finding(
                "no_way",
                Severity.NOTE if restorable else Severity.WARNING,
                f"no usable way to get {part} and no default lead time"
                + ("; only the assembly around it can be had" if restorable else ""),
                **place,
            )


def _only_unapproved(outage: FleetOutage, part: str) -> bool:
    supplies = outage.exchanges.supplies
    if supplies.usable(part, load_bearing=True):
        return False
    if any(
        supplies.stand_in_lots(each, load_bearing=True)
        for each in supplies.stand_ins(part, load_bearing=True)
    ):
        return False
    blocked = supplies.usable(part, load_bearing=False)
    stand_ins = supplies.stand_ins(part, load_bearing=False)
    return bool(blocked) or any(supplies.stand_in_lots(each, False) for each in stand_ins)


def offers(outage: FleetOutage) -> Iterator[Finding]:
    snapshot = outage.snapshot
    for row in snapshot.offers:
        if not snapshot.suppliers[row.supplier].active:
            text = f"{row.supplier} is closed but still listed with an offer for {row.part}"
            yield finding("closed_supplier", Severity.WARNING, text, part=row.part)
        elif row.quoted_on and (snapshot.today - row.quoted_on).days > OLD_QUOTE_DAYS:
            text = f"quotation of {row.supplier} for {row.part} is of {row.quoted_on}; ask again"
            yield finding("old_quote", Severity.NOTE, text, part=row.part)


def orders(outage: FleetOutage) -> Iterator[Finding]:
    snapshot, market = outage.snapshot, outage.market
    for row in snapshot.orders:
        if row.received_on is not None:
            continue
        way = next((each for each in market.ways(row.part) if _is_order(each, row.order)), None)
        if way is None or way.qty == 0 or way.days >= 0:
            continue
        text = f"order {row.order} of {row.part} from {row.supplier} is {-way.days:g} days overdue"
        waited = (snapshot.today - row.ordered_on).days
        if row.quoted_days is not None and waited > row.quoted_days:
            text += (
                f", {waited - row.quoted_days:g} days beyond its quotation: the supplier's "
                "correction does not know this yet"
            )
        yield finding("overdue_order", Severity.WARNING, text, part=row.part)


def _is_order(way: Way, order: str) -> bool:
    return way.kind == "order" and way.source == f"order {order}"


def stock(outage: FleetOutage) -> Iterator[Finding]:
    snapshot, market = outage.snapshot, outage.market
    for part, held in sorted(market.stock.items()):
        row = snapshot.parts[part]
        if expired := held.expired(snapshot.today):
            text = f"{expired} of {part} in store past shelf life: not for use, set it aside"
            yield finding("past_shelf_life", Severity.WARNING, text, part=part)
        undated = sum(
            qty for (_, expires_on, held_as), qty in held.lots.items()
            if expires_on is None and held_as == "usable"
        )  # fmt: skip
        if row.shelf_life_months is not None and undated > 0:
            text = f"{undated} of {part} in store without a date, though it ages on the shelf"
            yield finding("shelf_life_undated", Severity.NOTE, text, part=part)
    for due in care_due(snapshot, market.stock):
        yield finding(
            "care_due", Severity.NOTE,
            f"{due.qty} of {due.part} in {due.store or 'store'} untouched since {due.since}: care "
            f"is due every {due.every_months:g} months (turning, re-forming, inspecting)",
            part=due.part, source=due.source or PRACTICE,
        )  # fmt: skip


def below_reorder_point(exposures: Exposures) -> Iterator[Finding]:
    """Parts below the site's minimum or, where it has none, below their reorder point."""
    reorders = Reorders(exposures)
    for part in exposures.snapshot.parts:
        line = reorders.line(part)
        if line.below is None:
            continue
        held = f"{line.usable} usable and {line.on_order} on order"
        if line.min_stock is not None:
            text = f"{held}, below the minimum of {line.below}"
            yield finding("below_reorder_point", Severity.WARNING, text, part=part)
        else:
            text = (
                f"{held}, below the reorder point of {line.below}: {line.demand_per_year:.2g} a "
                f"year and {line.lead_days:.0f} days, {line.lead_from}"
            )
            yield finding("below_reorder_point", Severity.NOTE, text, part=part)


def _counted_orders(outage: FleetOutage, part: str) -> list[Way]:
    return [w for w in outage.market.ways(part) if w.kind == "order" and w.why_not is None]


def not_reordered(outage: FleetOutage) -> Iterator[Finding]:
    """Issued since the last order, used somewhere, and nothing on its way."""
    for part, last in issued_and_not_ordered(outage):
        text = f"{part} was issued on {last} and nothing has been ordered since"
        yield finding("not_reordered", Severity.WARNING, text, part=part)


def issued_and_not_ordered(outage: FleetOutage) -> Iterator[tuple[str, datetime.date]]:
    """Such parts, each with the day of its last issue."""
    snapshot = outage.snapshot
    undone = {row.reverses for row in snapshot.movements if row.reverses}
    used = outage.fleet.live_parts | {
        row.companion for row in snapshot.companions if row.part in outage.fleet.live_parts
    }
    issued: dict[str, datetime.date] = {}
    ordered: dict[str, datetime.date] = {}
    for movement in snapshot.movements:
        if movement.kind == "issue" and movement.key not in undone:
            issued[movement.part] = max(movement.date, issued.get(movement.part, movement.date))
    for order in snapshot.orders:
        ordered[order.part] = max(order.ordered_on, ordered.get(order.part, order.ordered_on))
    for part, last in sorted(issued.items()):
        behind = part not in ordered or last > ordered[part]
        if behind and part in used and not _counted_orders(outage, part):
            yield part, last


def numbers(outage: FleetOutage) -> Iterator[Finding]:
    """Parts that are probably one: numbers equal but for case and marks."""
    snapshot = outage.snapshot
    called: dict[str, dict[str, str]] = defaultdict(dict)
    for part in snapshot.parts:
        called[searchable(part)][part] = part
    for row in snapshot.part_numbers:
        called[searchable(row.number)].setdefault(row.part, row.number)
    for bare, by_part in called.items():
        first, *others = sorted(by_part)
        for other in others if bare else ():
            text = (
                f"{first} ({by_part[first]}) and {other} ({by_part[other]}) are probably the "
                "same part; somebody who knows them decides"
            )
            yield finding("same_part", Severity.NOTE, text, part=first)


def classes(outage: FleetOutage) -> Iterator[Finding]:
    snapshot = outage.snapshot
    for part, row in snapshot.parts.items():
        if row.part_class is not None and row.part_class not in snapshot.classes:
            text = f"{part} is of class {row.part_class}, which has no defaults"
            yield finding("unknown_class", Severity.NOTE, text, part=part)
