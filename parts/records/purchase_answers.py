"""The answers for purchasing and the storeroom: frozen results, as in `answers`.

Money is in the site's currency, days are calendar days; None = not known. Every line names the
record that it rests on.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.answers import Term


@dataclass(frozen=True, slots=True)
class MarginalUnit:
    """The n-th unit of a last order: what it saves and costs, in today's money."""

    n: int
    saving: float
    cost: float
    worth: bool


@dataclass(frozen=True, slots=True)
class LotAnswer:
    """A whole lot: what it saves and costs, order cost included, and the chance that it lasts."""

    units: int
    saving: float
    cost: float
    gain: float
    chance_enough: float


@dataclass(frozen=True, slots=True)
class OnPaper:
    """A last order as one period, to be redone on paper: the unit that is as likely to be short as
    it is dear to be left over.

    Beside what is in store and on order, `asked` units are expected; `ratio` = short_cost /
    (short_cost + over_cost). Interest, keeping, shelf life, least lot and order cost are left out.
    """

    short_cost: float
    over_cost: float
    ratio: float
    asked: float
    quantity: int
    expected_short: float
    expected_left: float
    expected_cost: float


@dataclass(frozen=True, slots=True)
class LastBuyAnswer:
    """How many to buy while a part can still be had.

    `rate` is units a year today, `on_hand` what is in store and on order. `beside` are the lots of
    one fewer, the quantity itself and one more. `units_to_last` would last with the site's
    `confidence`, whatever they cost. `reason` says why the quantity is 0. `chance_enough` is None
    where so much is asked for that counting ends.
    """

    part: str
    horizon_years: float
    horizon_assumed: bool
    rate: float
    description: str = ""
    rate_uncertain: bool = False
    on_hand: int = 0
    quantity: int = 0
    marginal: tuple[MarginalUnit, ...] = ()
    beside: tuple[LotAnswer, ...] = ()
    on_paper: OnPaper | None = None
    chance_enough: float | None = None
    confidence: float = 0.0
    units_to_last: int | None = None
    supplier: str | None = None
    unit_price: float | None = None
    min_qty: int | None = None
    order_cost: float | None = None
    value_per_unit: float | None = None
    next_best: str | None = None
    next_best_days: float | None = None
    terms: tuple[Term, ...] = ()
    notes: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Deadline:
    """A part that can still be ordered, until a day that is known.

    `order_by` is the last worked day on which an order still comes through; `days_left` is below
    0 where it has passed and only the supplier can tell. `lead_days` is the lead time at the
    site's confidence.
    """

    part: str
    description: str
    supplier: str | None
    last_buy_on: datetime.date | None
    last_ship_on: datetime.date | None
    lead_days: float | None
    order_by: datetime.date | None
    days_left: int | None
    quantity: int
    cost: float | None
    chance_enough: float | None
    reason: str
    record: str


@dataclass(frozen=True, slots=True)
class ReorderLine:
    """When to order a part again, and up to what.

    Ordering again as soon as usable stock and counted orders fall below `reorder_point` keeps the
    units asked for within a lead time covered with the site's confidence. `min_stock` and
    `max_stock` are the site's own, which go first. Figures of parts that stand in for each other
    are those of the pool; `pooled_with` names the others. `below` is the limit that stock has
    fallen below, None where it has not; `order_now` is 0 where nothing is due or to be had.
    """

    part: str
    description: str
    demand_per_year: float
    lead_days: float | None
    lead_from: str
    reorder_point: int | None
    maximum: int | None
    min_stock: int | None
    max_stock: int | None
    usable: int
    on_order: int
    below: int | None
    order_now: int
    supplier: str | None
    cost: float | None
    why: str
    record: str
    pooled_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LateOrder:
    """An open order that is not coming as it was promised.

    `due_on` is the latest promise; `days_overdue` counts from it, `days_late` from what the
    quotation promised to the later of the promise and today.
    """

    order: str
    part: str
    supplier: str
    open_qty: int
    ordered_on: datetime.date
    due_on: datetime.date | None
    days_overdue: int
    days_late: float | None
    sentence: str
    record: str


@dataclass(frozen=True, slots=True)
class EnquiryLine:
    """One thing to ask a supplier; `about` is quotation, price, only source or head start."""

    part: str
    about: str
    sentence: str
    record: str


@dataclass(frozen=True, slots=True)
class Enquiry:
    """All that one supplier is to be asked."""

    supplier: str
    name: str
    lines: tuple[EnquiryLine, ...]
