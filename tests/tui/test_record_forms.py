"""Records entered, changed and taken out by keys alone, on a database of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.records.book import FILES_BY_NAME
from parts.records.catalogue import Part
from parts.records.cells import texts_of
from parts.records.fields import Kind
from parts.services import records
from parts.services.hands import Hand
from tests.tui.screen_text import screen_text
from tests.tui.small_site import opened, press, settle, words, written_desk
from tui.desk import Desk
from tui.forms.record_fields import FILES, with_what_to_type
from tui.forms.steps import DAYS, wrong_texts
from tui.screens.form import FormPage

OTHER = Hand("somebody else", "another bench")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return written_desk(tmp_path / "site.db")


def part(desk: Desk, name: str = "BRK-2") -> Part:
    found: Part = records.rows(desk.database, "parts", {"part": (name,)})[0]
    return found


def form(pilot: object) -> FormPage:
    page = pilot.app.screen  # type: ignore[attr-defined]
    assert isinstance(page, FormPage)
    return page


async def test_what_is_shown_is_what_the_records_are_about_first(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v")
        assert "What is on record about crane HM-1." in words(pilot)
        assert "suppliers" not in screen_text(pilot.app)
        await press(pilot, "tab")

        assert "What is on record of the site." in words(pilot)
        assert all(each.title in screen_text(pilot.app) for each in list(FILES.values())[:10])


async def test_a_price_is_changed_and_the_journal_says_who_did_it(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter")
        form(pilot).put({"unit_cost": "99.5"})
        await press(pilot, "f2")
        assert "longpole › records › parts" in screen_text(pilot.app)

    assert part(desk).unit_cost == 99.5
    (change,) = records.history(desk.database, "parts")
    assert (change.before or {}).get("unit_cost") is None
    assert (change.after or {})["unit_cost"] == "99.5"


async def test_what_cannot_be_right_is_told_beside_its_line(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter")
        form(pilot).put({"unit_cost": "abc", "introduced": "2026-02-30"})
        await press(pilot, "f2")

        assert form(pilot).line("unit_cost").wrong == (
            "'abc' is not a number; type one such as 1.5"
        )
        assert "does not exist" in form(pilot).line("introduced").wrong
        assert part(desk).unit_cost is None


NONSENSE = ("abc", "1e400", "1,5", "31.02.2026", "2026-02-31", "x" * 10_000)
ASKED = {
    file: [
        column.name.rstrip("_")
        for column in FILES_BY_NAME[file].columns
        if column.kind in (Kind.NUMBER, Kind.WHOLE, Kind.DAY)
    ]
    for file in FILES
}
"""The columns of each file that hold a number or a day."""


@pytest.mark.parametrize(("file", "asked"), [each for each in ASKED.items() if each[1]])
def test_nonsense_in_a_number_or_a_day_is_told_with_what_to_type(
    desk: Desk, file: str, asked: list[str]
) -> None:
    for typed in NONSENSE:
        faults = desk.save_record(file, dict.fromkeys(asked, typed), None)
        told = {
            fault.column: with_what_to_type(file, fault.column or "", fault.reason)
            for fault in faults
        }

        assert all("; type one such as " in told[name] for name in asked)
        assert max(map(len, told.values()), default=0) < 200


@pytest.mark.parametrize("fact", ["qty", *DAYS])
def test_nonsense_in_a_step_is_told_with_what_to_type(fact: str) -> None:
    for typed in (*NONSENSE, "-1"):
        wrong = wrong_texts({fact: typed})[fact]

        assert "such as 2" in wrong
        assert "xxx" not in wrong


async def test_a_long_text_shows_its_beginning_once_the_keys_have_left_it(desk: Desk) -> None:
    text = "begins here, goes on and on and on and on and on and on and on, ends there"

    def in_the_line() -> str:
        lines = screen_text(pilot.app).splitlines()
        return next(line for line in lines if line.startswith(" Description"))

    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter")
        form(pilot).line("description").input.insert_text_at_cursor(text)
        await settle(pilot)
        assert "ends there" in in_the_line()
        await press(pilot, "down")
        assert "begins here" in in_the_line()
        await press(pilot, "up")

        assert "ends there" in in_the_line()


async def test_a_crane_a_position_and_a_part_are_entered_by_typing(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", "f3")
        form(pilot).put({"crane": "HM-3", "name": "store crane"})
        await press(pilot, "f2")
        await press(pilot, *["down"] * 4, "f3")
        form(pilot).put({"part": "HOOK-1", "description": "hook block"})
        await press(pilot, "f2", *["up"] * 2, "f3")
        form(pilot).put({"crane": "HM-3", "position": "hook", "part": "HOOK-1"})
        await press(pilot, "f2", "escape")

        assert "HM-3" in screen_text(pilot.app)

    site = desk.read()
    assert "HOOK-1" in site.parts
    assert ("HM-3", "hook") in zip(site.positions.crane, site.positions.position, strict=True)


async def test_a_reference_to_nothing_is_refused_with_what_was_meant(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 2, "f3")
        form(pilot).put({"crane": "HM-1", "position": "new", "part": "brk-2"})
        await press(pilot, "f2")

        assert "'BRK-2' differs only in case" in form(pilot).line("part").wrong


async def test_what_somebody_else_changed_is_shown_and_not_overwritten(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter")
        form(pilot).put({"unit_cost": "10"})
        before = part(desk)
        theirs = texts_of(before) | {"unit_cost": "20"}
        assert records.save(desk.database, "parts", theirs, before, hand=OTHER) == ()
        await press(pilot, "f2")

        assert form(pilot).line("unit_cost").wrong == "theirs: 20"
        assert "F2 keeps yours, F9 takes theirs" in words(pilot)
        assert part(desk).unit_cost == 20
        await press(pilot, "f2")

    assert part(desk).unit_cost == 10


async def test_theirs_can_be_taken_instead(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter")
        form(pilot).put({"unit_cost": "10"})
        before = part(desk)
        theirs = texts_of(before) | {"unit_cost": "20"}
        records.save(desk.database, "parts", theirs, before, hand=OTHER)
        await press(pilot, "f2", "f9")

        assert form(pilot).values["unit_cost"] == "20"


def test_what_was_kept_though_nobody_could_say_so_is_saved_once(desk: Desk) -> None:
    before = part(desk)
    for _ in range(2):
        assert desk.save_record("parts", texts_of(before) | {"unit_cost": "10"}, before) == ()
        assert desk.save_record("parts", {"part": "X-1", "description": "new"}, None) == ()

    assert desk.save_record("parts", {"part": "X-1", "description": "other"}, None) != ()
    assert len(records.history(desk.database, "parts")) == 2


async def test_a_record_that_others_name_stays(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter", "f8")
        assert "Take this record out?" in words(pilot)
        await press(pilot, "y")

        assert "It stays: is named by positions" in words(pilot)

    assert part(desk).part == "BRK-2"


async def test_a_record_that_nothing_names_is_taken_out_and_kept_in_the_journal(desk: Desk) -> None:
    assert records.save(desk.database, "parts", {"part": "X-1"}, None, hand=OTHER) == ()
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"X-1", "enter", "f8", "enter")
        assert records.rows(desk.database, "parts", {"part": ("X-1",)}) != []
        await press(pilot, "f8", "y")

    assert records.rows(desk.database, "parts", {"part": ("X-1",)}) == []
    assert [change.after for change in records.history(desk.database, "parts")][-1] is None


async def test_who_changed_it_is_a_key_away(desk: Desk) -> None:
    before = part(desk)
    records.save(desk.database, "parts", texts_of(before) | {"unit_cost": "7"}, before, hand=OTHER)
    async with opened(desk) as pilot:
        await press(pilot, "v", "tab", *["down"] * 4, "enter", *"BRK", "enter", "f6")

        assert "somebody else: unit_cost blank → 7" in words(pilot)
