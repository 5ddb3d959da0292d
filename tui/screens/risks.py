"""The parts ranked by what a year may take through them, or by how hard they are to get.

Below the list, what the highlighted part rests on: its year, how firm its place is, its drivers.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.content import Content

from parts.records.risk_answers import PartRisk
from tui import actions, formats, words
from tui import risk_sentences as sentences
from tui.messages import OpenPart
from tui.screens.filtered import FilteredPage, Found, holding
from tui.site import Ranking, Site
from tui.widgets.columns import Column
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import Field
from tui.widgets.panel import Bar, LinesPanel, bar_lines
from tui.widgets.texts import STRONG, WARN, said

RiskField = Field[PartRisk]
TITLES: dict[Ranking, str] = {
    "exposure": "ranked by what a year may take",
    "supply": "ranked by how hard to get",
}
NOTHING = "No part sits in a position of a crane in use.\n\nPress Esc to go back."


def warns(value: float | None) -> str:
    """Return the style word of a figure, a loud one where it is not known."""
    return "warn" if value is None else ""


RANK_STYLES = {"not firm": "reduced", formats.NOT_KNOWN: "warn"}
FIRST = (
    RiskField(Column("Part", 12), lambda risk: risk.part, lambda _: "strong"),
    RiskField(Column("Description", None, least=18), lambda r: r.description, from_width=124),
    RiskField(
        Column("Fails a year", 12, "right"),
        lambda risk: sentences.figure(risk.failures_next_year),
        lambda risk: warns(risk.failures_next_year),
    ),
    RiskField(
        Column("Lost days", 9, "right"),
        lambda risk: formats.days(risk.exposure_days),
        lambda risk: warns(risk.exposure_days),
    ),
)
SUPPLY = RiskField(
    Column("Supply", 9, "right"),
    lambda risk: sentences.score(risk.supply_score),
    lambda risk: warns(risk.supply_score),
)
LAST = (
    RiskField(Column("Waits for", 12), lambda r: r.waits_for or formats.NOT_KNOWN, from_width=94),
    RiskField(Column("Worst crane", 11), lambda r: r.worst_crane or "-", from_width=106),
)


def cost_field(currency: str | None) -> RiskField:
    """Return the column of what a year may cost."""
    return RiskField(
        Column(formats.in_currency("Cost", currency), 10, "right"),
        lambda risk: formats.amount(risk.exposure_cost),
        lambda risk: warns(risk.exposure_cost),
    )


class RisksScreen(FilteredPage[PartRisk]):
    """The ranking."""

    DEFAULT_CSS = "RisksScreen LinesPanel { height: 13; }"
    ACTS: ClassVar = actions.RISKS
    WORDS: ClassVar = words.RISKS
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site) -> None:
        fields = (*FIRST, cost_field(site.currency), SUPPLY, self._rank_field(), *LAST)
        super().__init__(("longpole", "risks"), "", fields)
        self._site = site
        self._by: Ranking = "exposure"

    def _rank_field(self) -> RiskField:
        return RiskField(
            Column("Rank", 12),
            lambda risk: sentences.rank_word(risk, self._by),
            lambda risk: RANK_STYLES.get(sentences.rank_word(risk, self._by), ""),
        )

    def panel(self) -> LinesPanel:
        """Return the room for the drivers."""
        return LinesPanel()

    def on_screen_resume(self) -> None:
        """Say by what the parts are ranked."""
        self._tell_ranking()

    def _tell_ranking(self) -> None:
        trail = " › ".join(self.trail)
        day = f"as known on {self._site.snapshot.today}"
        self.query_one(".bar", EndsLine).show(f"{trail}, {TITLES[self._by]}", day)

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return super().nothing(is_filtered) if is_filtered else NOTHING

    def find(self, text: str) -> Found[PartRisk]:
        """Return the parts that hold `text`."""
        ranked = self._site.risks(self._by)
        return Found(holding(ranked, text, self._words), len(ranked))

    def _words(self, risk: PartRisk) -> str:
        numbers = self._site.numbers.get(risk.part, "")
        return f"{risk.part} {risk.description} {numbers} {risk.worst_crane} {risk.waits_for}"

    def tell(self, item: PartRisk | None) -> None:
        """Say what the rank of the part under the cursor rests on."""
        by, currency = self._by, self._site.currency
        self.query_one(LinesPanel).show(
            lambda width: () if item is None else tuple(risk_lines(item, by, currency, width))
        )

    def open_item(self, item: PartRisk) -> None:
        """Open the part."""
        self.post_message(OpenPart(item.part))

    def action_ranking(self) -> None:
        """Rank the other way."""
        self._by = "supply" if self._by == "exposure" else "exposure"
        self._tell_ranking()
        self.ask_again()


def risk_lines(risk: PartRisk, by: Ranking, currency: str | None, width: int) -> Iterator[Content]:
    """Return what a part's rank rests on, with a bar a driver."""
    yield said((f"{risk.part}  {risk.description}", STRONG))
    yield said(
        (sentences.year_sentence(risk, currency), WARN if risk.exposure_days is None else ""),
        " ",
        (sentences.unknown_sentence(risk), WARN),
    )
    yield said(f"{sentences.worst_sentence(risk)} {sentences.rank_sentence(risk, by)}")
    yield said((f"Supply {sentences.score(risk.supply_score)} of 100", STRONG), "; 100 is worst:")
    for driver in risk.drivers:
        word, value = sentences.driver_word(driver), sentences.score(driver.value)
        yield from bar_lines(Bar(word, driver.value, 100, value, driver.sentence), width)
