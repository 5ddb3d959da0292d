"""What is handed over is read in one go from a database of either kind."""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.services import copies, reports
from tests.services.storeroom import TODAY


def test_a_report_bears_the_seal_of_its_database_and_the_name_alone(
    storeroom: str, tmp_path: Path
) -> None:
    made = reports.hand_over(storeroom, TODAY, tmp_path / "out.html")
    page = (tmp_path / "out.html").read_text("utf-8")

    assert made.seal == copies.verify(storeroom).seal
    assert made.database
    assert "/" not in made.database
    assert f"as held in {made.database}</p>" in page
    assert "postgresql" not in page


def test_what_is_stopped_before_it_is_written_writes_nothing(in_file: str, tmp_path: Path) -> None:
    def stop(told: str) -> None:
        if told == "Writing the documents":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        reports.hand_over(in_file, TODAY, tmp_path / "out.html", progress=stop)

    assert not (tmp_path / "out.html").exists()
