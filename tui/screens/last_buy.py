"""How many of a part to take while it can still be bought: unit by unit, one fewer, one more."""

from __future__ import annotations

from typing import ClassVar

from parts.records.purchase_answers import LastBuyAnswer, MarginalUnit
from tui import actions, formats, words
from tui import purchase_sentences as sentences
from tui.messages import OpenPart
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.bars import bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.frontier import figure
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

UnitField = Field[MarginalUnit]
NOTHING = "No unit is worth weighing.\n\nPress Esc to go back."
BAR_WIDTH = 20


class LastBuyScreen(ListPage[MarginalUnit]):
    """The units of a last order."""

    ACTS: ClassVar = actions.LAST_BUY
    WORDS: ClassVar = words.LAST_BUYS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "LastBuyScreen LinesPanel { height: 11; }"

    def __init__(self, site: Site, part: str) -> None:
        super().__init__(
            ("longpole", part, "last order"),
            f"as known on {site.snapshot.today}",
            self._fields(site.currency),
        )
        self._site = site
        self._part = part
        self._top, self._advised = 1.0, 0

    def _fields(self, currency: str | None) -> tuple[UnitField, ...]:
        return (
            UnitField(Column("Unit", 6, "right"), lambda unit: f"{unit.n:,}", lambda _: "strong"),
            UnitField(
                Column(formats.in_currency("Saves", currency), 11, "right"),
                lambda unit: figure(unit.saving),
            ),
            UnitField(Column("0 … most", BAR_WIDTH), self._bar, lambda _: "reduced"),
            UnitField(
                Column(formats.in_currency("Costs", currency), 11, "right"),
                lambda unit: figure(unit.cost),
            ),
            UnitField(
                Column("Worth it", None, least=10),
                self._worth,
                lambda u: "" if u.worth else "quiet",
            ),
        )

    def _bar(self, unit: MarginalUnit) -> str:
        return bar(max(0.0, unit.saving), self._top, BAR_WIDTH)

    def _worth(self, unit: MarginalUnit) -> str:
        word = "yes" if unit.worth else "no"
        return f"{word} ← advised" if unit.n == self._advised else word

    def load(self) -> None:
        """Ask how many to take."""
        self.ask(lambda: self._site.last_buy(self._part), self._show)

    def _show(self, answer: LastBuyAnswer) -> None:
        self._top = max([1.0, *(unit.saving for unit in answer.marginal)])
        self._advised = answer.quantity
        self._table.set_empty_text(NOTHING)
        self.say((f"{self._part}  {answer.description}\n", QUIET),
                 (sentences.last_buy_sentence(answer, self._site.currency), STRONG))  # fmt: skip
        self._table.list_items(answer.marginal, at=max(0, answer.quantity - 1))
        lots = (
            sentences.lot_sentence(lot, answer.quantity, self._site.currency)
            for lot in answer.beside
        )
        paper = (
            ()
            if answer.on_paper is None
            else (said(sentences.paper_sentence(answer.on_paper, self._site.currency)),)
        )
        rests = [f"{term.name}: {term.value}" for term in answer.terms]
        told = (
            *(said((text, STRONG)) for text in lots),
            *paper,
            *(said(f"{note[:1].upper()}{note[1:]}.") for note in answer.notes),
            *(said((text, QUIET)) for text in rests),
        )
        self.query_one(LinesPanel).show(lambda _: told)

    def tell(self, item: MarginalUnit | None) -> None:
        """Leave the panel as it is: it tells about whole lots."""

    def open_item(self, item: MarginalUnit) -> None:
        """Open the part, whatever the unit."""
        self.post_message(OpenPart(self._part))
