"""What if the marked positions fail together: crane by crane, exchange by exchange.

A question only: nothing is written down anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.answers import Exchange, TogetherOutage
from tui import actions, formats, sentences, words
from tui.screens.page import Page
from tui.site import Place, Site
from tui.themes import state_text
from tui.widgets.pole import FullPole, Pole
from tui.widgets.sheet import Section, Sheet
from tui.widgets.texts import ASSUMED, STRONG, said

NOTHING = "Nothing is marked. Press Esc, mark positions of a crane with the space bar, press f."


class TogetherScreen(Page):
    """The marked positions as one failure."""

    ACTS: ClassVar = actions.TOGETHER_PANEL
    WORDS: ClassVar = (words.LONG_POLE, words.LOST, words.ASSUMED)
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, places: Sequence[Place] = ()) -> None:
        super().__init__(("longpole", "fail together"), f"as known on {site.snapshot.today}")
        self._site = site
        self._places = tuple(places or site.marked)

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    def on_mount(self) -> None:
        """Ask what follows."""
        self.query_one(Sheet).focus()
        self.ask(lambda: self._site.together(self._places), self._show)

    async def _show(self, found: tuple[TogetherOutage, ...]) -> None:
        places = formats.listed([f"{crane}/{position}" for crane, position in self._places])
        await self.query_one(Sheet).fill(
            [
                ("", [said((f"If these fail together: {places}.", STRONG))]),
                *(section for crane in found for section in self._crane_sections(crane)),
                ("A what-if", [said(f"Nothing is written. {sentences.CAUTION}")]),
            ]
        )

    def _crane_sections(self, found: TogetherOutage) -> Iterator[Section]:
        lost, money = formats.days(found.lost_days), formats.money(found.cost, self._site.currency)
        lines = [said(f"{state_text(found.state)} · lost days {lost} · cost {money}")]
        if found.functions_lost:
            lines.append(said(f"Lost: {formats.listed(found.functions_lost)}."))
        yield sentences.together_answer(found), lines
        for exchange in sorted(found.exchanges, key=longest_first):
            yield "", [said(), exchange_line(exchange)]
            if exchange.long_pole:
                place = f"{found.crane}/{exchange.replaced}"
                pole = Pole(exchange.long_pole, place, exchange.fitted, found.state)
                yield "", FullPole(pole)

    async def action_unmark(self) -> None:
        """Take all marks away."""
        self._site.marked.clear()
        await self.query_one(Sheet).fill([("", [said(NOTHING)])])


def longest_first(exchange: Exchange) -> tuple[bool, float]:
    """Return the place of an exchange: what nobody knows, then what the crane waits for."""
    return exchange.restore_days is not None, -(exchange.restore_days or 0.0)


def exchange_line(exchange: Exchange) -> Content:
    """Return one exchange: what it restores, and when."""
    covers = formats.listed(exchange.covers)
    if exchange.restore_days is None:
        return said((f"{covers}: nobody knows how to restore it.", STRONG))
    days = formats.days_in_words(exchange.restore_days)
    assumed = [(" (assumed)", ASSUMED)] if exchange.assumed else []
    whole = "" if covers == exchange.replaced else f"; {exchange.replaced} is exchanged as a whole"
    return said((f"{covers}: {days}{whole}", STRONG), *assumed)
