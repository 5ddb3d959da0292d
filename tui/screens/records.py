"""Everything that is on record, file by file: of the whole site, or about one thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from parts.records.book import FILES_BY_NAME
from tui import actions, words
from tui.forms.record_fields import FILES
from tui.messages import OpenRows
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said


@dataclass(frozen=True)
class FileLine:
    """One file, and how many of its rows are meant."""

    name: str
    count: int


LineField = Field[FileLine]
FIELDS = (
    LineField(Column("Records", 20), lambda line: FILES[line.name].title, lambda _: "strong"),
    LineField(Column("How many", 9, "right"), lambda line: f"{line.count:,}"),
    LineField(Column("What they are", None, least=36), lambda line: FILES[line.name].says),
)


class RecordsScreen(ListPage[FileLine]):
    """The files; `about` names columns with the one value that is meant, none for all."""

    ACTS: ClassVar = actions.RECORDS
    WORDS: ClassVar = words.RECORDS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "RecordsScreen LinesPanel { height: 5; }"

    def __init__(self, site: Site, about: Mapping[str, str]) -> None:
        super().__init__(("longpole", "records"), f"as known on {site.snapshot.today}", FIELDS)
        self._site = site
        self._given = dict(about)
        self._about = dict(about)

    def load(self) -> None:
        """Ask how many there are."""
        about = self._about
        self.ask(lambda: self.desk.records_counted(about), self._show)

    def _show(self, counts: Mapping[str, int]) -> None:
        self._table.list_items(
            [FileLine(name, counts[name]) for name in FILES if self._is_meant(name)],
            at=self._table.cursor or 0,
        )
        if self._about:
            told = ", ".join(f"{name} {value}" for name, value in self._about.items())
            self.say((f"What is on record about {told}.", STRONG), "  Tab shows all records.")
        else:
            self.say("What is on record of the site.  Enter lists the rows, F3 enters a new one.")

    def _is_meant(self, name: str) -> bool:
        return all(column in FILES_BY_NAME[name].header for column in self._about)

    def tell(self, item: FileLine | None) -> None:
        """Say what the rows are."""
        if item is None:
            return
        words_of = FILES[item.name]
        lines = (
            said((words_of.title, STRONG), f": {words_of.says}."),
            said((f"F3 enters a new {words_of.one}.", QUIET)),
        )
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: FileLine) -> None:
        """List the rows of the file."""
        self.post_message(OpenRows(item.name, self._about))

    def action_other(self) -> None:
        """Change between all records and those about one thing."""
        self._about = {} if self._about else self._given
        self.load()

    def action_new(self) -> None:
        """Enter a new record of the file under the cursor."""
        if (item := self._table.chosen) is not None:
            self.post_message(OpenRows(item.name, self._about, new=True))

    def on_screen_resume(self) -> None:
        """Count anew what may have been changed beneath."""
        if self._table.chosen is not None:
            self.load()
