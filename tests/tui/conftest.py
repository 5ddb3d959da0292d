"""What no test of the screens may take from somebody's own machine."""

from __future__ import annotations

import pytest

from tests.tui.quiet import FRAME_S, quiet
from tui.screens.typed import TypedPage


@pytest.fixture(autouse=True)
def _same_everywhere(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "TEXTUAL_THEME", "COLORTERM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(TypedPage, "PAUSE_S", FRAME_S)
    monkeypatch.setattr("textual.screen.UPDATE_PERIOD", FRAME_S)
    for waits in ("textual.app", "textual.pilot"):
        monkeypatch.setattr(f"{waits}.wait_for_idle", quiet)
