"""A delivery: what must be known before it may be put away, and what it does to its order."""

from __future__ import annotations

from dataclasses import replace

from parts.calc.getting.stock import USABLE
from parts.calc.stockroom.facts import Facts
from parts.errors import StepRefused
from parts.records.stock_steps import Edit, Step


def put_away(step: Step, facts: Facts) -> tuple[str | None, str | None, tuple[str, ...]]:
    """The condition that it is put away in, its note, and what the person should know.

    A part that bears load needs its certificate, one that ages its last day; without them a
    delivery goes into quarantine.
    """
    condition = step.condition or USABLE
    months = facts.part.shelf_life_months
    if condition == USABLE and months is not None and step.expires_on is None:
        raise StepRefused(
            "expires_on",
            f"{step.part} keeps {months:g} months: say until when this one may be used, or put it "
            "in quarantine",
        )
    if condition == USABLE and step.expires_on is not None and step.expires_on < facts.today:
        raise StepRefused(
            "expires_on", f"it expired on {step.expires_on}: put it in quarantine or send it back"
        )
    if condition == USABLE and facts.load_bearing and not step.certificate:
        raise StepRefused(
            "certificate",
            f"{step.part} bears load: give the number of its certificate, or put it in quarantine",
        )
    held = f"in {condition.replace('_', ' ')}: not counted as usable until it is released"
    notes = () if condition == USABLE else (held,)
    return (None if condition == USABLE else condition), noted(step), notes


def noted(step: Step) -> str | None:
    """What a receipt keeps as its note: the number of the certificate before the person's own."""
    told = f"certificate {step.certificate}" if step.certificate else None
    return "; ".join(text for text in (told, step.note) if text) or None


def order_edits(step: Step, facts: Facts) -> tuple[tuple[Edit, ...], tuple[str, ...]]:
    """The order that a delivery belongs to: closed when all of it is here.

    The day on which it closes is what its supplier's lead times are learnt from.
    """
    if step.order is None:
        return (), ()
    order = next(row for row in facts.orders if row.order == step.order)
    if order.received_on is not None:
        if order.received_on > facts.today:
            raise StepRefused(
                "order",
                f"order {step.order} is on record as received on {order.received_on}, which lies "
                "ahead; take that day out of the order first",
            )
        raise StepRefused(
            "order", f"order {step.order} was received in full on {order.received_on}"
        )
    if step.date < order.ordered_on:
        raise StepRefused("date", f"order {step.order} was placed later, on {order.ordered_on}")
    before = facts.received(step.order)
    left = order.qty - before - step.qty
    if left < 0 and not step.over:
        raise StepRefused(
            "qty",
            f"order {step.order}: {order.qty} ordered, {before} received, {step.qty} now: {-left} "
            "too many; send them back, or say that they are kept",
        )
    if left > 0:
        return (), (f"{before + step.qty} of {order.qty} received, {left} to come",)
    notes = [f"order {step.order} is complete"]
    if order.due_on is not None and step.date != order.due_on:
        days = (step.date - order.due_on).days
        told = "1 day" if abs(days) == 1 else f"{abs(days)} days"
        notes.append(f"{told} {'later' if days > 0 else 'sooner'} than due")
    if left < 0:
        notes.append(f"{-left} more than ordered")
    closed = replace(order, received_on=step.date)
    return (Edit("orders", order, closed),), tuple(notes)
