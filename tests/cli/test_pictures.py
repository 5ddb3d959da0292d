"""The pictures as figures: for pipes, for scripts, and for whoever does not look at drawings."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Say


@pytest.mark.parametrize("words", [["heat"], ["leadtimes"], ["ages"], ["years"], ["needs", "A1"]])
def test_each_picture_is_a_table_and_a_document(ask: Say, words: list[str]) -> None:
    table, document = ask("picture", *words), ask("picture", *words, "--json")

    assert (table.status, document.status) == (0, 0)
    assert len(table.out.splitlines()) > 5
    assert isinstance(document.document, dict)


def test_a_picture_must_be_named(say: Say) -> None:
    found = say("picture")

    assert found.status == 2
    assert "PICTURE" in found.err


def test_the_cells_of_the_heat_add_up_to_the_cranes(ask: Say) -> None:
    for by in ("function", "class"):
        found = ask("picture", "heat", "--by", by, "--json").document

        for row in found["rows"]:
            cells = [cell["value"] or 0.0 for cell in row["cells"].values()]
            assert sum(cells) == pytest.approx(row["value"])


def test_the_factor_is_the_one_that_lead_times_are_corrected_by(ask: Say) -> None:
    suppliers = ask("picture", "leadtimes", "--json").document["suppliers"]
    factors = {each["supplier"]: each["factor"] for each in suppliers}
    ways = ask("leadtime", "TIP-100", "--json").document["ways"]
    notes = [way["notes"] for way in ways if way["supplier"] == "contactor workshop"]

    assert notes == [[f"corrected by {factors['contactor workshop']:.2f}"]]


def test_ages_can_be_asked_of_one_part(ask: Say) -> None:
    found = ask("picture", "ages", "--part", "LIN-315", "--json").document

    assert {each["part"] for each in found["ages"]} == {"LIN-315"}
    assert ask("picture", "ages", "--part", "no such part").status == 2


def test_needs_tell_what_a_failure_kills(ask: Say) -> None:
    found = ask("picture", "needs", "A1", "--fail", "bridge drive 1")

    assert "bridge drive 1 [TRD-B-A] <- failed" in found.out
    assert "bridge drive 1 motor [TMO-B-A] <- dead" in found.out
    assert "bridge travel (100 % of the work) <- weaker" in found.out
    assert "full bridge speed (20 % of the work) <- dead" in found.out
    assert "crane reduced, loses 20 % of its work" in found.out


def test_needs_of_what_is_not_there_are_refused_in_one_line(ask: Say) -> None:
    for words in (["needs", "Z9"], ["needs", "A1", "--fail", "no such place"]):
        found = ask("picture", *words)

        assert found.status == 2
        assert len(found.err.splitlines()) == 1


def test_a_book_without_a_need_still_draws_its_positions(say: Say, tmp_path: Path) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "cranes.csv").write_text("crane\nC1\n")
    (folder / "positions.csv").write_text("crane,position\nC1,[/x] hook\n")
    (folder / "parts.csv").write_text("part\n")
    database = tmp_path / "one.db"
    say("load", folder, "--db", database)
    found = say("picture", "needs", "C1", "--db", database)

    assert found.out.splitlines()[0] == "[/x] hook"
