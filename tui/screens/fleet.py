"""The first screen: which crane would be down longest, and what it would wait for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from tui import actions, sentences, words
from tui.messages import OpenCrane, SiteRead
from tui.screens.fields import CRANE_FIELDS
from tui.screens.page import Page
from tui.widgets.banner import Banner
from tui.widgets.field_table import FieldTable
from tui.widgets.pole import PolePanel
from tui.widgets.spots import Spot
from tui.widgets.table import RowTable
from tui.widgets.texts import said

if TYPE_CHECKING:
    from parts.records.answers import CraneOutage
    from tui.site import Site

READING = "Reading the site ..."
NO_SITE = (
    "Nothing is shown because the site could not be read.\n\n{}\n\nThen press r to read again, or "
    "s for the first steps."
)
NO_CRANES = (
    "This database holds no crane in use.\n\n"
    "Press s for the first steps: they go from an empty site to the first long pole."
)


class FleetScreen(Page):
    """One line a crane, and the long pole of the crane under the cursor."""

    ACTS: ClassVar = actions.FLEET
    WORDS: ClassVar = (*words.LISTS, words.UNKNOWN)
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, day: str, read: Callable[[], Site]) -> None:
        super().__init__(("longpole", "fleet"), day)
        self.site: Site | None = None
        self._read = read
        self._table = FieldTable(CRANE_FIELDS, empty=READING)

    def body(self) -> ComposeResult:
        """Lay out the answer, the cranes, the long pole and the caution."""
        yield Static(said(READING), classes="line", id="answer")
        yield self._table
        yield PolePanel()
        yield Static(said(sentences.CAUTION), classes="line quiet", id="caution")

    def on_mount(self) -> None:
        """Read the site once this screen has been painted."""
        self._table.focus()
        self.call_after_refresh(self._begin)

    def on_screen_resume(self) -> None:
        """Read the site now if another screen stood before this one from the beginning."""
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        if not self._asked:
            self.read()

    def read(self) -> None:
        """Read the site from the beginning."""
        self.ask(self._read, self.show, "Reading the site")

    def read_quietly(self) -> None:
        """Read the site again for what others changed, unless it is being read."""
        if self._doing is not None and self._doing.is_over:
            self.ask(self._read, self.show, "")

    def leave(self) -> None:
        """Stay: there is no screen before this one."""

    def show(self, site: Site) -> None:
        """Show a site, with the cursor on the crane it was on."""
        before, self.site = self.site, site
        if before is not None:
            site.marked.update({p: None for p in before.marked if site.lists(*p)})
        self._table.set_empty_text(NO_CRANES)
        self._table.list_items(site.cranes, at=self._table.spot.row_in(site.cranes))
        self.query_one("#answer", Static).update(
            said(sentences.fleet_answer(site.cranes, site.retired))
        )
        self.post_message(SiteRead(site, before is None))

    def go_to(self, spot: Spot) -> None:
        """Put the cursor on the crane where somebody was before."""
        self._table.go_to(spot)

    def refused(self, sentence: str) -> None:
        """Say why no site is shown; a site that was read before stays."""
        if self.site is not None:
            super().refused(sentence)
            return
        self._table.set_empty_text(NO_SITE.format(sentence[:1].upper() + sentence[1:] + "."))
        self.query_one("#answer", Static).update(said("No site to show."))

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Draw the long pole of the crane under the cursor."""
        crane: CraneOutage | None = self._table.chosen
        panel = self.query_one(PolePanel)
        if crane is None or self.site is None:
            panel.show(None)
            return
        title = self.site.crane_title(crane.crane)
        panel.show(crane.worst, title if crane.worst else f"{title}: no positions recorded")

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the crane."""
        if self._table.chosen is not None:
            self.post_message(OpenCrane(self._table.chosen.crane))

    def action_open(self) -> None:
        """Open the crane under the cursor."""
        self._table.action_choose()

    def action_report(self) -> None:
        """Write the documents that people hand over, to a file whose name is asked."""
        from tui.screens.write_report import WriteReportScreen

        name = f"report-{self.desk.today.isoformat()}.html"
        self.app.push_screen(WriteReportScreen(name), self._write_report)

    def _write_report(self, target: Path | None) -> None:
        if target is not None:
            self.ask(
                lambda: self.desk.hand_over(target),
                lambda made: self.query_one(Banner).tell(
                    f"{len(made.papers)} documents were written to {target}"
                ),
                "Putting the documents together",
            )

    def action_copy(self) -> None:
        """Send the row to the clipboard of the terminal."""
        self.copy_row(self._table)
