"""One part: when it could be had, by every way, how it is made, and what could be done ahead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.answers import LeadTimeAnswer, RouteAnswer
from parts.records.find_answers import Held
from tui import actions, formats, words
from tui.messages import OpenAges, OpenExplanation, OpenPositions
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.operations import OperationChart
from tui.widgets.sheet import Section, Sheet
from tui.widgets.texts import ASSUMED, QUIET, STRONG, WARN, said
from tui.widgets.ways import head_start_pairs, way_pairs


class PartScreen(Page):
    """The lead time of one part."""

    ACTS: ClassVar = actions.PART_PANEL
    WORDS: ClassVar = (*words.WAYS, words.CAN_WAIT, words.DONE_AHEAD, words.ASSUMED)
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, part: str) -> None:
        super().__init__(("longpole", "part", part), f"as known on {site.snapshot.today}")
        self._site = site
        self._part = part

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    def on_mount(self) -> None:
        """Ask for the lead time of one unit, and where it lies."""
        self.query_one(Sheet).focus()
        site, part = self._site, self._part
        self.ask(lambda: (site.lead_time(part), site.lying(part)), self._show)

    async def _show(self, found: tuple[LeadTimeAnswer, tuple[Held, ...]]) -> None:
        answer, held = found
        description = self._site.snapshot.parts[self._part].description or ""
        head = [said((f"{self._part}  {description}", QUIET)), lead_time_line(answer)]
        sections: list[Section] = [
            ("", head),
            ("Where it lies", lying_lines(held)),
            ("Every way to get it today", way_pairs(answer.ways, self._part)),
        ]
        if answer.route is not None:
            starts = head_start_pairs(answer.route.head_starts, self._site.currency)
            sections += [
                (f"How it is made: route {answer.route.route}", route_lines(answer.route)),
                ("", OperationChart(answer.route.operations)),
                ("What could be done before it is needed", starts),
            ]
        sections.append(
            ("Notes", [said((f"{note[:1].upper()}{note[1:]}.", QUIET)) for note in answer.notes])
        )
        await self.query_one(Sheet).fill(sections)

    @property
    def stock_facts(self) -> dict[str, str]:
        """The part of the page."""
        return {"part": self._part}

    @property
    def record_facts(self) -> dict[str, str]:
        """The part of the page."""
        return {"part": self._part}

    @property
    def subjects(self) -> tuple[tuple[str, ...], ...]:
        """The part of the page."""
        return (("part", self._part),)

    def action_explain(self) -> None:
        """Show how the figures came about."""
        self.post_message(OpenExplanation(self._part))

    def action_ages(self) -> None:
        """Draw how old each one is."""
        self.post_message(OpenAges(self._part))

    def action_where(self) -> None:
        """List the positions that hold the part."""
        self.post_message(OpenPositions(self._part))


def lead_time_line(answer: LeadTimeAnswer) -> Content:
    """Return the answer in one sentence."""
    if answer.days_mean is None:
        return said((f"Nobody knows how to get {answer.part}: no way can be used.", WARN))
    if answer.days_mean == 0:
        return said((f"{answer.part} is here: it can be taken today.", STRONG))
    safe = ""
    if answer.days_confident is not None and answer.days_confident != answer.days_mean:
        sure = formats.share(answer.confidence)
        safe = f"; to be {sure} sure allow {formats.days_in_words(answer.days_confident)}"
    figure = formats.days_in_words(answer.days_mean)
    mark = [(" This is assumed: nobody has quoted it.", ASSUMED)] if answer.assumed else []
    return said((f"{answer.part} can be had in {figure}{safe}.", STRONG), *mark)


def lying_lines(held: Sequence[Held]) -> list[Content]:
    """Return in which bins a part lies, and how many of all may be used."""
    if not held:
        return [said("None in store.")]
    lines = [
        f"{each.qty:,} in {each.store or 'no named store'}{f', bin {each.bin}' if each.bin else ''}"
        for each in held
    ]
    if held[0].usable != sum(each.qty for each in held):
        lines.append(f"{held[0].usable:,} of them may be used and are promised to nobody.")
    return list(map(said, lines))


def route_lines(route: RouteAnswer) -> list[Content]:
    """Return the two lengths of a route: of its longest chain, and on average."""
    chain = formats.days_in_words(route.mean_critical_path)
    average = formats.days_in_words(route.simulated_mean)
    return [
        said(
            f"The longest chain takes {chain}; where chains meet they delay one another, "
            f"on average {average}."
        )
    ]
