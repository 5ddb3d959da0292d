"""Last orders, reorder points, late orders and enquiries as sentences and cells.

Knows those answers and how somebody in purchasing would say them; refuses to know widgets.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from parts.records.purchase_answers import Deadline, LastBuyAnswer, LotAnswer, OnPaper, ReorderLine
from parts.records.shares import percent
from tui import formats
from tui.risk_sentences import figure


def sure(chance: float | None) -> str:
    """Return a chance in whole percent."""
    return formats.NOT_KNOWN if chance is None else percent(chance)


def days_left(deadline: Deadline) -> str:
    if deadline.days_left is None:
        return formats.NOT_KNOWN
    return "over" if deadline.days_left < 0 else f"{deadline.days_left:,} d"


def deadline_lines(deadline: Deadline, today: date, currency: str | None) -> Iterator[str]:
    """Return until when a part can be ordered, how many to take, and how sure that is."""
    supplier = deadline.supplier or "nobody who offers it"
    yield f"{deadline.part}  {deadline.description}"
    if deadline.order_by is None:
        yield f"By when to order from {supplier} is not known."
    elif deadline.order_by < today:
        yield f"The day to order from {supplier} was {deadline.order_by}: ask the supplier today."
    else:
        yield f"Order from {supplier} by {deadline.order_by}: {days_left(deadline)} are left."
    yield (
        f"Last order accepted {formats.day(deadline.last_buy_on)}, last shipped "
        f"{formats.day(deadline.last_ship_on)}; it comes within {formats.days(deadline.lead_days)} "
        "as surely as the site has set."
    )
    if deadline.quantity:
        yield (
            f"Take {deadline.quantity:,} for {formats.money(deadline.cost, currency)}: lasts with "
            f"a chance of {sure(deadline.chance_enough)}."
        )
    else:
        yield "Take none."
    if deadline.reason:
        yield f"{deadline.reason[:1].upper()}{deadline.reason[1:]}."


def last_buy_sentence(answer: LastBuyAnswer, currency: str | None) -> str:
    """Return how many to take, and what that rests on."""
    horizon = f"{answer.horizon_years:.3g} years"
    horizon += " (assumed)" if answer.horizon_assumed else ""
    price = "" if answer.unit_price is None else f" at {formats.money(answer.unit_price, currency)}"
    text = f"Take {answer.quantity:,}{f'{price} each' if answer.quantity and price else ''}"
    text += (
        f": {figure(answer.rate)} a year are used up for {horizon}; in store and on order: "
        f"{answer.on_hand:,}."
    )
    if answer.reason:
        text += f" {answer.reason[:1].upper()}{answer.reason[1:]}."
    if answer.units_to_last is not None:
        text += (
            f" Then all lasts with a chance of {sure(answer.chance_enough)}; for "
            f"{sure(answer.confidence)} it would take {answer.units_to_last:,}."
        )
    return text


def lot_sentence(lot: LotAnswer, advised: int, currency: str | None) -> str:
    """Return what a whole lot comes to, beside the advised one."""
    beside = {-1: "One fewer", 0: "Advised", 1: "One more"}.get(lot.units - advised, "Otherwise")
    return (
        f"{beside}, {lot.units:,}: saves {formats.money(lot.saving, currency)}, costs "
        f"{formats.money(lot.cost, currency)}, gains {formats.money(lot.gain, currency)}, lasts "
        f"with a chance of {sure(lot.chance_enough)}."
    )


def paper_sentence(order: OnPaper, currency: str | None) -> str:
    """Return the order as one period, with what it takes to redo it on paper."""
    short, over, cost = (
        formats.money(each, currency)
        for each in (order.short_cost, order.over_cost, order.expected_cost)
    )
    return (
        f"On paper, {order.quantity:,}: a unit short costs {short}, one left over {over}, critical "
        f"ratio {order.ratio:.4f}; of {figure(order.asked)} more asked for, "
        f"{figure(order.expected_short)} short and {figure(order.expected_left)} left over, at "
        f"{cost}. Without interest, keeping, shelf life, least lot and order cost."
    )


def reorder_lines(line: ReorderLine, currency: str | None) -> Iterator[str]:
    """Return what is due of a part, and the limits beside the site's own."""
    yield f"{line.part}  {line.description}"
    if line.order_now:
        source = f" from {line.supplier}" if line.supplier else ""
        cost = "" if line.cost is None else f" for {formats.money(line.cost, currency)}"
        yield f"Order {line.order_now:,} now{source}{cost}."
    if line.why:
        yield line.why
    own = " and ".join(
        f"{name} {limit(units)}"
        for name, units in (("minimum", line.min_stock), ("maximum", line.max_stock))
        if units is not None
    )
    yield (
        f"{again_words(line)}{f'; the site has set {own}' if own else ''}. "
        f"Usable {line.usable:,}, on order {line.on_order:,}."
    )
    yield (
        f"Asked for {figure(line.demand_per_year)} times a year; comes within "
        f"{formats.days(line.lead_days)}{f', {line.lead_from}' if line.lead_from else ''}."
    )
    if line.pooled_with:
        yield f"Figures are those of the pool with {formats.listed(list(line.pooled_with))}."


def again_words(line: ReorderLine) -> str:
    """Return when demand and lead time ask to order a part again."""
    if line.reorder_point is None:
        return "When to order again is not known"
    if line.reorder_point == 0:
        return "At this demand and lead time none has to be kept"
    return f"Order again below {line.reorder_point:,}, up to {limit(line.maximum)}"


def limit(units: int | None) -> str:
    return "-" if units is None else f"{units:,}"
