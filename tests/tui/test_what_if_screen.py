"""What if by keys: questions from everywhere, today beside then, and nothing that is saved.

The site is worked out by hand in `small_site`.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from parts.records.book import Book
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.what_if_answers import Question, WhatIfAnswer
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import (
    LARGE,
    SMALL,
    TODAY,
    opened,
    press,
    settle,
    small_book,
    until,
    with_texts,
    words,
    written_desk,
)
from tui.doing import step
from tui.screens.page import Page
from tui.screens.what_if import WhatIfScreen
from tui.site import Site
from tui.widgets.amount_line import AmountLine
from tui.widgets.table import RowTable

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])
NONSENSE = ["abc", "-5", "12,5", "1e5", "[/x]", "\x1b[2J", "nan", "9" * 190]
PINION = ("enter", "down", "enter")
PINION_PART = (*PINION, "p", "i")


async def put(pilot: Pilot[None], text: str) -> None:
    """Put a text into the line, as a paste would."""
    pilot.app.screen.query_one(Input).value = text
    await settle(pilot)


def questions(pilot: Pilot[None]) -> int:
    """How many can be asked here."""
    return len(pilot.app.screen.query_one("#questions", RowTable).rows)


async def ask(pilot: Pilot[None], text: str) -> None:
    """Go on to the question of the list that holds a text."""
    for _ in range(questions(pilot)):
        if text in asked(pilot):
            return
        await press(pilot, "tab")
    pytest.fail(f"nobody can ask: {text}")


def asked(pilot: Pilot[None]) -> str:
    """The question that is answered."""
    return next(
        line for line in screen_lines(pilot.app) if line.startswith(" What if") and "?" in line
    )


def below(pilot: Pilot[None], head: str, name: str) -> str:
    """The first line below a head that begins with a name."""
    lines = screen_lines(pilot.app)
    lines = lines[next(at for at, line in enumerate(lines) if head in line) :]
    return next(line for line in lines if line.startswith(f" {name} "))


def figures(pilot: Pilot[None], name: str) -> list[str]:
    """Today, then and the change of one line of figures."""
    line = below(pilot, "as it stands", name)
    return line.removeprefix(f" {name} ").split()


def with_upgrade() -> Snapshot:
    book = small_book()
    book["upgrades"].append(Upgrade(upgrade="U1", title="a calmer pinion", cost=900.0))
    book["upgrade_effects"].append(
        UpgradeEffect(upgrade="U1", crane="HM-1", position="pinion", failures_factor=0.5)
    )
    return snapshot_of(book, TODAY)


# Today beside then


@BOTH_SIZES
async def test_a_quotation_that_comes_true_stands_beside_today(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, *PINION_PART, *"20")

        assert asked(pilot) == " What if gear shop delivers PIN-7 in 20 days?"
        # 61 days, 0.1 times a year, and the wheel's 5.1; then 21 days
        assert figures(pilot, "Lost days a year") == ["11.2", "7.2", "-4.0"]
        assert figures(pilot, "Money a year") == ["55,053", "EUR", "19,053", "EUR", "-36,000"]
        assert "Nothing is saved by asking." in words(pilot)
        line = below(pilot, "Lost now", "HM-1")
        assert [each for each in line.split() if each.isdigit() or each == "-40"] == [
            "61",
            "21",
            "-40",
        ]
        await press(pilot, "enter")

        assert "because" in words(pilot)
        assert "stands still for 61 days" in words(pilot)


@BOTH_SIZES
async def test_a_failure_stands_beside_the_crane_in_service(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, *PINION, "i")

        assert asked(pilot) == " What if HM-1/pinion fails?"
        assert figures(pilot, "HM-1") == (
            ["in", "service", "▼", "down", "for", "61", "d", "61", "d", "lost,", "549,000", "EUR"]
        )
        assert "What it takes from the shelf is not ordered again" in words(pilot)


async def test_marked_positions_fail_together() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "down", "down", "down", "space", "space", "i", "tab")

        # one brake must hold: 12 days for each, and 8 hours at 16 a day
        assert asked(pilot) == " What if HM-1/brake 1 and HM-1/brake 2 fail together?"
        assert "▼ down for 12.5 d  12.5 d lost, 112,500 EUR" in below(pilot, "as it stands", "HM-1")


async def test_a_supplier_that_closes_never_makes_the_sum_look_better() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, *PINION_PART, "tab")

        assert asked(pilot) == " What if gear shop closes?"
        assert figures(pilot, "Lost days a year") == ["11.2", "not", "known", "?"]
        assert "Nobody would know how to restore 3 positions, today 1" in words(pilot)
        assert "not known" in below(pilot, "Lost now", "HM-1")


async def test_one_spare_more_is_stepped_with_plus_and_minus() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, *PINION_PART)
        await ask(pilot, "1 of PIN-7 more is bought")
        line = below(pilot, "Lost now", "HM-1")

        assert [each for each in line.split() if each.isdigit() or each == "-60"] == [
            "61",
            "1",
            "-60",
        ]
        await press(pilot, "plus")

        assert "2 of PIN-7 more are bought" in asked(pilot)
        await press(pilot, "minus", "minus")

        assert "Units are whole and 1 to 1,000, not 0" in words(pilot)
        await press(pilot, "3")

        assert "bought?" in asked(pilot)


@BOTH_SIZES
async def test_a_second_shift_ends_a_working_period_in_half_the_time(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, *PINION_PART)
        await ask(pilot, "every crane runs 2 times")
        text = words(pilot)

        # 400 of 800 full-load hours are left: four years at 100 a year, then two
        assert "1 working period would end on another day, first HM-2 travel on 2028-11-24" in text
        assert "No position would stand longer or shorter" in text
        assert "HM-2, travel: used up on 2030-11-25 as used now; then on 2028-11-24." in text
        await press(pilot, "tab")

        assert "load-spectrum factor of 0.5 or more" in asked(pilot)
        assert "Changes at 0 positions." in words(pilot)
        await press(pilot, "1")

        assert "factor of 1 or more" in asked(pilot)
        assert "then on 2028-11-24" in words(pilot)


async def test_an_upgrade_that_only_changes_how_often_shows_days_of_a_year() -> None:
    async with opened(with_upgrade, size=LARGE) as pilot:
        await press(pilot, "enter", "down", "i")
        await ask(pilot, "U1 is done")
        text = words(pilot)

        assert "U1 is done? (a calmer pinion)" in text
        assert "A year now" in text
        assert figures(pilot, "Lost days a year") == ["11.2", "8.2", "-3.0"]
        assert "In a year: 6.10 lost days as things are, then 3.05 lost days." in text


async def test_a_crane_out_for_good_is_gone_from_the_list_and_opens_as_it_is_today() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "i")

        assert asked(pilot) == " What if HM-1 is out for good?"
        assert "gone" in below(pilot, "Lost now", "HM-1")
        assert figures(pilot, "Lost days a year") == ["11.2", "5.1", "-6.1"]


# From where, and what is typed


@pytest.mark.parametrize(
    ("keys", "question"),
    [
        ((), "HM-1 is out for good"),
        (("enter", "down"), "HM-1/pinion fails"),
        (("slash", *"gearshop", "enter"), "gear shop closes"),
        (("d",), "every crane runs"),
        (("g",), "gear shop delivers WHL-4"),
        (("b", "c"), "every crane runs"),
        (("b", "c", "down"), "U1 is done"),
        (("z",), "every crane runs"),
        (("v",), "every crane runs"),
    ],
)
async def test_the_first_question_is_about_what_is_shown(
    keys: tuple[str, ...], question: str
) -> None:
    async with opened(with_upgrade) as pilot:
        await press(pilot, *keys, "i")

        assert question in asked(pilot)


async def test_letters_are_keys_where_no_number_is_asked_and_typed_where_one_is() -> None:
    async with opened() as pilot:
        await press(pilot, *PINION, "i")
        line = pilot.app.screen.query_one(AmountLine)

        assert not line.visible
        await press(pilot, "tab", *"qk")

        assert line.visible
        assert pilot.app.screen.query_one(Input).value == "qk"
        await press(pilot, "tab", "k")

        assert "longpole › risks" in screen_lines(pilot.app)[0]


async def test_a_number_is_remembered_while_other_questions_are_asked() -> None:
    async with opened() as pilot:
        await press(pilot, *PINION_PART, *"20", "tab", "f3")

        assert "in 20 days?" in asked(pilot)
        await press(pilot, "7")

        assert "in 7 days?" in asked(pilot)


async def test_the_questions_go_round() -> None:
    async with opened() as pilot:
        await press(pilot, *PINION, "i", "f3")
        last = asked(pilot)
        await press(pilot, "tab")

        assert asked(pilot) == " What if HM-1/pinion fails?"
        assert last == " What if HM-2 is out for good?"


async def test_a_click_asks_a_question() -> None:
    async with opened() as pilot:
        await press(pilot, *PINION, "i")
        await pilot.click("#questions", offset=(4, 2))
        await settle(pilot)

        assert "gear shop delivers PIN-7" in asked(pilot)
        await pilot.click("#questions", offset=(4, 2))
        await settle(pilot)

        assert isinstance(pilot.app.screen, WhatIfScreen)


@pytest.mark.parametrize("nonsense", NONSENSE)
async def test_nonsense_in_the_days_gets_a_sentence_and_no_answer(nonsense: str) -> None:
    async with opened() as pilot:
        await press(pilot, *PINION_PART)
        await put(pilot, nonsense)

        assert screen_lines(pilot.app)[1].partition("days")[2].strip().endswith((".", "?"))
        assert "in so many days?" in asked(pilot)
        assert "Lost days a year" not in words(pilot)
        await press(pilot, "enter", "plus")

        assert "in 5 days?" in asked(pilot)


async def test_a_part_that_nobody_offers_can_still_be_bought() -> None:
    book = small_book()
    book.rows["offers"] = [row for row in book["offers"] if row.part != "PIN-7"]
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        await press(pilot, "k", *"PIN", "enter", "i")

        assert "1 of PIN-7 more is bought" in asked(pilot)


async def test_an_empty_site_has_questions_that_change_nothing() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "i", "enter", "tab", "tab", "minus", "down")

        assert "every crane runs" in asked(pilot) or "load-spectrum" in asked(pilot)
        assert "Changes at 0 positions." in words(pilot)


# Nothing is saved, and Esc leaves


async def test_asking_everything_leaves_the_file_and_the_site_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "site.db"
    desk = written_desk(path)
    before = path.read_bytes()
    async with opened(desk) as pilot:
        site = pilot.app.fleet.site  # type: ignore[attr-defined]
        known = site.snapshot
        same = replace(known)
        await press(pilot, *PINION, "i")
        await press(pilot, *["tab"] * questions(pilot), "escape")

        assert site.snapshot is known
        assert known == same
        assert [each.name for each in tmp_path.iterdir() if each.is_file()] == ["site.db"]
    assert path.read_bytes() == before


async def test_a_long_answer_says_so_and_is_stopped_by_escape(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    may_go_on, has_begun = Event(), Event()

    def slow(site: Site, question: Question) -> WhatIfAnswer:
        has_begun.set()
        step("Reckoning the site as it would be")
        may_go_on.wait(60.0)
        step()
        raise AssertionError("nobody waits for this")

    monkeypatch.setattr(Page, "SLOW_S", 0.05)
    monkeypatch.setattr(Site, "what_if", slow)
    async with opened() as pilot:
        await press(pilot, *PINION)
        await pilot.press("i")
        await until(lambda: "Esc stops it" in screen_text(pilot.app))

        assert "Reckoning the site as it would be ..." in words(pilot)
        await pilot.press("escape")
        may_go_on.set()
        await settle(pilot)

        assert "stopped before it was done" in words(pilot).casefold()
        await press(pilot, "escape")

        assert "longpole › fleet › HM-1 › pinion" in screen_lines(pilot.app)[0]


@pytest.mark.parametrize(
    "payload", ["A[red]B[/red]C", "[/x]", "\x1b[2J", "\u202ea", "X[@click=app.quit]L[/]"]
)
async def test_hostile_names_are_asked_about_literally(payload: str) -> None:
    book = with_texts(small_book(), lambda text: payload + text)
    async with opened(lambda: snapshot_of(book, TODAY), size=LARGE) as pilot:
        await press(pilot, "enter", "down", "space", "i")
        for _ in range(questions(pilot)):
            await press(pilot, "tab")

            assert pilot.app.is_running
            assert not {"\x1b", "\u202e"} & set(screen_text(pilot.app))
        assert "HM-1" in asked(pilot)
