"""The server that tests run beside: there where PostgreSQL is, missed in words where it is not."""

from __future__ import annotations

import os
from pathlib import Path

import house
import postgres
import pytest

from tests.servers import WITHOUT


@pytest.fixture
def no_postgres(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(postgres.ADDRESS, raising=False)
    monkeypatch.setattr(postgres, "_programs", lambda: None)


@pytest.mark.usefixtures("no_postgres")
def test_without_postgresql_one_line_tells_what_is_left_out(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with postgres.beside_a_server():
        assert postgres.ADDRESS not in os.environ

    assert capsys.readouterr().err == f"{postgres.NONE_HERE}\n"


@pytest.mark.usefixtures("no_postgres")
def test_who_needs_a_server_does_not_go_on_without() -> None:
    with (
        pytest.raises(house.SetUpFailed, match="could not find PostgreSQL"),
        postgres.beside_a_server(needed=True),
    ):
        pytest.fail("it went on")


def test_a_server_that_is_named_already_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(postgres.ADDRESS, "postgresql://elsewhere")
    monkeypatch.setattr(postgres, "_programs", lambda: pytest.fail("another one was made"))
    with postgres.beside_a_server(needed=True):
        assert os.environ[postgres.ADDRESS] == "postgresql://elsewhere"


def test_a_server_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(postgres.ADDRESS, raising=False)
    with postgres.running_server() as server:
        if server is None:
            pytest.skip(WITHOUT)
        folder = Path(server.address.partition("host=")[2])
        assert list(folder.glob(".s.PGSQL.*"))

    assert not folder.exists()
    assert postgres.ADDRESS not in os.environ
