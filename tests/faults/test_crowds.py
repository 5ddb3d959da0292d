"""Crowds and killed writers in small numbers; scripts/faults has the large ones."""

from __future__ import annotations

from pathlib import Path

from faults import crowd, kills

from tests.services.storeroom import fill


def test_writers_that_are_killed_lose_nothing_that_they_were_told_is_kept() -> None:
    told = kills.killed(20)

    assert told["kills"] >= 20
    assert told["acknowledged"] >= 20
    assert told["acknowledged lost"] == told["damaged"] == told["stored twice"] == 0
    assert told["stored and not acknowledged"] <= told["kills"]


def test_of_eight_who_issue_from_a_file_each_unit_goes_to_one(tmp_path: Path) -> None:
    assert crowd.issued(str(tmp_path / "site.db"), 12).startswith("12 of 12 issued by 8 at once")


def test_of_eight_who_issue_from_a_server_each_unit_goes_to_one(nothing_on_server: str) -> None:
    assert crowd.issued(nothing_on_server, 12).startswith("12 of 12 issued by 8 at once")


def test_two_who_want_each_others_parts_hear_of_no_deadlock(nothing_on_server: str) -> None:
    assert crowd.crossed(fill(nothing_on_server), 16).endswith("no error to anybody")
