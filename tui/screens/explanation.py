"""How the figures of a part or a position came about, term by term, each with its record.

A term whose record belongs to a part, a position or a crane leads there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.content import Content
from textual.message import Message

from parts.records.answers import Explanation, Term
from tui import actions, words
from tui.messages import OpenCrane, OpenPart, OpenPosition
from tui.records import opening
from tui.screens.listing import ListPage
from tui.site import Place, Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

TermField = Field[Term]
NO_SCREEN = "This record has no screen of its own: it stands in the file {} of the site book."
FIELDS = (
    TermField(Column("Term", 26), lambda term: term.name, lambda _: "strong"),
    TermField(Column("Figure", None, least=30), lambda term: term.value),
    TermField(Column("Record", 34), lambda t: t.record, lambda _: "quiet", from_width=120),
)


class ExplanationScreen(ListPage[Term]):
    """The terms of one explanation."""

    DEFAULT_CSS = "ExplanationScreen LinesPanel { height: 9; }"
    ACTS: ClassVar = actions.EXPLANATION
    WORDS: ClassVar = words.TERMS
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, subject: str | Place) -> None:
        names = (subject,) if isinstance(subject, str) else subject
        trail = ("longpole", *names, "explained")
        super().__init__(trail, f"as known on {site.snapshot.today}", FIELDS)
        self._site = site
        self._subject = subject

    def load(self) -> None:
        """Ask for the terms."""
        self.ask(self._explained, self._show)

    def _explained(self) -> Explanation:
        if isinstance(self._subject, str):
            return self._site.explain_part(self._subject)
        return self._site.explain(*self._subject)

    def _show(self, told: Explanation) -> None:
        self.say((told.sentence, STRONG))
        self._table.list_items(told.terms)

    def tell(self, item: Term | None) -> None:
        """Show the term in full, and where its record leads."""
        lines = () if item is None else tuple(term_lines(item, opening(item.record, self._site)))
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Term) -> None:
        """Open what the record of the term belongs to."""
        found = opening(item.record, self._site)
        if found is None:
            self.refused(no_screen(item.record) or "This term is worked out from those above it.")
        else:
            self.post_message(found)


def term_lines(term: Term, found: Message | None) -> Iterator[Content]:
    """Return a term in full, its record, and what opens from it."""
    yield said((term.name, STRONG))
    yield said(term.value)
    if term.record:
        yield said(("Record: ", QUIET), term.record)
    yield said((f"Enter opens {opened(found)}." if found else no_screen(term.record), QUIET))


def no_screen(record: str) -> str:
    """Return where a record that has no screen is found."""
    return NO_SCREEN.format(record.partition(" ")[0]) if record else ""


def opened(found: Message) -> str:
    """Return in words what a message opens."""
    if isinstance(found, OpenPart):
        return f"the part {found.part}"
    if isinstance(found, OpenPosition):
        return f"the position {found.crane}/{found.position}"
    return f"the crane {found.crane}" if isinstance(found, OpenCrane) else "it"
