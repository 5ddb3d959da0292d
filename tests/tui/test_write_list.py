"""A list can be taken away: whole, as shown, safe to open, and over nobody's file unasked."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from parts.records.snapshot import snapshot_of
from parts.services.listings import save_listing
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, TODAY, opened, press, settle, small_book, with_texts, words
from tui.screens.write_list import WriteListScreen, file_name

LISTS = [
    ("Y", ()),
    ("Y", ("enter",)),
    ("f2", ("k",)),
    ("f2", ("n",)),
    ("Y", ("d",)),
    ("Y", ("o", "a")),
]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "place"
    place.mkdir()
    monkeypatch.chdir(place)
    return place


def rows_of(path: Path) -> list[list[str]]:
    dialect = "excel" if path.suffix == ".csv" else "excel-tab"
    return list(csv.reader(path.read_text("utf-8-sig").splitlines(), dialect))


@pytest.mark.parametrize(("key", "way"), LISTS)
async def test_every_list_is_written_whole_under_a_name_that_says_what_it_is(
    key: str, way: tuple[str, ...], folder: Path
) -> None:
    async with opened() as pilot:
        await press(pilot, *way)
        titles, shown = pilot.app.screen.query_one("FieldTable").listing()  # type: ignore[attr-defined]
        listed = list(shown)
        await press(pilot, key)
        assert isinstance(pilot.app.screen, WriteListScreen)
        await press(pilot, "enter")
        (path,) = folder.iterdir()

        assert path.name.endswith("-2026-11-25.csv")
        assert f"{len(listed)} row" in words(pilot)
        written = rows_of(path)
        assert written[0] == list(titles)
        assert len(written) == len(listed) + 1
        assert written[1] == [cell.strip() for cell in listed[0]]


async def test_columns_that_a_narrow_screen_hides_are_written(folder: Path) -> None:
    async with opened() as pilot:
        await press(pilot, "enter")

        assert "Description" not in screen_text(pilot.app)
        await press(pilot, "Y", "enter")

        assert "Description" in rows_of(next(folder.iterdir()))[0]


async def test_a_file_that_is_there_is_written_over_only_when_asked_twice(folder: Path) -> None:
    async with opened() as pilot:
        name = file_name(pilot.app.screen.trail, "2026-11-25")  # type: ignore[attr-defined]
        (folder / name).write_text("mine")
        await press(pilot, "Y", "enter")

        assert "That file is there already." in words(pilot)
        assert (folder / name).read_text() == "mine"
        await press(pilot, "escape")

        assert (folder / name).read_text() == "mine"
        await press(pilot, "Y", "enter", "home", "x", "enter")

        assert (folder / name).read_text() == "mine"
        assert (folder / f"x{name}").is_file()
        await press(pilot, "Y", "enter", "enter")

        assert rows_of(folder / name)[1][0].startswith("HM-1")
        assert len(list(folder.iterdir())) == 2


async def test_a_place_that_takes_no_file_is_told_and_another_can_be_named(folder: Path) -> None:
    async with opened() as pilot:
        await press(pilot, "Y")
        pilot.app.screen.query_one("PathInput").value = "nowhere/list.csv"  # type: ignore[attr-defined]
        await press(pilot, "enter")

        assert "could not be written (No such file or directory)" in words(pilot)
        pilot.app.screen.query_one("PathInput").value = "list.txt"  # type: ignore[attr-defined]
        await press(pilot, "enter")

        assert rows_of(folder / "list.txt")[0][0] == "Crane"
        assert "\t" in (folder / "list.txt").read_text("utf-8-sig")


FORMULAS = ["=1+1", "+1+1", "-1+1", "@SUM(A1)", " =1", "\t=1", "\r=1", "\n=1", "＝1"]


@pytest.mark.parametrize("payload", FORMULAS)
def test_no_spreadsheet_takes_a_text_for_a_formula(payload: str, folder: Path) -> None:
    save_listing("list.csv", ["Part"], [[f"{payload}x"]])
    ((cell,),) = rows_of(folder / "list.csv")[1:]

    assert cell.startswith("'")
    assert cell.endswith(f"{payload.strip()}x")


async def test_formulas_in_a_site_are_written_as_texts(folder: Path) -> None:
    book = with_texts(small_book(), lambda text: f"=A1-{text}")
    async with opened(lambda: snapshot_of(book, TODAY), LARGE) as pilot:
        await press(pilot, "enter", "Y", "enter")
        rows = rows_of(next(folder.iterdir()))[1:]

        assert all(row[0].startswith("'=A1-") for row in rows)


def test_figures_below_zero_stay_figures(folder: Path) -> None:
    save_listing("list.csv", ["Days"], [["-3.5"], ["-"], ["1,200"], ["-x"]])

    assert rows_of(folder / "list.csv")[1:] == [["-3.5"], ["-"], ["1,200"], ["'-x"]]


async def test_an_empty_list_and_leaving_write_nothing(folder: Path) -> None:
    async with opened() as pilot:
        await press(pilot, "k", *"nothing like it", "f2")

        assert "There is no list here" in words(pilot)
        await press(pilot, "escape", "escape", "Y", "escape")
        await settle(pilot)

        assert "fleet" in screen_lines(pilot.app)[0]
        assert list(folder.iterdir()) == []
