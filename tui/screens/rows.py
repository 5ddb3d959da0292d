"""The rows of one file, filtered by what is typed; Enter opens a row, F3 enters a new one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from textual.content import Content

from parts.records import fields
from parts.records.book import FILES_BY_NAME
from parts.records.cells import texts_of
from parts.records.fields import Kind
from tui import actions, words
from tui.forms.record_fields import FILES, label
from tui.messages import OpenRecord
from tui.screens.filtered import FilteredPage, Found, holding
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

SHOWN, SHOWN_NARROW = 5, 3
"""Columns of a row that are listed, at least its key and one more; the panel has all."""
WIDE = 110
SHORT = {"crane": 8, "bay": 8, "upgrade": 8, "currency": 8, "order": 12, "value": 8}
"""What is short wherever it stands, so that long texts beside it get the room."""
BETWEEN = "   "
KIND_WIDTHS = {Kind.DAY: 10, Kind.NUMBER: 10, Kind.WHOLE: 8, Kind.FLAG: 8}


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
        self.query_one(LinesPanel).show(
            lambda width: () if item is None else tuple(_lines(item, width))
        )

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
    columns = dict(zip(book_file.header, book_file.columns, strict=True))
    names = [*keys, *(name for name in book_file.header if name not in keys)]
    least = max(SHOWN_NARROW, len(keys) + 1)
    return tuple(
        _field(_column(columns[name], name), name, name in keys, 0 if at < least else WIDE)
        for at, name in enumerate(names[: max(SHOWN, least)])
    )


def _field(column: Column, name: str, is_key: bool, from_width: int) -> Field[Any]:
    return Field(
        column,
        lambda row: texts_of(row).get(name, ""),
        lambda _: "strong" if is_key else "",
        from_width,
    )


def _column(column: fields.Column, name: str) -> Column:
    """Return a column as wide as its kind needs, figures to the right; texts share the rest."""
    width = SHORT.get(name) or KIND_WIDTHS.get(column.kind)
    if column.choices:
        width = max(map(len, column.choices))
    title = label(name)
    is_figure = column.kind in (Kind.NUMBER, Kind.WHOLE)
    return Column(
        title, width and max(width, len(title)), "right" if is_figure else "left", least=10
    )


def _words(row: Any) -> str:
    return " ".join(texts_of(row).values())


def _lines(row: Any, width: int) -> Iterator[Content]:
    """Return all facts of a row, each whole on a line where it fits."""
    line = said()
    for name, text in texts_of(row).items():
        fact = said((f"{label(name)} ", QUIET), (text, STRONG))
        if line.cell_length and line.cell_length + len(BETWEEN) + fact.cell_length > width:
            yield line
            line = said()
        line = line + said(BETWEEN) + fact if line.cell_length else fact
    yield line
