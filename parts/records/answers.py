"""The answers: frozen results that a screen, a table and a JSON document show alike.

They hold facts and sentences, never objects of the database. Days are calendar days, money is in
the site's currency, shares run from 0 to 1; None = not known.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from parts.records.risk_answers import PositionRisk
from parts.records.states import Severity, State


@dataclass(frozen=True, slots=True)
class Step:
    """One link of a long pole; `record` names the row it comes from, such as `offers S1/P7`."""

    step: str
    days: float
    assumed: bool = False
    record: str = ""


@dataclass(frozen=True, slots=True)
class PositionOutage:
    """What follows when one position fails today.

    `replaced` is the position that is exchanged (itself or an assembly above it) and `fitted` the
    part that goes in; `waits_for` names the part and the way that set the date, `setting_part` the
    part alone. `assumed` tells
    that a lead time is an assumption, `hours_assumed` that the hands-on hours are the site's
    default. `reason` says why `restore_days` is not known.
    """

    crane: str
    position: str
    part: str | None
    description: str
    state: State
    lost_share: float
    restore_days: float | None
    hands_on_days: float | None
    lost_days: float | None
    cost: float | None
    assumed: bool
    hours_assumed: bool
    load_bearing: bool
    decide: str | None
    replaced: str
    fitted: str | None
    functions_lost: tuple[str, ...]
    long_pole: tuple[Step, ...]
    waits_for: str = ""
    reason: str = ""
    confident_days: float | None = None
    setting_part: str | None = None


@dataclass(frozen=True, slots=True)
class CraneOutage:
    """One crane on the fleet list, with the position that would leave it down longest."""

    crane: str
    name: str
    bay: str
    positions: int
    worst: PositionOutage | None
    unknown: int


@dataclass(frozen=True, slots=True)
class TogetherOutage:
    """One crane of a set of positions that fail together."""

    crane: str
    state: State
    lost_share: float
    restore_days: float | None
    lost_days: float | None
    cost: float | None
    functions_lost: tuple[str, ...]
    exchanges: tuple[Exchange, ...]


@dataclass(frozen=True, slots=True)
class Exchange:
    """One exchange within a set: which failed positions it restores, and when."""

    replaced: str
    fitted: str | None
    covers: tuple[str, ...]
    restore_days: float | None
    assumed: bool
    long_pole: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class WayAnswer:
    """One means of getting a part; qty None = no limit. `notes` are flags, not refusals.

    An offer takes orders of `min_qty` units or more and costs `order_cost` for each order;
    `landed_price` is what a unit comes to with its share of that, in the least order that has
    the units asked for.
    """

    part: str
    source: str
    kind: str
    supplier: str | None
    route: str | None
    qty: int | None
    days_mean: float | None
    days_confident: float | None
    price: float | None
    currency: str | None
    usable: bool
    why_not: str | None
    notes: tuple[str, ...] = ()
    min_qty: int = 1
    order_cost: float | None = None
    landed_price: float | None = None


@dataclass(frozen=True, slots=True)
class OperationAnswer:
    """One operation of a route on its mean dates; days from ordering."""

    operation: str
    start: float
    finish: float
    slack: float
    critical: bool
    done: bool


@dataclass(frozen=True, slots=True)
class HeadStart:
    """What ordering an operation, with all that comes before it, ahead of need would save."""

    operation: str
    operations: tuple[str, ...]
    saves_days: float
    cost: float | None


@dataclass(frozen=True, slots=True)
class RouteAnswer:
    route: str
    mean_critical_path: float
    simulated_mean: float
    operations: tuple[OperationAnswer, ...]
    head_starts: tuple[HeadStart, ...]


@dataclass(frozen=True, slots=True)
class LeadTimeAnswer:
    """Every way to get `qty` units of a part today, and the day on which they are together."""

    part: str
    qty: int
    days_mean: float | None
    days_confident: float | None
    confidence: float
    assumed: bool
    ways: tuple[WayAnswer, ...]
    route: RouteAnswer | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Term:
    """One term of an explanation: its name, its figure as a sentence, the record behind it."""

    name: str
    value: str
    record: str = ""


@dataclass(frozen=True, slots=True)
class Explanation:
    """How a figure came about, term by term."""

    subject: str
    sentence: str
    terms: tuple[Term, ...]
    outage: PositionOutage | None = None
    risk: PositionRisk | None = None
    lead_time: LeadTimeAnswer | None = None
    where_used: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """What a careful person would want to know, with its reason and where that comes from."""

    rule: str
    severity: Severity
    crane: str | None
    position: str | None
    part: str | None
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing in a site book that cannot be right: where it stands and why.

    `where` is what a person opens ("parts.csv"), `file` the file of the site book ("parts").
    """

    where: str
    row: int | None
    column: str | None
    value: str
    reason: str
    file: str = ""

    def sentence(self) -> str:
        row = f" row {self.row}" if self.row is not None else ""
        column = f" column {self.column}" if self.column is not None else ""
        return f"{self.where}{row}{column}: {self.reason}"


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What loading a site book did or would do, file by file."""

    faults: tuple[Fault, ...] = ()
    added: dict[str, int] = field(default_factory=dict)
    updated: dict[str, int] = field(default_factory=dict)
    unchanged: dict[str, int] = field(default_factory=dict)
    written: bool = False
