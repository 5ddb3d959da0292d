"""A storeroom in a database of each kind."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.services.storeroom import fill

KINDS = ("sqlite", "postgresql")


@pytest.fixture(params=KINDS)
def storeroom(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The path or address of the storeroom, of one kind of database and then of the other."""
    if request.param == "sqlite":
        return fill(str(tmp_path / "store.db"))
    return fill(request.getfixturevalue("nothing_on_server"))


@pytest.fixture
def in_file(tmp_path: Path) -> str:
    """The storeroom in a file, for what no kind of database has a part in."""
    return fill(str(tmp_path / "store.db"))
