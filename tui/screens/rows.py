"""The rows of one file, filtered by what is typed; Enter opens a row, F3 enters a new one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from textual.content import Content

from parts.records.book import FILES_BY_NAME
from parts.records.cells import texts_of
from tui import actions, words
from tui.forms.record_fields import FILES, label
from tui.messages import OpenRecord
from tui.screens.filtered import FilteredPage, Found, holding
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, Piece, said

SHOWN = 5
"""Columns of a row that are listed; the panel has all."""
WIDE = 110


class RowsScreen(FilteredPage[Any]):
    """The rows of a file, all or those about one thing."""

    ACTS: ClassVar = actions.ROWS
    WORDS: ClassVar = words.RECORDS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "RowsScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site, file: str, about: Mapping[str, str]) -> None:
        trail = ("longpole", "records", FILES[file].title)
        super().__init__(trail, f"today is {site.snapshot.today}", _fields(file))
        self._site, self._file, self._about = site, file, dict(about)
        self._rows: list[Any] | None = None

    def panel(self) -> LinesPanel:
        """Return the room for the row under the cursor."""
        return LinesPanel()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        if is_filtered:
            return super().nothing(is_filtered)
        return f"No {FILES[self._file].one} is on record.\n\nPress F3 to enter one, Esc to go back."

    def find(self, text: str) -> Found[Any]:
        """Return the rows that hold `text`."""
        if self._rows is None:
            self._rows = self.desk.records(self._file, self._about)
        return Found(holding(self._rows, text, _words), len(self._rows))

    def tell(self, item: Any) -> None:
        """Say all that is on record of the row."""
        self.query_one(LinesPanel).show(lambda _: () if item is None else tuple(_lines(item)))

    def open_item(self, item: Any) -> None:
        """Open the row's form."""
        self.post_message(OpenRecord(self._file, item))

    def action_new(self) -> None:
        """Enter a new row, with what is known of it."""
        self.post_message(OpenRecord(self._file, None, self._about))

    def on_screen_resume(self) -> None:
        """Read anew what may have been changed on the form."""
        if self._rows is not None:
            self._rows = None
            self.ask_again()


def _fields(file: str) -> tuple[Field[Any], ...]:
    book_file = FILES_BY_NAME[file]
    keys = [name.rstrip("_") for name in book_file.key]
    names = [*keys, *(name for name in book_file.header if name not in keys)][:SHOWN]
    return tuple(_field(name, at, name in keys) for at, name in enumerate(names))


def _field(name: str, at: int, is_key: bool) -> Field[Any]:
    width = None if at < 3 else 16
    return Field(
        Column(label(name), width, least=10),
        lambda row: texts_of(row).get(name, ""),
        lambda _: "strong" if is_key else "",
        0 if at < 3 else WIDE,
    )


def _words(row: Any) -> str:
    return " ".join(texts_of(row).values())


def _lines(row: Any) -> Iterator[Content]:
    pieces: list[Piece] = []
    for name, text in texts_of(row).items():
        pieces += [(f"{label(name)} ", QUIET), (text, STRONG), "   "]
    yield said(*pieces)
