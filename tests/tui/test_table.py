"""The table shows what a person would read, whatever the data, the size and the number of rows.

Hostile texts: control functions of ECMA-48, order marks of CVE-2021-42574, and the tag forms that
the framework's own widgets read as markup.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.style import Style
from textual import events
from textual.app import App, ComposeResult
from textual.pilot import Pilot

from tests.tui.screen_text import screen_lines, screen_text
from tui.widgets.columns import GAP, Column, fit, furthest_first, lay_out, widths
from tui.widgets.drawing import empty_lines, header_strip, row_strip, with_selection
from tui.widgets.rows import ItemRows, Pages, tsv_line
from tui.widgets.table import RowTable
from tui.widgets.table_messages import Position

COLUMNS = (
    Column("Part", 10),
    Column("Name"),
    Column("State", 14),
    Column("Lead days", 11, "right"),
    Column("Note", 30),
)
HOSTILE = [
    "A[red]B[/red]C",
    "X[@click=app.pwn]LINK[/]Y",
    "[link=https://e.org]z[/link]",
    "bolt [/x] M8",
    "[type=x, v={'a[0]'}]",
    "[$error]x",
    "50\\[Hz]",
]
COMMANDS = {
    "a\x1b[2Jb": "a␛[2Jb",
    "\x1b]52;c;aGk=\x1b\\": "␛]52;c;aGk=␛\\",
    "\x1b]2;title\x07": "␛]2;title␇",
    "\x9b2J": "<U+009B>2J",
    "\u202egnp.exe": "<U+202E>gnp.exe",
    "bell\x07 back\x08 \x7f": "bell␇ back␈ ␡",
    "two\r\nlines\tcells": "two lines cells",
}


def parts(count: int) -> ItemRows[int]:
    return ItemRows(
        range(count), lambda n: (f"P-{n:06d}", f"brake disc {n}", "in service", str(n), f"note {n}")
    )


class TableApp(App[None]):
    def __init__(self, rows: ItemRows[int] | ItemRows[str], empty: str = "") -> None:
        super().__init__()
        self.table = RowTable(*COLUMNS, rows=rows, empty=empty)
        self.told: list[object] = []

    def compose(self) -> ComposeResult:
        yield self.table

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        self.told.append(("row", event.index, str(event.position)))

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        self.told.append(("chosen", event.index))

    def on_row_table_header_chosen(self, event: RowTable.HeaderChosen) -> None:
        self.told.append(("header", event.column))


@pytest.fixture(autouse=True)
def _no_person_s_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("TEXTUAL_THEME", raising=False)


# Cells and columns, without an app


def test_a_cell_without_room_is_empty() -> None:
    assert fit("anything", 0) == ""


@pytest.mark.parametrize(
    ("text", "expected"),
    [("", "      "), ("disc", "disc  "), ("brake disc", "brake…"), ("漢字漢字", "漢字 …")],
)
def test_a_cell_is_padded_or_cut_to_its_width(text: str, expected: str) -> None:
    assert fit(text, 6) == expected


def test_figures_stand_on_the_right() -> None:
    assert fit("12", 5, "right") == "   12"


ODD = "ab \u200d\ufe0f\u0301👍🏽漢é☎❤👩\u200cเ\u1160ᄀ\u202e\x1b🇩🇪#\u20e3"
ANY_TEXT = st.text(st.characters(codec=None, exclude_categories=())) | st.text(ODD)


@given(ANY_TEXT, st.integers(1, 30))
def test_any_text_fills_its_cell_exactly(text: str, width: int) -> None:
    assert cell_len(fit(text, width)) == width
    assert cell_len(fit(text, width, "right")) == width


def test_columns_without_a_width_share_what_is_left() -> None:
    found = widths([Column("a", 10), Column("b"), Column("c")], 51)

    assert found == [10, 19, 18]
    assert sum(found) + 2 * GAP == 51


@given(
    st.lists(st.one_of(st.none(), st.integers(1, 40)), min_size=1, max_size=12),
    st.integers(1, 200),
    st.integers(1, 12),
)
def test_no_column_is_drawn_outside_the_room(
    asked: list[int | None], room: int, first: int
) -> None:
    columns = [Column(str(n), width) for n, width in enumerate(asked)]
    layout = lay_out(columns, room, first)

    assert layout.slots[0].column == 0
    assert all(slot.x + slot.width <= room for slot in layout.slots)
    assert cell_len("".join(t for t, _ in layout.spread([" " * s.width for s in layout.slots])))


def test_the_last_column_can_always_be_brought_into_view() -> None:
    for room in range(12, 140):
        layout = lay_out(COLUMNS, room, furthest_first(COLUMNS, room))

        assert layout.slots[-1].column == len(COLUMNS) - 1 or len(layout.slots) == 1


def test_a_row_with_too_few_cells_is_filled_with_blanks() -> None:
    layout = lay_out(COLUMNS, 100)
    strip = row_strip(layout, COLUMNS, ("P-1",), lambda _: Style())

    assert strip.text.rstrip() == "P-1"
    assert strip.cell_length == 100


def test_the_header_marks_the_sorted_column_even_where_its_title_is_cut() -> None:
    layout = lay_out([Column("Part", 10), Column("Days to have", 8)], 20)
    columns = [Column("Part", 10), Column("Days to have", 8)]

    assert "Days t…▼" in header_strip(layout, columns, (1, True), Style()).text
    assert "Part ▲" in header_strip(layout, columns, (0, False), Style()).text


def test_a_selection_of_wide_letters_is_marked_by_cells() -> None:
    layout = lay_out([Column("Part", 10)], 10)
    strip = row_strip(layout, [Column("Part", 10)], ("漢字ab",), lambda _: Style())
    marked = with_selection(strip, (1, 3), Style(reverse=True))

    assert [s.text for s in marked if s.style and s.style.reverse] == ["字a"]


def test_the_text_in_place_of_rows_is_wrapped() -> None:
    assert empty_lines("No parts yet.\nPress i.", 10) == ["", " No parts", " yet.", " Press i."]


# Rows


def test_pages_are_fetched_once_while_they_are_kept() -> None:
    asked: list[tuple[int, int]] = []

    def fetch(first: int, how_many: int) -> list[int]:
        asked.append((first, how_many))
        return list(range(first, first + how_many))

    pages = Pages(1_000, fetch, page=10, kept=2)
    got = [pages[5], pages[9], pages[15], pages[995], pages[3]]

    assert got == [5, 9, 15, 995, 3]
    assert asked == [(0, 10), (10, 10), (990, 10), (0, 10)]


def test_a_row_that_is_gone_meanwhile_is_empty() -> None:
    rows = ItemRows(Pages(5, lambda first, how_many: ["only"]), lambda item: (item,))

    assert rows.row(0) == ("only",)
    assert rows.row(4) == ()


@pytest.mark.parametrize(
    "begins", ["=1+1", "+5 V", "-10", "@sum", " =1", "\u00a0=1", "＝1", "\t=1"]
)
def test_a_copied_cell_is_no_formula(begins: str) -> None:
    copied = tsv_line([begins, "M8"])

    assert copied.startswith("'")
    assert copied.endswith("\tM8")


# On a screen


async def test_a_hundred_thousand_rows_open_and_end_is_reached() -> None:
    app = TableApp(parts(100_000))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end")
        lines = screen_lines(app)

        assert lines[0].startswith("Part")
        assert lines[-1].startswith("P-099999")
        assert str(app.table.position) == "100000 of 100000"


async def test_only_rows_in_view_are_asked_for() -> None:
    asked: set[int] = set()

    def cells(number: int) -> tuple[str, ...]:
        asked.add(number)
        return (str(number),)

    app = TableApp(ItemRows(range(100_000), cells))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end")

        assert len(asked) <= 2 * 23


async def test_the_cursor_moves_by_rows_and_pages() -> None:
    app = TableApp(parts(100))
    async with app.run_test(size=(80, 11)) as pilot:
        await pilot.press("down", "down", "up", "pagedown", "pagedown", "pageup", "home", "up")

        rows = [told[1] for told in app.told if isinstance(told, tuple)]
        assert rows == [0, 1, 2, 1, 11, 21, 11, 0]


async def test_moving_the_cursor_draws_two_rows_only() -> None:
    asked: list[int] = []

    def cells(number: int) -> tuple[str, ...]:
        asked.append(number)
        return (str(number),)

    app = TableApp(ItemRows(range(100), cells))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        asked.clear()
        await pilot.press("down")

        assert sorted(set(asked)) == [0, 1]


async def test_enter_chooses_the_row() -> None:
    app = TableApp(parts(5))
    async with app.run_test() as pilot:
        await pilot.press("down", "enter")

        assert app.told[-1] == ("chosen", 1)


async def test_the_mouse_moves_chooses_sorts_and_scrolls() -> None:
    app = TableApp(parts(1_000))
    async with app.run_test(size=(100, 24)) as pilot:
        await pilot.click(RowTable, offset=(5, 3))
        await pilot.click(RowTable, offset=(5, 3))
        await pilot.click(RowTable, offset=(14, 0))
        app.table.post_message(wheel_down(app.table))
        await pilot.pause()

        assert app.told[1:] == [("row", 2, "3 of 1000"), ("chosen", 2), ("header", 1)]
        assert app.table.scroll_offset.y > 0


def wheel_down(table: RowTable) -> events.MouseScrollDown:
    return events.MouseScrollDown(table, 5, 5, 0, 0, 0, False, False, False)


async def test_a_click_below_the_last_row_does_nothing() -> None:
    app = TableApp(parts(2))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.click(RowTable, offset=(5, 10))

        assert app.told == [("row", 0, "1 of 2")]


@pytest.mark.parametrize("text", HOSTILE)
async def test_markup_in_data_is_shown_as_it_is(text: str) -> None:
    app = TableApp(ItemRows([text], lambda t: ("P-1", "", "", "", t)))
    async with app.run_test(size=(140, 10)):
        assert text in screen_text(app)


@pytest.mark.parametrize("text", COMMANDS)
async def test_what_a_terminal_would_obey_is_shown_as_a_picture(text: str) -> None:
    app = TableApp(ItemRows([text], lambda t: ("P-1", "", "", "", t)))
    async with app.run_test(size=(140, 10)):
        drawn = screen_text(app)

        assert COMMANDS[text] in drawn
        assert not set(drawn) & set("\x1b\x9b\x07\x08\x7f\u202e\t\r")


async def test_wide_letters_keep_the_columns_in_line() -> None:
    app = TableApp(ItemRows(["漢字漢字漢字", "👍🏽 ok", "plain"], lambda t: ("P-1", t, "down")))
    async with app.run_test(size=(100, 10)):
        starts = {cell_len(line.split("down")[0]) for line in screen_lines(app)[1:4]}

        assert len(starts) == 1


async def test_an_empty_table_says_what_is_missing() -> None:
    app = TableApp(parts(0), empty="No parts yet.\nPress i to read a site book.")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "enter", "end", "pagedown")
        text = screen_text(app)

        assert "No parts yet." in text
        assert "Press i to read a site book." in text
        assert app.told == []
        assert app.table.cursor is None
        assert app.table.copy_tsv() == ""


async def test_other_rows_keep_the_cursor_on_its_line() -> None:
    app = TableApp(parts(1_000))
    async with app.run_test(size=(80, 24)) as pilot:
        app.table.move_cursor(500)
        app.table.move_cursor(495)
        await pilot.pause()
        line = next(i for i, text in enumerate(screen_lines(app)) if "P-000495" in text)
        app.table.set_rows(parts(2_000), keep_cursor_at=1_495, total=5_000)
        await pilot.pause()

        assert "P-001495" in screen_lines(app)[line]
        assert app.told[-1] == ("row", 1495, "1496 of 2000 (5000 in all)")


async def test_fewer_rows_leave_no_old_ones_on_the_screen() -> None:
    app = TableApp(parts(1_000))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end")
        app.table.set_rows(parts(2), total=1_000)
        await pilot.pause()
        lines = [line for line in screen_lines(app) if line]

        assert [line[:8] for line in lines[1:]] == ["P-000000", "P-000001"]
        assert app.table.position == Position(1, 2, 1_000)


async def test_columns_scroll_one_at_a_time_and_the_first_stays() -> None:
    app = TableApp(parts(10))
    async with app.run_test(size=(50, 10)) as pilot:
        before = screen_lines(app)[0]
        await pilot.press("right", "right", "right", "right", "right")
        after = screen_lines(app)
        await pilot.press("left", "left", "left", "left", "left")

        assert before.endswith("›")
        assert after[0].startswith("Part      ‹ Note")
        assert after[1].startswith("P-000000    note 0")
        assert screen_lines(app)[0] == before


@pytest.mark.parametrize("size", [(20, 5), (1, 1), (2, 2), (8, 3)])
async def test_a_tiny_terminal_still_works(size: tuple[int, int]) -> None:
    app = TableApp(parts(50))
    async with app.run_test(size=size) as pilot:
        await pilot.press("down", "right", "right", "pagedown", "end", "enter")

        assert app.told[-1] == ("chosen", 49)
        assert all(cell_len(line) <= size[0] for line in screen_lines(app))


async def test_a_smaller_window_keeps_the_cursor_in_view(pilot_size: tuple[int, int]) -> None:
    app = TableApp(parts(100))
    async with app.run_test(size=(120, 40)) as pilot:
        app.table.move_cursor(35)
        await pilot.resize_terminal(*pilot_size)
        await pilot.pause()

        assert any("P-000035"[: pilot_size[0] // 3] in line for line in screen_lines(app)[1:])


@pytest.fixture(params=[(60, 10), (20, 5), (140, 12)])
def pilot_size(request: pytest.FixtureRequest) -> tuple[int, int]:
    size: tuple[int, int] = request.param
    return size


async def test_a_copied_row_holds_hidden_columns_too() -> None:
    app = TableApp(ItemRows([7], lambda n: ("P-7", "disc\t315", "-", "=1", "\x1b[2J")))
    async with app.run_test(size=(30, 5)):
        assert app.table.copy_tsv() == "P-7\tdisc 315\t'-\t'=1\t␛[2J"


async def test_another_theme_is_seen_at_once() -> None:
    app = TableApp(parts(10))
    async with app.run_test(size=(80, 24)) as pilot:
        before = cursor_colour(app)
        app.theme = "textual-light" if app.theme != "textual-light" else "textual-dark"
        await pilot.pause()

        assert cursor_colour(app) != before


def cursor_colour(app: TableApp) -> object:
    style = next(iter(app.table.render_line(5))).style
    assert style is not None
    return style.bgcolor


async def test_without_colours_the_cursor_is_reversed_and_states_are_bold(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    rows = ItemRows(["a", "b"], lambda t: (t, "", "▼ down"), lambda t, c: "down" if c == 2 else "")
    app = TableApp(rows)
    async with app.run_test(size=(100, 10)):
        on_cursor = [s.style for s in app.table.render_line(1) if s.style]
        down = [s.style for s in app.table.render_line(2) if "down" in s.text]

        assert all(style.reverse for style in on_cursor)
        assert down[0] is not None
        assert down[0].bold


async def test_text_dragged_over_is_selected_without_moving_the_cursor() -> None:
    app = TableApp(parts(10))
    async with app.run_test(size=(100, 12)) as pilot:
        await drag(pilot, (2, 3), (12, 4))

        third = screen_lines(app)[3]
        assert app.screen.get_selected_text() == f"{third[2:]}\nP-000003    b"
        assert app.table.cursor == 0


async def drag(pilot: Pilot[None], start: tuple[int, int], end: tuple[int, int]) -> None:
    await pilot.mouse_down(RowTable, offset=start)
    await pilot.hover(RowTable, offset=end)
    await pilot.mouse_up(RowTable, offset=end)
    await pilot.pause()


async def test_rows_may_be_set_before_the_table_is_on_a_screen() -> None:
    app = TableApp(parts(0))
    app.table.set_rows(parts(500), keep_cursor_at=400)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()

        assert any(line.startswith("P-000400") for line in screen_lines(app))
        assert app.told[-1] == ("row", 400, "401 of 500")


async def test_the_wheel_may_leave_the_cursor_and_a_key_comes_back_to_it() -> None:
    app = TableApp(parts(1_000))
    async with app.run_test(size=(80, 24)) as pilot:
        app.table.scroll_to(y=600, animate=False)
        await pilot.pause()
        assert screen_lines(app)[1].startswith("P-000600")
        await pilot.press("down")

        assert any(line.startswith("P-000001") for line in screen_lines(app))
