"""What if the marked positions fail together: crane by crane, exchange by exchange.

A question only: nothing is written down anywhere.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.answers import Exchange, TogetherOutage
from tui import actions, formats, sentences
from tui.screens.page import Page
from tui.site import Site
from tui.themes import state_text
from tui.widgets.bars import long_pole_lines
from tui.widgets.sheet import Body, Sheet
from tui.widgets.texts import ASSUMED, QUIET, STRONG, said

NOTHING = "Nothing is marked. Press Esc, mark positions of a crane with the space bar, press f."


class TogetherScreen(Page):
    """The marked positions as one failure."""

    ACTS: ClassVar = actions.TOGETHER_PANEL
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site) -> None:
        super().__init__(("longpole", "fail together"), f"as known on {site.snapshot.today}")
        self._site = site

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    def on_mount(self) -> None:
        """Ask what follows."""
        self.query_one(Sheet).focus()
        self.ask(self._site.together, self._show)

    async def _show(self, found: tuple[TogetherOutage, ...]) -> None:
        places = formats.listed([f"{crane}/{position}" for crane, position in self._site.marked])
        sections: list[tuple[str, Body]] = [
            ("", [said((f"If these fail together: {places}.", STRONG))])
        ]
        sections += [
            (sentences.together_answer(crane), self._crane_lines(crane)) for crane in found
        ]
        sections.append(
            ("", [said(("A what-if: nothing is written. " + sentences.CAUTION, QUIET))])
        )
        await self.query_one(Sheet).fill(sections)

    def _crane_lines(self, found: TogetherOutage) -> list[Content]:
        money = formats.money(found.cost, self._site.currency)
        lost = formats.days(found.lost_days)
        lines = [said(f"{state_text(found.state)} · lost days {lost} · cost {money}")]
        if found.functions_lost:
            lines.append(said(f"Lost: {formats.listed(found.functions_lost)}."))
        for exchange in found.exchanges:
            lines += [said(), *exchange_lines(exchange, self.size.width - 4)]
        return lines

    async def action_unmark(self) -> None:
        """Take all marks away."""
        self._site.marked.clear()
        await self.query_one(Sheet).fill([("", [said(NOTHING)])])


def exchange_lines(exchange: Exchange, width: int) -> list[Content]:
    """Return one exchange: what it restores, when, and its long pole."""
    covers = formats.listed(exchange.covers)
    if exchange.restore_days is None:
        return [said((f"{covers}: nobody knows how to restore it.", STRONG))]
    fitted = f" with {exchange.fitted}" if exchange.fitted else ""
    days = formats.days_in_words(exchange.restore_days)
    assumed = [(" (assumed)", ASSUMED)] if exchange.assumed else []
    head = said((f"{exchange.replaced}{fitted}: {days}, restores {covers}", STRONG), *assumed)
    steps = [(step.step, step.days) for step in exchange.long_pole]
    return [head, *(said(line) for line in long_pole_lines(steps, max(20, width)))]
