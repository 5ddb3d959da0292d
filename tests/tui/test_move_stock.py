"""Issue, receive, count, undo by keys alone, on a database of its own.

The site has three shoe brakes BRK-2 in the main store. Both brakes of HM-1 bear load.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.services import stock, stock_cards
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import TODAY, opened, press, settle, words, written_desk
from tui.desk import Desk
from tui.forms.fields import Offered, meaning_of
from tui.forms.form_line import FormLine
from tui.screens.form import FormPage


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return written_desk(tmp_path / "site.db")


def book(desk: Desk, part: str = "BRK-2") -> int:
    return stock_cards.card(desk.database, part, TODAY).book


async def test_a_part_is_issued_with_four_keys_besides_its_number(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2")
        assert "3 usable of 3 in main store" in words(pilot)
        await press(pilot, "f2")

        assert "BRK-2 issued: 2 on hand in main store." in words(pilot)
        assert book(desk) == 2
        await press(pilot, "enter")
        assert "longpole › fleet" in screen_text(pilot.app)


async def test_more_than_is_there_is_refused_beside_the_line_and_nothing_is_booked(
    desk: Desk,
) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2", "enter", "backspace", "5", "f2")
        line = next(each for each in pilot.app.screen.query(FormLine) if each.is_wrong)

        assert line.field.name == "qty"
        assert "on hand 3, asked 5, short 2" in words(pilot)
        assert book(desk) == 3


@pytest.mark.parametrize("typed", ["0", "-1", "1.5", "1_0", "²", "abc", "99999999999"])
async def test_a_quantity_that_is_none_is_told_beside_its_line(desk: Desk, typed: str) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2", "enter", "backspace")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        page.put({"qty": typed})
        await press(pilot, "f2")

        assert page.line("qty").is_wrong
        assert book(desk) == 3


async def test_from_a_position_the_part_and_the_place_are_known(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "slash", *"brake1", "enter", "m", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)

        assert page.values["part"] == "BRK-2"
        assert page.values["at"] == "HM-1/brake 1"
        await press(pilot, "f2")

        assert "a booking releases nothing" in words(pilot)
        site = desk.read()
        row = site.positions.position.index("brake 1")
        assert site.positions.installed[row] == TODAY


async def test_what_was_typed_survives_the_end_of_the_program(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2", "enter", "backspace", "2", "escape", "k")
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)

        assert page.values["qty"] == "2"
        assert "did not save is back" in words(pilot)
        await press(pilot, "f2")

    assert book(desk) == 1


async def test_a_part_tells_where_it_lies(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "slash", *"BRK-2", "enter")

        assert "Where it lies 3 in main store" in words(pilot)


async def test_an_emptied_form_is_typed_from_its_first_line_again(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", "f2", *"BRK-2", "enter", "2", "f9")
        assert words(pilot).count("whole units") == 1, "said beside its line, not at the foot"
        await press(pilot, *"BRK")
        page = pilot.app.screen
        assert isinstance(page, FormPage)

        assert (page.values["part"], page.values["qty"]) == ("BRK", "1")
        assert not any(line.wrong for line in page.lines)


async def test_escape_with_something_typed_asks_and_enter_goes_on_typing(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK", "escape")
        assert "What you typed is not saved." in words(pilot)
        await press(pilot, "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)

        assert page.values["part"] == "BRK"


async def test_a_step_is_undone_from_where_it_was_booked_after_one_question(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2", "f2", "u")
        assert "issue -1 BRK-2" in words(pilot)
        await press(pilot, "enter")
        assert "Undo this step?" in words(pilot)
        await press(pilot, "enter")
        assert book(desk) == 2
        await press(pilot, "enter", "y")

        assert "BRK-2 undone: 3 on hand in main store." in words(pilot)
        assert "u undo" not in words(pilot), "a reversal is not reversed"
        assert book(desk) == 3
        await press(pilot, "enter")
        assert "issued" not in words(pilot), "what no longer holds is not told"


async def test_a_count_books_what_differs(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", *["down"] * 3, "enter", *"BRK-2", "enter", "2", "f2")

        assert "counted 2, book 3" in words(pilot).lower()
        assert book(desk) == 2


async def test_what_bears_load_wants_its_certificate(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "down", "enter", *"BRK-2", "f2")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        assert page.line("certificate").is_wrong
        await press(pilot, *"C-1", "f2")

        assert "BRK-2 received" in words(pilot)


async def test_the_fleet_is_read_anew_after_a_step(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"BRK-2", "f2", "enter")
        await settle(pilot)
        await press(pilot, "m", "end", "enter")

        assert "issue" in words(pilot)


async def test_saving_twice_books_once(desk: Desk) -> None:
    facts = {"part": "BRK-2", "qty": 1, "kind": "issue", "date": TODAY, "key": desk.new_key()}
    first, again = desk.post(facts), desk.post(facts)

    assert (first.already, again.already) == (False, True)
    assert book(desk) == 2
    assert stock.on_hand(desk.database, "BRK-2", TODAY)[0].book == 2


async def test_enter_takes_the_one_part_that_can_be_meant(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", *"brk")
        assert "Enter takes BRK-2." in words(pilot)
        await press(pilot, "enter", "f2")

        assert "BRK-2 issued" in words(pilot)


async def test_what_is_only_found_by_a_digit_is_never_taken_unasked(desk: Desk) -> None:
    """A 2 typed before the part is found in BRK-2 alone, which it does not begin."""
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter", "2", "enter", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        assert page.values["part"] == "2"
        assert "Which of them? ↓ ↑ choose" in words(pilot)
        await press(pilot, "escape", "enter", "down", "enter", "f2")

        assert "BRK-2 issued" in words(pilot)


@pytest.mark.parametrize(
    ("typed", "sure"),
    [
        ("brk 2", "BRK-2"),
        ("BRK-02", "BRK-2"),
        ("pin", "PIN-7"),
        ("brk", ""),
        ("2", ""),
        ("shoe", ""),
        ("", ""),
    ],
)
def test_enter_takes_what_is_spelt_so_or_the_only_one_that_begins_so(typed: str, sure: str) -> None:
    """The pinion is offered alone; three parts hold a 2 or the word shoe, two begin with BRK."""
    offered = ["PIN-7"] if typed == "pin" else ["BRK-2", "BRK-21", "X-2"]

    assert meaning_of(typed, [Offered(name) for name in offered]).sure == sure


async def test_a_click_on_an_offered_value_takes_it(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "enter")
        row = next(y for y, line in enumerate(screen_lines(pilot.app)) if "REL-1  time" in line)
        await pilot.click(offset=(3, row))
        await settle(pilot)
        page = pilot.app.screen
        assert isinstance(page, FormPage)

        assert page.values["part"] == "REL-1"


async def test_a_store_that_is_new_is_not_taken_for_one_that_is_there(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "m", "down", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        page.line("store").input.focus()
        await press(pilot, *"main", "enter")

        assert page.values["store"] == "main"


async def test_help_over_a_form_says_what_each_line_asks_for(desk: Desk) -> None:
    async with opened(desk, (140, 200)) as pilot:
        await press(pilot, "m", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        asked = page.asks_for
        await press(pilot, "f1")

        assert "What the lines ask for" in words(pilot)
        assert all(f"{label} {meaning}" in words(pilot) for label, meaning in asked)
