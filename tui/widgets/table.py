"""A table that draws only the rows in view, so that 400,000 parts cost what a page costs.

    table = RowTable(Column("Part", 16), Column("Name"), Column("Days", 6, "right"), empty="...")
    table.set_rows(rows, keep_cursor_at=17, total=10_000)     rows: see `tui.widgets.rows`
    table.mark_sort(2, descending=True); table.move_cursor(3); table.position; table.copy_tsv()
    posts RowHighlighted(index | None, position), RowChosen(index), HeaderChosen(column)

Knows drawing, cursor and scrolling; refuses to sort, filter or fetch: it says what was asked and
whoever owns the rows answers with `set_rows`. Cells are plain segments and go through `shown`.
"""

from __future__ import annotations

from functools import partial
from typing import ClassVar, TypeAlias

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.actions import SkipAction
from textual.binding import Binding, BindingType
from textual.cache import LRUCache
from textual.geometry import Region, Size
from textual.reactive import Reactive
from textual.scroll_view import ScrollView
from textual.selection import Selection
from textual.strip import Strip

from tui.widgets import table_messages
from tui.widgets.columns import Column, fit, furthest_first, lay_out
from tui.widgets.drawing import Sort, empty_lines, header_strip, row_strip, with_selection
from tui.widgets.rows import ItemRows, Rows, StyledRows, tsv_line
from tui.widgets.table_messages import Position

STYLE_WORDS = ("strong", "warn", "quiet", "down", "reduced", "in-service", "assumed")
HEADER_LINES = 1
SELECTED_LINES_AT_MOST = 2_000
_NO_ROWS: ItemRows[tuple[str, ...]] = ItemRows((), lambda cells: cells)


class RowTable(ScrollView, can_focus=True, inherit_bindings=False):
    """The table widget."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"row-table--{name}" for name in ("header", "cursor", "cursor-away", "empty", *STYLE_WORDS)
    }
    DEFAULT_CSS = """
    RowTable {
        background: $surface; color: $foreground;
        overflow-x: hidden; overflow-y: auto; scrollbar-size-vertical: 1;
        & > .row-table--header { background: $panel; color: $foreground; text-style: bold; }
        & > .row-table--cursor {
            background: $block-cursor-background; color: $block-cursor-foreground;
            text-style: bold;
        }
        & > .row-table--cursor-away { background: $panel; color: $foreground; text-style: bold; }
        & > .row-table--empty { color: $text-muted; }
        & > .row-table--strong { text-style: bold; }
        & > .row-table--warn { color: $text-warning; text-style: bold; }
        & > .row-table--quiet { color: $text-muted; }
        & > .row-table--down { color: $text-error; text-style: bold; }
        & > .row-table--reduced { color: $text-warning; text-style: bold; }
        & > .row-table--in-service { color: $text-success; }
        & > .row-table--assumed { color: $text-secondary; text-style: italic; }
    }
    RowTable:nocolor {
        & > .row-table--header { text-style: bold underline; }
        & > .row-table--cursor {
            background: $surface; color: $foreground; text-style: bold reverse;
        }
        & > .row-table--cursor-away {
            background: $surface; color: $foreground; text-style: bold underline;
        }
        & > .row-table--warn, & > .row-table--down, & > .row-table--reduced {
            color: $foreground; text-style: bold;
        }
        & > .row-table--quiet, & > .row-table--in-service, & > .row-table--empty {
            color: $foreground;
        }
        & > .row-table--assumed { color: $foreground; text-style: italic; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "Row up", show=False, id="table.up"),
        Binding("down", "step(1)", "Row down", show=False, id="table.down"),
        Binding("pageup", "page(-1)", "Page up", show=False, id="table.pageup"),
        Binding("pagedown", "page(1)", "Page down", show=False, id="table.pagedown"),
        Binding("home", "edge(False)", "First row", show=False, id="table.first"),
        Binding("end", "edge(True)", "Last row", show=False, id="table.last"),
        Binding("left", "columns(-1)", "Columns left", show=False, id="table.left"),
        Binding("right", "columns(1)", "Columns right", show=False, id="table.right"),
        Binding("enter", "choose", "Choose the row", show=False, id="table.choose"),
    ]

    # the screen is laid out anew only where a scrollbar comes or goes: see `_measure`
    virtual_size = Reactive(Size(0, 0))

    RowHighlighted: TypeAlias = table_messages.RowHighlighted
    RowChosen: TypeAlias = table_messages.RowChosen
    HeaderChosen: TypeAlias = table_messages.HeaderChosen

    def __init__(
        self,
        *columns: Column,
        rows: Rows = _NO_ROWS,
        empty: str = "",
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._columns: tuple[Column, ...] = columns
        self._take(rows, None)
        self._empty = empty
        self._cursor = 0
        self._first_column = 1
        self._sort: Sort | None = None
        self._layout_now = lay_out(columns, 0)
        self._strips: LRUCache[int, Strip] = LRUCache(256)
        self._looks: dict[str, Style] = {}

    # What a screen asks and sets

    @property
    def rows(self) -> Rows:
        """Return the rows that are listed."""
        return self._rows

    @property
    def columns(self) -> tuple[Column, ...]:
        """Return the columns, hidden ones too."""
        return self._columns

    @property
    def cursor(self) -> int | None:
        """Return the index of the cursor's row, or None without rows."""
        return self._cursor if len(self._rows) else None

    @property
    def position(self) -> Position:
        """Return "n of m" as numbers that print as that."""
        listed = len(self._rows)
        return Position(self._cursor + 1 if listed else 0, listed, self._total)

    def set_rows(
        self, rows: Rows, *, keep_cursor_at: int | None = None, total: int | None = None
    ) -> None:
        """List other rows; the cursor goes to `keep_cursor_at`, on the same line, or to the top.

        `total` is how many there would be without a filter.
        """
        line_of_cursor = self._cursor - self.scroll_offset.y
        self._take(rows, total)
        self._cursor = self._within(keep_cursor_at or 0)
        if not self.is_mounted:
            return  # the first resize draws, mounting tells
        self._measure()
        self._scroll(0 if keep_cursor_at is None else self._cursor - line_of_cursor)
        self._show_cursor()
        self.redraw()
        self._tell_highlighted()

    def set_columns(self, *columns: Column) -> None:
        """Show other columns of the same rows, from the first one on."""
        self._columns = columns
        self._first_column = 1
        self._sort = None
        if self.is_mounted:
            self._measure()
            self.redraw()

    def set_empty_text(self, text: str) -> None:
        """Say what stands in place of rows: what is missing, and which key helps."""
        self._empty = text
        self.redraw()

    def mark_sort(self, column: int | None, *, descending: bool = False) -> None:
        """Mark in the header by which column the rows are sorted; None takes the mark away."""
        self._sort = None if column is None else (column, descending)
        self.refresh()

    def move_cursor(self, index: int) -> None:
        """Put the cursor on a row, the nearest there is, and bring it into view."""
        before, self._cursor = self._cursor, self._within(index)
        self._show_cursor()
        if before == self._cursor:
            return
        self.redraw_row(before)
        self.redraw_row(self._cursor)
        self._tell_highlighted()

    def redraw_row(self, index: int) -> None:
        """Draw one row anew, after its data or the cursor changed."""
        self._strips.discard(index)
        line = index + HEADER_LINES - self.scroll_offset.y
        if HEADER_LINES <= line < self._height:
            self.refresh(Region(0, line, self.size.width, 1))

    def redraw(self) -> None:
        """Draw everything anew, after data changed behind the same rows."""
        self._strips.clear()
        self.refresh()

    def copy_tsv(self) -> str:
        """Return the cursor's row, tab between cells, safe to paste into a spreadsheet."""
        if self.cursor is None:
            return ""
        return tsv_line(self._rows.row(self._cursor))

    # Drawing

    def render_line(self, y: int) -> Strip:
        """Return one line of the screen: the header, a row, or what stands in place of rows."""
        if y < HEADER_LINES:
            look = self._look("header")
            return header_strip(self._layout_now, self._columns, self._sort, look)
        if not len(self._rows):
            return self._empty_line(y - HEADER_LINES)
        index = self.scroll_offset.y + y - HEADER_LINES
        if index >= len(self._rows):
            return Strip.blank(self._layout_now.room, self._look(""))
        if index == self._cursor or self.text_selection is not None:
            return self._row(index)
        strip = self._strips.get(index)
        if strip is None:
            strip = self._strips[index] = self._row(index)
        return strip

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the lines of a region, after a look whether the scrollbar took a cell."""
        if self.scrollable_content_region.width != self._layout_now.room:
            self._measure()
        return super().render_lines(crop)

    def _row(self, index: int) -> Strip:
        cells = self._rows.row(index)
        looks = partial(self._look_of, index)
        strip = row_strip(self._layout_now, self._columns, cells, looks)
        line = index + HEADER_LINES
        if (selection := self.text_selection) is not None:
            strip = with_selection(strip, selection.get_span(line), self.selection_style)
        return strip.apply_offsets(0, line)

    def _empty_line(self, line: int) -> Strip:
        room = self._layout_now.room
        lines = empty_lines(self._empty, room)
        text = lines[line] if line < len(lines) else ""
        return Strip([Segment(fit(text, room), self._look("empty"))], room)

    def _look_of(self, index: int, column: int | None) -> Style:
        word = "" if column is None or self._styled is None else self._styled.style(index, column)
        if index != self._cursor:
            return self._look(word)
        look = self._look(word)  # on the cursor's row the word keeps its weight, not its hue
        base = self._look("cursor" if self.has_focus else "cursor-away")
        return base + Style(bold=look.bold, italic=look.italic)

    def _look(self, word: str) -> Style:
        if word not in self._looks:
            known = f"row-table--{word}" in self.COMPONENT_CLASSES
            self._looks[word] = (
                self.get_component_rich_style(f"row-table--{word}") if known else self.rich_style
            )
        return self._looks[word]

    # Selecting text with the mouse

    def get_selection(self, selection: Selection) -> tuple[str, str] | None:
        """Return the text under a selection, as drawn, without the header."""
        last = len(self._rows)
        start = HEADER_LINES if selection.start is None else selection.start.y
        end = last if selection.end is None else min(last, selection.end.y)
        lines = []
        for line in range(max(HEADER_LINES, start), min(end, start + SELECTED_LINES_AT_MOST) + 1):
            span = selection.get_span(line)
            text = self._row(line - HEADER_LINES).text
            if span is not None:
                lines.append(text[span[0] : None if span[1] == -1 else span[1]].rstrip())
        return "\n".join(lines), "\n"

    def selection_updated(self, selection: Selection | None) -> None:
        """Draw anew when the selected text changes."""
        self.redraw()

    # Keys and mouse

    def action_step(self, rows: int) -> None:
        """Move the cursor by some rows."""
        self.move_cursor(self._cursor + rows)

    def action_page(self, pages: int) -> None:
        """Move the cursor by the rows that are in view."""
        self.move_cursor(self._cursor + pages * max(1, self._height - HEADER_LINES))

    def action_edge(self, last: bool) -> None:
        """Move the cursor to the last row or the first."""
        self.move_cursor(len(self._rows) - 1 if last else 0)

    def action_columns(self, columns: int) -> None:
        """Scroll sideways by whole columns; the first column stays."""
        furthest = furthest_first(self._columns, self._layout_now.room)
        first = max(1, min(furthest, self._first_column + columns))
        if first != self._first_column:
            self._first_column = first
            self._measure()
            self.redraw()

    def action_choose(self) -> None:
        """Choose the cursor's row; without one the key is the page's, which says so."""
        if self.cursor is None:
            raise SkipAction
        self.post_message(self.RowChosen(self, self.cursor))

    def on_click(self, event: events.Click) -> None:
        """Move the cursor to the row clicked, choose it if it is there, or name the header."""
        event.prevent_default()  # the framework would select all the text on a double click
        place = event.get_content_offset(self)
        if place is None or self.text_selection is not None:
            return
        event.stop()
        if place.y < HEADER_LINES:
            column = self._layout_now.column_at(place.x)
            if column is not None:
                self.post_message(self.HeaderChosen(self, column))
            return
        index = self.scroll_offset.y + place.y - HEADER_LINES
        if index == self.cursor:
            self.action_choose()
        elif index < len(self._rows):
            self.move_cursor(index)

    def on_mouse_scroll_left(self) -> None:
        """Scroll sideways with the wheel of mice that have one for it."""
        self.action_columns(-1)

    def on_mouse_scroll_right(self) -> None:
        """Scroll sideways with the wheel of mice that have one for it."""
        self.action_columns(1)

    def on_mount(self) -> None:
        """Tell where the cursor is, for rows given at the start."""
        if len(self._rows):
            self._tell_highlighted()

    def on_resize(self) -> None:
        """Lay the columns out for the new width and keep the cursor in view."""
        self._measure()
        self._show_cursor()
        self.redraw()

    def on_focus(self) -> None:
        """Show that keys go to this table."""
        self.redraw_row(self._cursor)

    def on_blur(self) -> None:
        """Show that keys go elsewhere."""
        self.redraw_row(self._cursor)

    def notify_style_update(self) -> None:
        """Forget looks and drawn rows, as the theme or a class changed."""
        self._looks.clear()
        self._strips.clear()
        super().notify_style_update()

    # Inner figures

    @property
    def _height(self) -> int:
        return self.scrollable_content_region.height

    def _take(self, rows: Rows, total: int | None) -> None:
        self._rows = rows
        self._styled = rows if isinstance(rows, StyledRows) else None  # asked once: it is slow
        self._total = len(rows) if total is None else total

    def _within(self, index: int) -> int:
        return max(0, min(index, len(self._rows) - 1))

    def _measure(self) -> None:
        room = self.scrollable_content_region.width
        self._first_column = min(self._first_column, furthest_first(self._columns, room))
        self._layout_now = lay_out(self._columns, room, self._first_column)
        self._strips.clear()
        lines = len(self._rows) + HEADER_LINES
        self.virtual_size = Size(room, lines)
        if (lines > self._height) != self.show_vertical_scrollbar:
            self.refresh(layout=True)
        elif self.show_vertical_scrollbar:
            self.vertical_scrollbar.window_virtual_size = lines

    def _show_cursor(self) -> None:
        in_view = max(1, self._height - HEADER_LINES)
        top = self.scroll_offset.y
        self._scroll(max(min(top, self._cursor), self._cursor - in_view + 1))

    def _scroll(self, top: int) -> None:
        if top != self.scroll_offset.y:
            self.scroll_to(y=max(0, top), animate=False, force=True)

    def _tell_highlighted(self) -> None:
        self.post_message(self.RowHighlighted(self, self.cursor, self.position))
