"""Find anything: what the screen says before, while and after something is typed; what opens.

The site is invented, see `finding_site`.
"""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from parts.records.book import Book
from parts.records.find_answers import Hit
from parts.records.shown import shown
from parts.records.snapshot import snapshot_of
from tests.calc.finding_site import TODAY, finding_book, finding_site
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, opened, press, settle, with_texts, words
from tests.tui.test_hostile_texts import ALL_COMMANDS, MARKUP, commands_in
from tui.screens.filtered import FilteredPage, Found
from tui.screens.find import FindScreen
from tui.widgets.filter_line import FilterInput

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


async def type_text(pilot: Pilot[None], text: str) -> None:
    """Put a text into the line, as a paste would."""
    pilot.app.screen.query_one(FilterInput).value = text
    await settle(pilot)


def first_row(pilot: Pilot[None]) -> str:
    return screen_lines(pilot.app)[3]


@BOTH_SIZES
async def test_an_empty_line_says_what_can_be_typed(size: tuple[int, int]) -> None:
    async with opened(finding_site, size=size) as pilot:
        await press(pilot, "slash")
        text = words(pilot)

        assert "Type a number or a name, or a piece of one." in text
        assert "by what is stamped on it" in text
        assert "Tab shows the list of positions instead." in text


async def test_an_empty_site_finds_nothing_and_says_what_was_tried() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "slash", *"pinion")

        assert "Nothing of that name was found." in screen_text(pilot.app)
        assert "exchanged with its neighbour" in words(pilot)


@BOTH_SIZES
async def test_what_is_stamped_on_the_part_finds_it(size: tuple[int, int]) -> None:
    async with opened(finding_site, size=size) as pilot:
        await press(pilot, "slash", *"4711815")

        assert first_row(pilot).split()[:2] == ["PIN-7", "part"]
        assert "1 of 1" in screen_lines(pilot.app)[1]
        assert "Found by number 4711.815 of drive maker" in words(pilot)
        await press(pilot, "enter")

        assert "part › PIN-7" in screen_lines(pilot.app)[0]


async def test_letters_and_digits_are_typed_whatever_they_do_elsewhere() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash", *"qkb1")

        assert "qkb1" in screen_lines(pilot.app)[1]


async def test_a_stroke_in_a_text_is_typed_and_one_at_its_beginning_is_not() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash", "slash", *"HM-1", "slash", *"main hoist p")

        assert "HM-1/main hoist p" in screen_lines(pilot.app)[1]
        assert "/HM-1" not in screen_lines(pilot.app)[1]
        assert first_row(pilot).split()[0] == "HM-1/main"


async def test_a_guess_is_marked_and_warned_of() -> None:
    async with opened(finding_site, size=LARGE) as pilot:
        await press(pilot, "slash", *"5682807")

        assert "perhaps number 5862 807" in first_row(pilot)
        assert "This is a guess: compare every letter and digit" in words(pilot)


@pytest.mark.parametrize(
    ("typed", "trail", "held"),
    [
        ("hm2", "HM-2", "drive wheel 1"),
        ("hm1 pinion", "HM-1 › main hoist pinion", "If main hoist pinion breaks"),
        ("b3", "main store › B-03", "main store, B-03: 1 part, 2 units by the book."),
        ("main store", "main store", "main store: 2 parts, 3 units by the book."),
        ("cage", "cage", "seal kit [old]"),
        ("gear shop", "gear shop", "gear shop, gears and shafts: 1 offer."),
        ("brake works", "brake works", "This supplier is closed."),
        ("v2026-10", "part › WHL-4", "WHL-4"),
        ("vh25", "part › WHL-4", "WHL-4"),
    ],
)
async def test_enter_opens_what_was_found(typed: str, trail: str, held: str) -> None:
    async with opened(finding_site, size=LARGE) as pilot:
        await press(pilot, "slash", *typed, "enter")

        assert screen_lines(pilot.app)[0].split("as known")[0].rstrip().endswith(f"› {trail}")
        assert held in words(pilot)


async def test_a_crane_out_of_use_is_found_and_says_why_it_does_not_open() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash", *"hm9")

        assert "retired on 2020-01-01" in first_row(pilot)
        await press(pilot, "enter")

        assert "HM-9 is out of use" in screen_text(pilot.app)


async def test_parts_open_from_a_bin_and_from_a_supplier() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash", *"b3", "enter", "enter")

        assert "part › PIN-7" in screen_lines(pilot.app)[0]
        await press(pilot, "escape", "escape")
        await type_text(pilot, "gear shop")
        await press(pilot, "enter", "enter")

        assert "part › PIN-7" in screen_lines(pilot.app)[0]


async def test_tab_takes_the_text_to_the_positions_and_back() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash", *"hm2 wheel", "tab")

        assert "all positions" in screen_lines(pilot.app)[0]
        assert "1 of 1 (5 in all)" in screen_lines(pilot.app)[1]
        await press(pilot, "tab")

        assert "longpole › find" in screen_lines(pilot.app)[0]
        assert first_row(pilot).split()[0] == "HM-2/drive"
        await press(pilot, "escape", "escape")

        assert "3 cranes" in screen_text(pilot.app)


@pytest.mark.parametrize("way", ["", "k", "l", "n", "d", "b", "o", "g", "question_mark"])
async def test_find_opens_from_any_screen_and_leads_back(way: str) -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, *filter(None, [way]))
        before = pilot.app.screen
        await press(pilot, "slash")

        assert isinstance(pilot.app.screen, FindScreen)
        await press(pilot, "escape")

        assert pilot.app.screen is before


async def test_typing_on_forgets_what_was_asked_before(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(FindScreen, "PAUSE_S", 0.2)
    async with opened(finding_site) as pilot:
        await press(pilot, "slash")
        asked: list[str] = []
        find = FindScreen.find

        def noted(page: FindScreen, text: str) -> Found[Hit]:
            asked.append(text)
            return find(page, text)

        monkeypatch.setattr(FindScreen, "find", noted)
        await pilot.press(*"pinion")
        await pilot.pause(0.25)
        await settle(pilot)

        assert asked == ["pinion"]
        assert "pinion" in first_row(pilot)


async def test_a_late_answer_to_an_earlier_text_is_dropped() -> None:
    async with opened(finding_site) as pilot:
        await press(pilot, "slash")
        page = pilot.app.screen
        assert isinstance(page, FilteredPage)
        listed: list[str] = []
        page.ask(lambda: "early", listed.append)
        page.ask(lambda: "late", listed.append)
        await settle(pilot)

        assert listed == ["late"]


# Whatever a text holds

ODD = (*MARKUP, ALL_COMMANDS, "%", "_", "'; DROP TABLE part;--", ".*(", "x" * 5_000, "\x00")


@pytest.mark.parametrize("payload", ODD)
async def test_an_odd_text_is_looked_for_literally(payload: str) -> None:
    async with opened(finding_site, size=LARGE) as pilot:
        await press(pilot, "slash")
        await type_text(pilot, payload)

        assert pilot.app.is_running
        assert commands_in(screen_text(pilot.app)) == []
        assert "found" in words(pilot) or "Marks alone" in words(pilot) or "Type" in words(pilot)


@pytest.mark.parametrize("payload", [*MARKUP, ALL_COMMANDS])
async def test_hostile_names_are_found_and_shown_literally(payload: str) -> None:
    book = with_texts(finding_book(), lambda text: payload + text)
    async with opened(lambda: snapshot_of(book, TODAY), size=(220, 60)) as pilot:
        await press(pilot, "slash")
        for typed in ("pin7", "gear shop", "main store"):
            await type_text(pilot, typed)
            text = screen_text(pilot.app)

            assert commands_in(text) == []
            assert shown(payload) in text
        await press(pilot, "enter")
        text = screen_text(pilot.app)

        assert commands_in(text) == []
        assert shown(payload) in text
