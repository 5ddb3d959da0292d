"""What no test may leave on, or take from, somebody's own machine; the server, where one is."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from hypothesis import settings

from tests.forms_once import Once
from tests.servers import WITHOUT, Server, empty, server_of_the_tests

# The same examples in every run: what passed on one machine passes on the next. Others are looked
# for by hand, with --hypothesis-profile=others.
settings.register_profile("others", deadline=None, print_blob=True)
settings.register_profile("same", deadline=None, derandomize=True)
settings.load_profile("same")


def pytest_collection_finish() -> None:
    """Let the collector of cycles look less often, and not at what stays to the end.

    Else it takes a fifth of the time that the tests of the screens need.
    """
    gc.freeze()
    gc.set_threshold(20_000, 10, 10)


@pytest.fixture(autouse=True)
def state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where this test's program remembers things, empty at the start."""
    folder = tmp_path / "state"
    monkeypatch.setenv("LONGPOLE_STATE", str(folder))
    return folder


@pytest.fixture(scope="session", autouse=True)
def _forms_are_made_once() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(command, "upgrade", Once(command.upgrade))
        yield


@pytest.fixture(scope="session")
def server() -> Server:
    """The PostgreSQL server that this run of the tests has, if it has one."""
    found = server_of_the_tests()
    if found is None:
        pytest.skip(WITHOUT)
    return found


@pytest.fixture(scope="session")
def _one_on_server(server: Server) -> Iterator[str]:
    """Making a database takes a second, so that one serves test after test."""
    with server.database() as address:
        yield address


@pytest.fixture
def nothing_on_server(_one_on_server: str) -> str:
    """The address of a database that holds nothing at all."""
    empty(_one_on_server)
    return _one_on_server
