"""The documents to hand over, from the first screen: to a new file, over nobody's; Esc: to none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.screen_text import screen_text
from tests.tui.small_site import opened, press, words, written_desk


async def test_the_documents_go_to_a_new_file_and_a_taken_name_is_asked_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "place"
    place.mkdir()
    monkeypatch.chdir(place)
    (place / "mine.html").write_text("mine", "utf-8")
    async with opened(written_desk(tmp_path / "site.db")) as pilot:
        await press(pilot, "R", "escape")
        assert list(place.iterdir()) == [place / "mine.html"]

        await press(pilot, "R")
        for name, why in (("mine.html", "is there already"), ("x.csv", "must end in .html or")):
            pilot.app.screen.query_one("PathInput").value = name  # type: ignore[attr-defined]
            await press(pilot, "enter")
            assert why in words(pilot)
        pilot.app.screen.query_one("PathInput").value = "new.html"  # type: ignore[attr-defined]
        await press(pilot, "enter")

        assert "15 documents were written to" in words(pilot)
        assert "longpole › fleet" in screen_text(pilot.app)
        assert "<h2>Stock statement</h2>" in (place / "new.html").read_text("utf-8")
        assert (place / "mine.html").read_text("utf-8") == "mine"
        assert len(list(place.iterdir())) == 2
