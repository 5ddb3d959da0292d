"""One position: what happens if it breaks today, why, every way to get its part, and cautions."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.answers import Explanation, Finding, LeadTimeAnswer, PositionOutage
from parts.records.states import Severity
from tui import actions, formats, sentences, words
from tui.messages import OpenExplanation, OpenNeeds, OpenPart, OpenPositions
from tui.screens.findings import severity_text
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.pole import FullPole, Pole
from tui.widgets.sheet import Pair, Section, Sheet
from tui.widgets.spots import facts_about, subjects_of
from tui.widgets.texts import ASSUMED, QUIET, STRONG, WARN, said
from tui.widgets.ways import way_pairs

WHERE_USED_AT_MOST = 12
OtherWays = tuple[str, LeadTimeAnswer]
"""Why the ways of another part are shown, and those ways."""


class PositionScreen(Page):
    """All about one position."""

    ACTS: ClassVar = actions.POSITION
    WORDS: ClassVar = (*words.LISTS, *words.WAYS, words.COMPANION)
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, crane: str, position: str) -> None:
        trail = ("longpole", "fleet", crane, position)
        super().__init__(trail, f"as known on {site.snapshot.today}")
        self._site = site
        self._outage = site.outage_of(crane, position)
        self._told: Explanation | None = None
        self._others: list[OtherWays] = []
        self._findings: tuple[Finding, ...] = ()

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Show what is known at once, then ask for the rest, what takes longest last."""
        self.query_one(Sheet).focus()
        await self._fill()
        if self._outage.part is None:
            self.ask(self._own_findings, self._take_findings)
        else:
            self.ask(self._explanation, self._take_explanation)

    async def _fill(self) -> None:
        await self.query_one(Sheet).fill(self._sections(self._told, self._findings))

    def _explanation(self) -> tuple[Explanation, list[OtherWays]]:
        """Return the explanation, and the ways of other parts that set a date here."""
        told = self._site.explain(self._outage.crane, self._outage.position)
        why = {self._outage.setting_part: "which sets the date today"}
        if told.risk is not None:
            why.setdefault(told.risk.waits_for, "which sets the wait in the long run")
        return told, [
            (words, self._site.lead_time(part))
            for part, words in why.items()
            if part is not None and part != self._outage.part
        ]

    async def _take_explanation(self, answer: tuple[Explanation, list[OtherWays]]) -> None:
        self._told, self._others = answer
        await self._fill()
        self.ask(self._own_findings, self._take_findings)

    def _own_findings(self) -> tuple[Finding, ...]:
        return tuple(found for found in self._site.findings if concerns(found, self._outage))

    async def _take_findings(self, findings: tuple[Finding, ...]) -> None:
        self._findings = findings
        await self._fill()

    def _sections(self, told: Explanation | None, findings: tuple[Finding, ...]) -> list[Section]:
        outage = self._outage
        pole: list[Section] = (
            [(pole_title(outage), FullPole(Pole.of(outage)))] if outage.long_pole else []
        )
        return [
            ("", answer_lines(outage, self._site.currency)),
            *pole,
            *self._way_sections(told),
            (f"What else holds {outage.part}", where_used_lines(told, outage)),
            ("What a careful person would want to know", finding_lines(findings)),
        ]

    def _way_sections(self, told: Explanation | None) -> list[Section]:
        if told is None or told.lead_time is None:
            return []
        part, fitted = told.lead_time.part, self._outage.fitted or told.lead_time.part
        return [
            (f"Every way to get {part} today", way_pairs(told.lead_time.ways, part)),
            *(
                (f"Every way to get {other.part}, {why}", way_pairs(other.ways, other.part))
                for why, other in self._others
            ),
            (f"What goes in with {fitted}", self._companion_pairs(fitted)),
        ]

    def _companion_pairs(self, part: str) -> list[Pair]:
        return [
            (
                said(f"{row.qty} ×".rjust(6)),
                said(
                    (row.companion, STRONG),
                    "" if row.chance >= 1 else f", needed in {formats.share(row.chance)} of cases",
                ),
            )
            for row in self._site.snapshot.companions
            if row.part == part
        ]

    def action_part(self) -> None:
        """Open the part."""
        if self._outage.part is None:
            self.refused("No part is recorded here: find out what is fitted and record it.")
        else:
            self.post_message(OpenPart(self._outage.part))

    @property
    def stock_facts(self) -> dict[str, str]:
        """The part of the position, and where it is."""
        return facts_about(self._outage)

    @property
    def record_facts(self) -> dict[str, str]:
        """The position."""
        return {"crane": self._outage.crane, "position": self._outage.position}

    @property
    def subjects(self) -> tuple[tuple[str, ...], ...]:
        """The position, its part and its crane."""
        return subjects_of(self._outage)

    def action_explain(self) -> None:
        """Show how the figures came about."""
        self.post_message(OpenExplanation((self._outage.crane, self._outage.position)))

    def action_needs(self) -> None:
        """Show what the crane hangs on, with this position failed."""
        self.post_message(OpenNeeds(self._outage.crane, self._outage.position))

    def action_where(self) -> None:
        """List the positions that hold the part."""
        self.post_message(OpenPositions(self._outage.part or ""))


def concerns(finding: Finding, outage: PositionOutage) -> bool:
    """Return whether a finding is about this position or its part."""
    if finding.position is not None:
        return (finding.crane, finding.position) == (outage.crane, outage.position)
    return finding.part is not None and finding.part == outage.part


def answer_lines(outage: PositionOutage, currency: str | None) -> list[Content]:
    """Return the answer, what the position is, what its failure costs, and what to beware of."""
    part = outage.part or "part not known"
    lost = formats.listed(outage.functions_lost)
    money = sentences.money_lost(outage, currency)
    found = [
        said((sentences.answer(outage), STRONG)),
        said(f"{part}  {outage.description}".strip()),
        said(
            (sentences.state_word(outage), STATE_INK[sentences.state_style(outage)]),
            f" · {money}",
            f" · lost: {lost}" if lost else "",
        ),
    ]
    if outage.assumed:
        found.append(said(("The lead time is assumed, not quoted: ask a supplier.", ASSUMED)))
    if outage.hours_assumed and outage.restore_days is not None:
        found.append(said(("The hands-on hours are assumed: the site's usual figure.", ASSUMED)))
    return found + caution_lines(outage)


def pole_title(outage: PositionOutage) -> str:
    """Return the title of the long pole, with what its operations work on."""
    whole = sentences.made(outage)
    return "The long pole" if whole is None else f"The long pole: {whole.what}"


STATE_INK = {
    "down": "bold $text-error",
    "reduced": "bold $text-warning",
    "in-service": "bold $text-success",
}
BEARS_LOAD = (
    "Bears load: qualified persons inspect, exchange and test. Used, copied and substitute parts "
    "count only with a recorded approval. Never run on a worn part."
)


def caution_lines(outage: PositionOutage) -> list[Content]:
    """Return what must be said where the position bears load."""
    found = [said((BEARS_LOAD, WARN))] if outage.load_bearing else []
    if outage.decide is not None:
        found.append(said((f"This position {outage.decide}.", WARN)))
    return found


def where_used_lines(told: Explanation | None, outage: PositionOutage) -> list[Content]:
    """Return the other places that hold the part, the first few of them."""
    if told is None:
        return []
    here = (outage.crane, outage.position)
    others = [place for place in told.where_used if tuple(place) != here]
    found = [said(f"  {crane} / {position}") for crane, position in others[:WHERE_USED_AT_MOST]]
    if len(others) > WHERE_USED_AT_MOST:
        more = len(others) - WHERE_USED_AT_MOST
        found.append(said(f"  and {formats.count(more, 'place')} more: press w to list them all"))
    return found or [said(("  nothing else", QUIET))]


def finding_lines(findings: tuple[Finding, ...]) -> list[Pair]:
    """Return findings with how grave each is and where it comes from."""
    return [
        (
            said(
                (severity_text(each.severity), WARN if each.severity is Severity.DANGER else STRONG)
            ),
            said(each.text, (f" ({each.source})" if each.source else "", QUIET)),
        )
        for each in findings
    ]
