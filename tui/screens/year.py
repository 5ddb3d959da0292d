"""A crane's year: what it loses, and what stops it, alone or in pairs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import ClassVar, NamedTuple

from textual.content import Content

from parts.records.answers import PositionOutage
from parts.records.risk_answers import CraneRisk, EventImportance
from tui import actions, formats, words
from tui import risk_sentences as sentences
from tui.messages import OpenPosition, OpenTogether
from tui.screens.listing import ListPage
from tui.screens.position import caution_lines
from tui.site import Site
from tui.widgets.bars import bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import Bar, LinesPanel, bar_lines
from tui.widgets.texts import STRONG, WARN, said

BAR_WIDTH = 14
CRITICALITY = "of the time down, it alone holds the crane"
FUSSELL_VESELY = "of the time down, it has a part in it"
LABEL_WIDTH = 14


class Stopper(NamedTuple):
    """Positions that stop the crane together, or one that does alone; what is known of each."""

    names: tuple[str, ...]
    importance: tuple[EventImportance | None, ...]

    @property
    def fussell_vesely(self) -> float | None:
        """The most that this can have to do with the crane's being down: the least of them."""
        found = [each.fussell_vesely for each in self.importance if each is not None]
        return min(found) if len(found) == len(self.names) else None

    @property
    def criticality(self) -> float | None:
        """That of a single stopper; a pair has none of its own."""
        first = self.importance[0]
        return first.criticality if first is not None and len(self.names) == 1 else None


StopperField = Field[Stopper]


def share_text(share: float | None) -> str:
    return formats.NOT_KNOWN if share is None else formats.share(share)


def names_text(stopper: Stopper) -> str:
    return " + ".join(stopper.names)


FUSSELL_FIELD = StopperField(
    Column("Fussell-Vesely", 14, "right"),
    lambda s: ("at most " if len(s.names) > 1 else "") + share_text(s.fussell_vesely),
    lambda s: "warn" if s.fussell_vesely is None else "",
)
FUSSELL_BAR = StopperField(
    Column("0 … 100 %", BAR_WIDTH),
    lambda stopper: bar(stopper.fussell_vesely, 1, BAR_WIDTH),
    lambda _: "reduced",
)
FIELDS = (
    StopperField(Column("Stops the crane", None, least=24), names_text, lambda _: "strong"),
    FUSSELL_FIELD,
    FUSSELL_BAR,
    StopperField(Column("Criticality", 11, "right"), lambda s: share_text(s.criticality)),
    StopperField(
        Column("0 … 100 %", BAR_WIDTH),
        lambda stopper: bar(stopper.criticality, 1, BAR_WIDTH),
        lambda _: "reduced",
        from_width=90,
    ),
)


class CraneYearScreen(ListPage[Stopper]):
    """The single stoppers of a crane, or its weak pairs."""

    ACTS: ClassVar = actions.CRANE_YEAR
    WORDS: ClassVar = words.YEAR
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "CraneYearScreen LinesPanel { height: 11; }"

    def __init__(self, site: Site, crane: str) -> None:
        trail = ("longpole", "fleet", crane, "a year")
        super().__init__(trail, f"as known on {site.snapshot.today}", FIELDS)
        self._site = site
        self._crane = crane
        self._risk: CraneRisk | None = None
        self._at_once = 1

    def load(self) -> None:
        """Ask for the crane's year."""
        self.ask(lambda: self._site.crane_risk(self._crane), self._show)

    def _show(self, risk: CraneRisk) -> None:
        self._risk = risk
        found = stoppers(risk, self._at_once)
        self._table.show_fields(FIELDS if self._at_once == 1 else self._pair_fields())
        singles = sum(len(each) == 1 for each in risk.cut_sets)
        pairs = sum(len(each) == 2 for each in risk.cut_sets)
        alone = f"{formats.count(singles, 'position')} can stop it alone"
        together = f"{formats.count(pairs, 'pair')} of positions can"
        listed = "positions" if self._at_once == 1 else "pairs"
        counted = f"{alone}, {together}; the {listed} are listed."
        self.say((sentences.crane_year(risk), STRONG), f" {counted}", *_beware(risk))
        what = "position alone stops" if self._at_once == 1 else "pair of positions stops"
        self._table.set_empty_text(f"No {what} this crane.\n\nPress Tab for the other list.")
        self._table.list_items(found)

    def tell(self, item: Stopper | None) -> None:
        """Tell about the positions under the cursor."""
        if item is None:
            self.query_one(LinesPanel).show(lambda _: ())
            return
        outages = [self._outage(name) for name in item.names]
        self.query_one(LinesPanel).show(lambda width: tuple(stopper_lines(item, outages, width)))

    def _outage(self, name: str) -> PositionOutage | None:
        return (
            self._site.outage_of(self._crane, name) if self._site.lists(self._crane, name) else None
        )

    def _pair_fields(self) -> tuple[StopperField, ...]:
        return (
            StopperField(
                Column("Stop the crane together", None, least=30), names_text, lambda _: "strong"
            ),
            FUSSELL_FIELD,
            replace(FUSSELL_BAR, from_width=100),  # both names are read whole before
            StopperField(
                Column("Same part", 12),
                lambda stopper: self._shared_part(stopper) or "-",
                lambda _: "warn",
            ),
        )

    def _shared_part(self, stopper: Stopper) -> str | None:
        return shared_part([self._outage(name) for name in stopper.names])

    def open_item(self, item: Stopper) -> None:
        """Open the position; of a pair, what follows when both fail."""
        if len(item.names) > 1:
            self.post_message(OpenTogether(tuple((self._crane, name) for name in item.names)))
        elif self._site.lists(self._crane, item.names[0]):
            self.post_message(OpenPosition(self._crane, item.names[0]))

    def action_pairs(self) -> None:
        """List the pairs, or the single stoppers again."""
        self._at_once = 3 - self._at_once
        if self._risk is not None:
            self._show(self._risk)


def stoppers(risk: CraneRisk, size: int) -> list[Stopper]:
    """Return what stops a crane, of one size; what is not known first, then what matters most."""
    importance = {each.position: each for each in risk.importance}
    found = [
        Stopper(names, tuple(importance.get(name) for name in names))
        for names in risk.cut_sets
        if len(names) == size
    ]
    return sorted(
        found,
        key=lambda each: (each.fussell_vesely is not None, -(each.fussell_vesely or 0), each.names),
    )


def _beware(risk: CraneRisk) -> Iterator[tuple[str, str]]:
    """Return what must be said beside the figures of a crane."""
    if risk.unknown:
        yield f"\nNot known, so left out of the sum: {formats.listed(list(risk.unknown))}.", WARN
    for note in risk.notes:
        yield f"\n{note[:1].upper()}{note[1:]}.", WARN


def shared_part(outages: list[PositionOutage | None]) -> str | None:
    """Return the part that all of some positions hold."""
    parts = {None if each is None else each.part for each in outages}
    return parts.pop() if len(parts) == 1 else None


def stopper_lines(
    stopper: Stopper, outages: list[PositionOutage | None], width: int
) -> Iterator[Content]:
    """Return what each position of a stopper is and how much it has to do with being down."""
    known = [each for each in outages if each is not None]
    bearing = next((each for each in known if each.load_bearing), None)
    if bearing is not None:
        yield from caution_lines(bearing)
    for name, importance, outage in zip(stopper.names, stopper.importance, outages, strict=True):
        what = (
            "" if outage is None else f": {outage.part or 'part not known'}  {outage.description}"
        )
        yield said((f"{name}{what}", STRONG))
        if importance is None:
            yield said(("How much it has to do with the crane's being down is not known.", WARN))
            continue
        fussell_vesely = share_text(importance.fussell_vesely)
        yield from bar_lines(
            Bar("Fussell-Vesely", importance.fussell_vesely, 1, fussell_vesely, FUSSELL_VESELY),
            width,
            LABEL_WIDTH,
        )
        if len(stopper.names) == 1:
            text = share_text(importance.criticality)
            bars = Bar("criticality", importance.criticality, 1, text, CRITICALITY)
            yield from bar_lines(bars, width, LABEL_WIDTH)
    if len(stopper.names) > 1 and (part := shared_part(outages)) is not None:
        yield said((f"Both hold {part}: the same spares, firmware and supply.", WARN))
