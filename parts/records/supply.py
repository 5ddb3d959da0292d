"""Who can deliver a part, how it is made, what is on order and what has been announced."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from parts.records.fields import amount, day, flag, number, text, whole

UNITS = ("d", "wd", "wk")
OFFER_KINDS = ("new", "made", "repair", "used")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    supplier: str = text(required=True)
    name: str | None = text()
    kind: str | None = text()
    active: bool = flag(True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A supplier's word for one part: price and a three-point lead time in `unit`."""

    supplier: str = text(required=True, refers_to="suppliers")
    part: str = text(required=True, refers_to="parts")
    kind: str = text("new", choices=OFFER_KINDS)
    unit_price: float | None = amount()
    currency: str | None = text()
    order_cost: float = amount(0.0)
    min_qty: int = whole(1, lowest=1)
    low: float | None = amount()
    likely: float | None = amount()
    high: float | None = amount()
    unit: str = text("d", choices=UNITS)
    basis: str | None = text(choices=("quoted", "promised", "achieved", "guessed"))
    quoted_on: date | None = day()
    valid_until: date | None = day()
    route: str | None = text(refers_to="routes")
    approval: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One step of a route, after the operations named in `after`."""

    route: str = text(required=True)
    operation: str = text(required=True)
    after: str | None = text(many=True)
    low: float | None = amount()
    likely: float = amount(required=True)
    high: float | None = amount()
    unit: str = text("d", choices=UNITS)
    ahead: bool | None = flag()
    ahead_cost: float | None = amount()
    ahead_lasts: bool | None = flag()
    done: bool = flag(False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    order: str = text(required=True)
    supplier: str = text(required=True, refers_to="suppliers")
    part: str = text(required=True, refers_to="parts")
    qty: int = whole(required=True, lowest=1)
    ordered_on: date = day(required=True)
    quoted_days: float | None = amount()
    due_on: date | None = day()
    received_on: date | None = day()
    unit_price: float | None = amount()


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency:
    """The site's currency for one unit of this one, on a day."""

    currency: str = text(required=True)
    rate: float = number(required=True, above=0.0)
    dated: date = day(required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """A supplier's word that something changes or ends."""

    part: str = text(required=True, refers_to="parts")
    supplier: str | None = text(refers_to="suppliers")
    notice_on: date = day(required=True)
    kind: str | None = text(choices=("change", "discontinuance"))
    last_buy_on: date | None = day()
    last_ship_on: date | None = day()
    note: str | None = text()
