"""Answers for purchasing and the storeroom, as JSON documents and as lines of text."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from parts.cli.risk_tables import figure
from parts.cli.tables import CAUTION, days, money, table
from parts.records.purchase_answers import (
    Deadline,
    Enquiry,
    LastBuyAnswer,
    LateOrder,
    MarginalUnit,
    OnPaper,
    ReorderLine,
)
from parts.records.shares import percent

Document = dict[str, Any]


def last_buy_document(answer: LastBuyAnswer) -> Document:
    return _plain(asdict(answer))


def last_buy_lines(answer: LastBuyAnswer, currency: str | None = None) -> list[str]:
    """The quantity, what it rests on, unit by unit, and one fewer or more."""
    lines = [_advice(answer, currency), ""]
    lines += [f"  {term.name}: {term.value}" for term in answer.terms]
    lines += [f"  note: {note}" for note in answer.notes]
    if answer.marginal:
        lines += ["", f"Unit by unit, in today's money ({currency or 'no currency set'}):"]
        lines += table(("unit", "saves", "costs", "worth it"), map(_unit, answer.marginal), "rrrl")
    for lot in answer.beside:
        mark = "  <- advised" if lot.units == answer.quantity else ""
        lines.append(
            f"  {lot.units} bought: saves {money(lot.saving)}, costs {money(lot.cost)}, gains "
            f"{money(lot.gain)}, lasts with {_share(lot.chance_enough)}{mark}"
        )
    if answer.on_paper is not None:
        lines += ["", _paper(answer.on_paper)]
    return [*lines, "", CAUTION]


def _paper(order: OnPaper) -> str:
    return (
        f"On paper: a unit short costs {money(order.short_cost)}, a unit left over "
        f"{money(order.over_cost)}, critical ratio {order.ratio:.4f}: buy {order.quantity}, as one "
        f"period in which {figure(order.asked)} more are asked for; then "
        f"{figure(order.expected_short)} are short and {figure(order.expected_left)} left over on "
        f"average, at {money(order.expected_cost)}. Interest, keeping, shelf life, least lot and "
        "order cost are left out."
    )


def _advice(answer: LastBuyAnswer, currency: str | None) -> str:
    horizon = f"{answer.horizon_years:.1f} years{' (assumed)' if answer.horizon_assumed else ''}"
    asked = f"{figure(answer.rate)} a year for {horizon}, {answer.on_hand} in store and on order"
    price = "" if answer.unit_price is None else f" at {money(answer.unit_price, currency)} each"
    text = f"{answer.part}: buy {answer.quantity}{price if answer.quantity else ''}; {asked}"
    if answer.reason:
        text += f"; {answer.reason}"
    if answer.units_to_last is not None:
        text += (
            f"; to last with {percent(answer.confidence)} it would take {answer.units_to_last}, "
            f"the quantity lasts with {_share(answer.chance_enough)}"
        )
    return f"{text}."


def _unit(each: MarginalUnit) -> tuple[str, ...]:
    return str(each.n), money(each.saving), money(each.cost), "yes" if each.worth else "no"


def _share(chance: float | None) -> str:
    return "not known" if chance is None else percent(chance)


def deadlines_document(found: tuple[Deadline, ...]) -> Document:
    return {"deadlines": [_plain(asdict(each)) for each in found]}


def deadlines_lines(found: tuple[Deadline, ...], currency: str | None = None) -> list[str]:
    if not found:
        return ["No last day is known for any part that is still asked for."]
    header = ("part", "order by", "days left", "last buy", "last ship", "buy",
              f"cost {currency or ''}".strip(), "lasts", "supplier")  # fmt: skip
    lines = table(header, map(_deadline, found), "llrllrrrl")
    lines += [f"{each.part}: {each.reason}" for each in found if each.reason]
    for each in found:
        if each.days_left is not None and each.days_left < 0:
            lines.append(f"{each.part}: that day has passed; ask the supplier today")
    return [*lines, "", CAUTION]


def _deadline(each: Deadline) -> tuple[str, ...]:
    return (
        each.part,
        _day(each.order_by),
        "" if each.days_left is None else str(each.days_left),
        _day(each.last_buy_on),
        _day(each.last_ship_on),
        str(each.quantity),
        "" if each.cost is None else money(each.cost),
        _share(each.chance_enough),
        each.supplier or "nobody offers it",
    )


def reorder_document(found: tuple[ReorderLine, ...]) -> Document:
    return {"parts": [_plain(asdict(each)) for each in found]}


def reorder_lines(found: tuple[ReorderLine, ...], first: int | None = None) -> list[str]:
    if not found:
        return ["No part is asked for, kept or limited."]
    header = ("part", "a year", "lead d", "point", "max", "site min", "site max", "usable",
              "ordered", "order now", "from")  # fmt: skip
    lines = ["Order again when usable and ordered units fall below the point:"]
    lines += table(header, map(_reorder, found[:first]), "lrrrrrrrrrl")
    if first is not None and len(found) > first:
        lines.append(f"... and {len(found) - first} more (--all shows them)")
    lines += [f"{each.part}: {each.why}" for each in found if each.below is not None]
    return [*lines, "", CAUTION]


def _reorder(each: ReorderLine) -> tuple[str, ...]:
    limits = (each.reorder_point, each.maximum, each.min_stock, each.max_stock)
    return (
        each.part,
        figure(each.demand_per_year),
        days(each.lead_days),
        *("" if limit is None else str(limit) for limit in limits),
        str(each.usable),
        str(each.on_order),
        str(each.order_now or ""),
        each.supplier or "",
    )


def late_orders_document(found: tuple[LateOrder, ...]) -> Document:
    return {"orders": [_plain(asdict(each)) for each in found]}


def late_orders_lines(found: tuple[LateOrder, ...]) -> list[str]:
    if not found:
        return ["Every open order is coming as promised, as far as is known."]
    header = ("order", "part", "supplier", "open", "ordered", "promised", "what")
    return table(header, map(_late_order, found), "lllrlll")


def _late_order(each: LateOrder) -> tuple[str, ...]:
    return (
        each.order,
        each.part,
        each.supplier,
        str(each.open_qty),
        _day(each.ordered_on),
        _day(each.due_on),
        each.sentence,
    )


def enquiries_document(found: tuple[Enquiry, ...]) -> Document:
    return {"suppliers": [_plain(asdict(each)) for each in found]}


def enquiries_lines(found: tuple[Enquiry, ...]) -> list[str]:
    if not found:
        return ["There is nothing to ask any supplier."]
    return list(_asked(found))


def _asked(found: Iterable[Enquiry]) -> Iterator[str]:
    for each in found:
        yield f"{each.supplier}{f' ({each.name})' if each.name else ''}:"
        for line in each.lines:
            yield f"  {line.part}: {line.sentence} [{line.record}]"


def _day(day: datetime.date | None) -> str:
    return "" if day is None else day.isoformat()


def _plain(document: Document) -> Document:
    """Dates as ISO strings."""
    return {
        key: value.isoformat() if isinstance(value, datetime.date) else value
        for key, value in document.items()
    }
