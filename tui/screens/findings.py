"""What a careful person would want to know, dangers first, each with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.content import Content

from parts.records.answers import Finding
from parts.records.states import Severity
from tui import actions, words
from tui.messages import OpenCrane, OpenPart, OpenPosition
from tui.screens.filtered import FilteredPage, Found, holding
from tui.site import Site
from tui.themes import SEVERITY_LOOKS
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

FindingField = Field[Finding]
NOTHING = "Nothing to say: no rule found anything on this site.\n\nPress Esc to go back."
NO_PLACE = "This finding is about the whole site: nothing opens for it."


def severity_text(severity: Severity) -> str:
    """Return symbol and word of how grave a finding is."""
    look = SEVERITY_LOOKS[severity]
    return f"{look.symbol} {look.word}"


def place(finding: Finding) -> str:
    """Return what a finding is about: a position, a crane, a part, or the site."""
    names = "/".join(name for name in (finding.crane, finding.position) if name)
    return names or finding.part or "the site"


def rule_words(finding: Finding) -> str:
    return finding.rule.replace("_", " ")


FIELDS = (
    FindingField(
        Column("How grave", 10),
        lambda finding: severity_text(finding.severity),
        lambda finding: SEVERITY_LOOKS[finding.severity].style,
    ),
    FindingField(Column("Where", 26), place, lambda _: "strong"),
    FindingField(Column("Finding", None, least=24), lambda finding: finding.text),
    FindingField(Column("Rule", 28), rule_words, from_width=120),
)


class FindingsScreen(FilteredPage[Finding]):
    """The list of findings."""

    ACTS: ClassVar = actions.FINDINGS
    WORDS: ClassVar = words.FINDINGS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "FindingsScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site) -> None:
        super().__init__(("longpole", "findings"), f"as known on {site.snapshot.today}", FIELDS)
        self._site = site

    def panel(self) -> LinesPanel:
        """Return the room for a whole finding."""
        return LinesPanel()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return super().nothing(is_filtered) if is_filtered else NOTHING

    def find(self, text: str) -> Found[Finding]:
        """Return the findings that hold `text`."""
        found = self._site.findings
        return Found(holding(found, text, _words), len(found))

    def tell(self, item: Finding | None) -> None:
        """Show the finding under the cursor in full."""
        lines = () if item is None else tuple(finding_lines(item))
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Finding) -> None:
        """Open the position, the part or the crane that the finding is about."""
        if item.crane and item.position and self._site.lists(item.crane, item.position):
            self.post_message(OpenPosition(item.crane, item.position))
        elif item.part in self._site.snapshot.parts:
            self.post_message(OpenPart(item.part or ""))
        elif item.crane in self._site.snapshot.cranes:
            self.post_message(OpenCrane(item.crane or ""))
        else:
            self.refused(NO_PLACE)


def _words(finding: Finding) -> str:
    names = f"{finding.crane} {finding.position} {finding.part}"
    return f"{finding.severity.value} {names} {rule_words(finding)} {finding.text}"


def finding_lines(finding: Finding) -> Iterator[Content]:
    """Return a finding in full: how grave, where, what, by which rule, and why that rule."""
    head = f"{severity_text(finding.severity)} · {place(finding)}"
    part = f" · part {finding.part}" if finding.part and finding.part != place(finding) else ""
    yield said((head + part, STRONG))
    yield said(f"{finding.text[:1].upper()}{finding.text[1:]}.")
    yield said(("Rule: ", QUIET), rule_words(finding))
    if finding.source:
        yield said(("Where the rule comes from: ", QUIET), finding.source)
