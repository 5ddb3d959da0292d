"""Promises and count sheets by keys alone, on a database of its own.

The site has three shoe brakes BRK-2 in the main store.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from parts.services import stock_cards
from tests.tui.screen_text import screen_text
from tests.tui.small_site import TODAY, opened, press, words, written_desk
from tui.desk import Desk
from tui.screens.form import FormPage
from tui.screens.move_stock import CHOICES


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    monkeypatch.chdir(tmp_path)
    return written_desk(tmp_path / "site.db")


def way_to(word: str) -> list[str]:
    """The keys that open the form of one line of the list."""
    return ["m", *["down"] * [choice.word for choice in CHOICES].index(word), "enter"]


def form(pilot: object) -> FormPage:
    page = pilot.app.screen  # type: ignore[attr-defined]
    assert isinstance(page, FormPage)
    return page


async def test_units_are_promised_to_a_job_and_given_free_again(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *way_to("promise"), *"BRK-2", "enter", "2", "enter", *"overhaul", "f2")
        assert "2 units of BRK-2 are promised to overhaul." in words(pilot)
        await press(pilot, "enter")
        assert stock_cards.card(desk.database, "BRK-2", TODAY).free == 1
        await press(pilot, *way_to("release"), *"BRK-2", "enter")
        assert "overhaul" in words(pilot)
        await press(pilot, *"over", "f2")
        assert form(pilot).line("for").wrong == "nothing of BRK-2 is promised to over"
        await press(pilot, "right", "f2")

        assert "2 units of BRK-2 are free again" in words(pilot)

    assert stock_cards.card(desk.database, "BRK-2", TODAY).free == 3


async def test_more_may_be_promised_than_is_there_and_that_is_said(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *way_to("promise"), *"BRK-2", "enter", "5", "enter", *"overhaul", "f2")

        assert "2 more promised than can be used now." in words(pilot)


async def test_nothing_or_an_impossible_day_cannot_be_promised(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *way_to("promise"), *"BRK-2", "enter", "0", "enter", *"job", "f2")
        assert "promise 1 to " in form(pilot).line("qty").wrong
        form(pilot).put({"qty": "1", "needed": "2027-02-30"})
        await press(pilot, "f2")

        assert form(pilot).line("needed").is_wrong
        assert stock_cards.card(desk.database, "BRK-2", TODAY).free == 3


def filled_in(path: Path, counted: str) -> None:
    """Fill the sheet in as a spreadsheet would."""
    with path.open(encoding="utf-8-sig", newline="") as opened_file:
        rows = list(csv.DictReader(opened_file))
    for row in rows:
        row["counted"] = counted
    with path.open("w", encoding="utf-8-sig", newline="") as opened_file:
        writer = csv.DictWriter(opened_file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


async def test_a_sheet_is_written_blind_then_booked_from_its_path(
    desk: Desk, tmp_path: Path
) -> None:
    sheet = tmp_path / "count-2026-11-25.csv"
    async with opened(desk, (140, 45)) as pilot:
        await press(pilot, *way_to("count sheet"), "f2")
        assert f"A sheet of 1 place to count was written to {sheet}." in words(pilot)
        text = sheet.read_text("utf-8-sig")
        assert "BRK-2" in text
        assert '"3"' not in text
        filled_in(sheet, "2")
        await press(pilot, "enter", *way_to("book sheet"))
        assert form(pilot).values["file"] == str(sheet)
        await press(pilot, "f2")

        assert "is booked." in words(pilot)
        assert "Lines in tolerance: 0 of 1, 0 %." in words(pilot)
        assert "Differences: net -1 pieces, absolute 1 pieces." in words(pilot)
        assert "BRK-2 in main store: book 3, counted 2, difference -1" in words(pilot)
        assert "A second person counts, before anybody relies on it: BRK-2." in words(pilot)
        assert "Seal of all accounts: " in words(pilot)

    assert stock_cards.card(desk.database, "BRK-2", TODAY).book == 2


async def test_a_sheet_that_nobody_filled_in_books_nothing(desk: Desk, tmp_path: Path) -> None:
    async with opened(desk, (140, 45)) as pilot:
        await press(pilot, *way_to("count sheet"), "f2", "enter", *way_to("book sheet"), "f2")
        assert "has nothing in its column counted" in form(pilot).line("file").wrong
        form(pilot).put({"file": "nowhere.csv"})
        await press(pilot, "f2")

        assert form(pilot).line("file").is_wrong
        assert stock_cards.card(desk.database, "BRK-2", TODAY).book == 3


async def test_a_sheet_that_was_filled_in_is_never_written_over(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *way_to("count sheet"), "f2", "enter", *way_to("count sheet"), "f2")

        assert "there is a file of that name" in words(pilot)
        form(pilot).put({"store": "nowhere"})
        await press(pilot, "f2")

        assert "no store is called 'nowhere'" in form(pilot).line("store").wrong
        assert "longpole › move stock › count sheet" in screen_text(pilot.app)
