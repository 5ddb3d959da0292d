"""What no test may leave on, or take from, somebody's own machine."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where this test's program remembers things, empty at the start."""
    folder = tmp_path / "state"
    monkeypatch.setenv("LONGPOLE_STATE", str(folder))
    return folder
