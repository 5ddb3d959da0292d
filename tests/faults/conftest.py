"""The invented storeroom in a file, and commands given to it as a person would."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import say
from tests.services.storeroom import fill

__all__ = ["say"]


@pytest.fixture
def at(tmp_path: Path) -> Path:
    """The path of a filled storeroom, in a folder of its own."""
    (tmp_path / "site").mkdir()
    return Path(fill(str(tmp_path / "site" / "store.db")))
