"""The site that the screens show: one snapshot, its outages reckoned once, and what is marked.

Every question that a screen may ask is one call of a service here; nothing is reckoned on this
side. The services are loaded by the first question, in a worker, so that no screen waits for them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Literal

from parts.records.answers import (
    CraneOutage,
    Explanation,
    Finding,
    LeadTimeAnswer,
    PositionOutage,
    TogetherOutage,
)
from parts.records.comparison_answers import ComparisonAnswer
from parts.records.find_answers import FindAnswer, Held
from parts.records.picture_answers import AgesAnswer, HeatAnswer, SupplierDays
from parts.records.plan_answers import ForecastAnswer, PlanAnswer
from parts.records.purchase_answers import (
    Deadline,
    Enquiry,
    LastBuyAnswer,
    LateOrder,
    ReorderLine,
)
from parts.records.risk_answers import CraneRisk, DutyAnswer, PartOutlook, PartRisk
from parts.records.supply import Offer
from parts.records.today_answers import TodayAnswer
from parts.records.what_if_answers import Question, WhatIfAnswer
from tui.doing import step

if TYPE_CHECKING:
    from parts.calc.buying.plans import Plans
    from parts.calc.finding.index import Index
    from parts.calc.needs.graphs import NeedsGraph
    from parts.calc.ranking.exposures import Exposures
    from parts.records.snapshot import Snapshot
    from parts.records.stock import Movement
    from parts.services.pictures import By, Unit
    from parts.services.today import LastCounted

ROWS_KEPT = 512
LARGE = 2_000
"""So many positions and parts are set aside from the rounds of Python's collector."""
Place = tuple[str, str]
"""A crane and a position on it."""
Ranking = Literal["exposure", "supply"]


class Site:
    """One site on one day."""

    def __init__(self, snapshot: Snapshot) -> None:
        from parts.services import outages

        step("Reckoning the outages")
        self.snapshot = snapshot
        self.fleet = outages.outage(snapshot)
        self.marked: dict[Place, None] = {}
        self.outage_at = lru_cache(ROWS_KEPT)(self.fleet.row)
        self._rankings: dict[Ranking, tuple[PartRisk, ...]] = {}
        self._needs_of_today: TodayAnswer | None = None
        self._listing = Lock()
        self._comparisons: dict[float | None, ComparisonAnswer] = {}
        self._comparing = Lock()
        self._once, self._planning, self._finding = Lock(), Lock(), Lock()
        self._set_aside()

    def _set_aside(self) -> None:
        """Keep what was built of a large site from stopping a keystroke."""
        from parts.services.collector import set_aside

        if len(self.snapshot.positions) + len(self.snapshot.parts) >= LARGE:
            set_aside()

    @property
    def currency(self) -> str | None:
        return self.snapshot.site.currency

    @cached_property
    def cranes(self) -> tuple[CraneOutage, ...]:
        """The live cranes, the longest pole first, those without positions last."""
        ranked = self.fleet.cranes
        missing = {name for name in self.snapshot.cranes if self.snapshot.is_live(name)}
        missing -= {crane.crane for crane in ranked}
        rows = (self.snapshot.cranes[name] for name in sorted(missing))
        bare = (CraneOutage(r.crane, r.name or "", r.bay or "", 0, None, 0) for r in rows)
        return (*ranked, *bare)

    @cached_property
    def retired(self) -> int:
        """How many cranes are out of use and left out."""
        return sum(not self.snapshot.is_live(name) for name in self.snapshot.cranes)

    def crane_title(self, crane: str) -> str:
        """Return the crane's tag with its name and bay."""
        row = self.snapshot.cranes[crane]
        bay = f"bay {row.bay}" if row.bay and "bay" not in row.bay.casefold() else row.bay
        return ", ".join(text for text in (crane, row.name, bay) if text)

    def outage_of(self, crane: str, position: str) -> PositionOutage:
        return self.outage_at(self.fleet.rank_of(crane, position))

    def lists(self, crane: str, position: str) -> bool:
        """Return whether a position has an outage to show."""
        try:
            self.fleet.rank_of(crane, position)
        except KeyError:
            return False
        return True

    def matching(self, text: str) -> Sequence[int]:
        return self.fleet.matching(text)

    def find(self, text: str) -> FindAnswer:
        """Return what a text finds; the first question lays everything out."""
        from parts.services import finding

        with self._finding:
            return finding.find(self._index, text)

    @cached_property
    def _index(self) -> Index:
        from parts.services import finding

        step("Laying out every name and number")
        index = finding.index_of(self.snapshot)
        self._set_aside()
        return index

    def held(self, store: str, bin_name: str | None) -> tuple[Held, ...]:
        from parts.services import finding

        return finding.held(self.snapshot, store, bin_name)

    def lying(self, part: str) -> tuple[Held, ...]:
        from parts.services import finding

        return finding.lying(self.snapshot, part)

    def offers_of(self, supplier: str) -> tuple[Offer, ...]:
        from parts.services import finding

        return finding.offers_of(self.snapshot, supplier)

    @cached_property
    def stores(self) -> tuple[str, ...]:
        """The stores that anything was ever put in."""
        return tuple(sorted({row.store for row in self.snapshot.movements if row.store}))

    @cached_property
    def undoable(self) -> tuple[Movement, ...]:
        """Movements that can be undone, the latest entry first."""
        undone = {row.reverses for row in self.snapshot.movements if row.reverses}
        return tuple(
            row
            for row in reversed(self.snapshot.movements)
            if row.qty and row.kind != "reversal" and row.key not in undone
        )

    def places_of(self, part: str) -> tuple[str, ...]:
        """Positions, as CRANE/POSITION, that hold a part; all live ones for none that does."""
        positions = self.snapshot.positions
        places = [
            (f"{crane}/{position}", held)
            for crane, position, held in zip(
                positions.crane, positions.position, positions.part, strict=True
            )
            if self.snapshot.is_live(crane)
        ]
        holding = tuple(place for place, held in places if held == part)
        return holding or tuple(place for place, _ in places)

    def names_of(self, file: str, crane: str = "") -> tuple[str, ...]:
        """The names that a file gives; positions are those of a crane."""
        snapshot = self.snapshot
        if file == "positions":
            places = zip(snapshot.positions.crane, snapshot.positions.position, strict=True)
            return tuple(position for of, position in places if of == crane)
        if file == "orders":
            return tuple(dict.fromkeys(row.order for row in snapshot.orders))
        if file == "routes":
            return tuple(dict.fromkeys(row.route for row in snapshot.routes))
        if file == "upgrades":
            return tuple(row.upgrade for row in snapshot.upgrades)
        return tuple(getattr(snapshot, file, ()))

    def place_named(self, text: str) -> tuple[str, str]:
        """Crane and position of a text CRANE/POSITION."""
        from parts.services import explanations

        return explanations.position_named(self.snapshot, text)

    def parts_found(self, text: str) -> tuple[str, ...]:
        """Parts that a text finds by any of their names."""
        found = (hit.opens.part for hit in self.find(text).hits)
        return tuple(dict.fromkeys(part for part in found if part))

    def explain(self, crane: str, position: str) -> Explanation:
        """Return how a position's figures came about."""
        from parts.services import explanations

        return explanations.explain_position(self.exposed, crane, position)

    def explain_part(self, part: str) -> Explanation:
        """Return how a part's figures came about."""
        from parts.services import explanations

        return explanations.explain(self.exposed, part)

    @cached_property
    def exposed(self) -> Exposures:
        """What a year may take through every position, reckoned when first asked for."""
        from parts.services import risks

        step("Reckoning what a year may take")
        exposed = risks.exposures(self.snapshot, self.fleet)
        self._set_aside()
        return exposed

    def risks(self, by: Ranking) -> tuple[PartRisk, ...]:
        """Return the parts ranked; two workers that ask at once reckon it once."""
        from parts.services import risks

        with self._once:
            if by not in self._rankings:
                self._rankings[by] = risks.risks(self.exposed, by)
            return self._rankings[by]

    def crane_risk(self, crane: str) -> CraneRisk:
        from parts.services import risks

        return risks.crane_risk(self.exposed, crane)

    @cached_property
    def watch_list(self) -> tuple[PartOutlook, ...]:
        from parts.services import risks

        return risks.watch_list(self.exposed)

    def duty(self, hours_factor: float = 1.0, km: float | None = None) -> tuple[DutyAnswer, ...]:
        """Return the working periods, with other use from today on where it is given."""
        from parts.services import risks

        return risks.duty(self.exposed, hours_factor, km)

    @cached_property
    def _plans(self) -> Plans:
        from parts.services import plans

        return plans.planner(self.exposed)

    def plan(self, budget: float) -> PlanAnswer:
        """Return what to buy; the first question weighs everything and takes some seconds."""
        from parts.services import plans

        with self._planning:
            step("Weighing every purchase")
            return plans.buy(self.exposed, budget, self._plans)

    def compare(self, budget: float | None) -> ComparisonAnswer:
        """Return upgrades against spares; other plans can be asked for meanwhile."""
        from parts.services import comparisons

        self.plan(budget or 0.0)  # weighs the purchases, where nobody has asked for a plan yet
        with self._comparing:
            if budget not in self._comparisons:
                self._comparisons[budget] = comparisons.compare(
                    self.exposed, budget, plans=self._plans, progress=step
                )
            return self._comparisons[budget]

    @cached_property
    def deadlines(self) -> tuple[Deadline, ...]:
        from parts.services import purchases

        return purchases.deadlines(self.exposed)

    def last_buy(self, part: str) -> LastBuyAnswer:
        from parts.services import purchases

        return purchases.last_buy(self.exposed, part)

    @cached_property
    def reorder(self) -> tuple[ReorderLine, ...]:
        from parts.services import purchases

        return purchases.reorder(self.exposed)

    @cached_property
    def late_orders(self) -> tuple[LateOrder, ...]:
        from parts.services import purchases

        return purchases.late_orders(self.exposed)

    @cached_property
    def enquiries(self) -> tuple[Enquiry, ...]:
        from parts.services import purchases

        return purchases.enquiries(self.exposed)

    def needs_of_today(self, counted: Callable[[], LastCounted]) -> TodayAnswer:
        """Return what waits for each person; `counted` tells when each shelf was last counted."""
        from parts.services import today

        with self._listing:
            if self._needs_of_today is None:
                self._needs_of_today = today.today(self.exposed, counted())
            return self._needs_of_today

    def what_if(self, question: Question) -> WhatIfAnswer:
        """Return the site as known beside the site as a question has it."""
        from parts.services import what_if

        return what_if.ask(self.exposed, question, progress=step)

    def needs_graph(self, crane: str) -> NeedsGraph:
        from parts.services import pictures

        return pictures.needs_graph(self.fleet, crane)

    def heat(self, by: By, unit: Unit) -> HeatAnswer:
        from parts.services import pictures

        return pictures.heat(self.exposed, by, unit)

    def forecast(self, years: int, budget: float | None = None) -> ForecastAnswer:
        """Return the years to come; with a budget, everything is weighed as for a plan."""
        from parts.services import plans

        if budget is None:
            return plans.forecast(self.exposed, years)
        with self._planning:
            return plans.forecast(self.exposed, years, budget, self._plans)

    @cached_property
    def promised_and_real(self) -> tuple[SupplierDays, ...]:
        from parts.services import pictures

        return pictures.promised_and_real(self.snapshot)

    def ages(self, part: str | None) -> AgesAnswer:
        from parts.services import pictures

        return pictures.ages(self.exposed, part)

    def lead_time(self, part: str, qty: int = 1) -> LeadTimeAnswer:
        from parts.services import lead_times

        return lead_times.lead_time(self.snapshot, part, qty)

    def together(self, places: Sequence[Place]) -> tuple[TogetherOutage, ...]:
        from parts.services import outages

        return outages.together(self.snapshot, places, fleet=self.fleet)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        from parts.services import checks

        return checks.findings(self.snapshot, fleet=self.fleet)

    @cached_property
    def numbers(self) -> dict[str, str]:
        """All numbers that somebody calls a part by, as one text."""
        found: dict[str, str] = {}
        for row in self.snapshot.part_numbers:
            found[row.part] = f"{found.get(row.part, '')} {row.number}"
        return found


class Ranked:
    """Items of a table: the outages at some ranks, put into words when they come into view."""

    def __init__(self, site: Site, ranks: Sequence[int]) -> None:
        self.ranks = ranks
        self._site = site

    def __len__(self) -> int:
        return len(self.ranks)

    def __getitem__(self, index: int, /) -> PositionOutage:
        return self._site.outage_at(self.ranks[index])
