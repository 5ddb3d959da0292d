"""A copy of a file goes on on a server with every posting and seal, and comes back as a file."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from parts import errors
from parts.records.ledger import Stamp
from parts.records.stock import Movement
from parts.services import copies
from parts.store import ledger
from parts.store.books import read_book, write_rows
from parts.store.database import Database, new_database
from tests.servers import connection_to
from tests.store.site_rows import DAY, ROWS

STAMP = Stamp("2026-11-25T06:00:00Z", "keeper", "bench")
NEW = Movement(date=DAY, part="P1", qty=4, kind="receipt", store="A", key="new")


@pytest.fixture
def copy(tmp_path: Path) -> str:
    """A copy of a file in which every movement was posted."""
    path = str(tmp_path / "copy.db")
    with new_database(path) as database, database.writing() as connection:
        for name, rows in ROWS.items():
            if name != "movements":
                write_rows(connection, name, rows)
        ledger.append(connection, ROWS["movements"], STAMP)
    return path


def everything(address: str) -> list[object]:
    with closing(Database.open(address)) as database, database.reading() as connection:
        return [
            read_book(connection).rows,
            list(ledger.postings(connection)),
            ledger.balances(connection),
        ]


def test_a_copy_goes_on_on_a_server_and_comes_back(
    copy: str, tmp_path: Path, nothing_on_server: str
) -> None:
    restored = copies.restore(copy, nothing_on_server)
    back = copies.backup(nothing_on_server, tmp_path / "back.db")

    assert restored.soundness.sound
    assert restored.kept is None
    assert restored.soundness.seal == back.soundness.seal == copies.verify(copy).seal
    assert (
        everything(nothing_on_server) == everything(copy) == everything(str(tmp_path / "back.db"))
    )


def test_what_is_entered_after_it_is_guarded_numbered_and_sealed(
    copy: str, nothing_on_server: str
) -> None:
    copies.restore(copy, nothing_on_server)
    with closing(Database.open(nothing_on_server)) as database, database.writing() as connection:
        write_rows(connection, "movements", [NEW])
    with (
        connection_to(nothing_on_server) as owner,
        pytest.raises(Exception, match="only ever added"),
    ):
        owner.execute("DELETE FROM movements")

    assert copies.verify(nothing_on_server).sound
    assert copies.verify(nothing_on_server).movements == len(ROWS["movements"]) + 1


def test_it_is_put_where_nothing_is_and_nowhere_else(copy: str, nothing_on_server: str) -> None:
    copies.restore(copy, nothing_on_server)
    before = everything(nothing_on_server)

    with pytest.raises(errors.DatabaseExists):
        copies.restore(copy, nothing_on_server)
    assert everything(nothing_on_server) == before


def test_a_copy_that_breaks_off_leaves_nothing(
    copy: str, nothing_on_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from parts.store import postgres_copies

    say = postgres_copies._say

    def break_off(connection: object, *statements: str) -> None:
        if "SET CONSTRAINTS" in statements[0]:
            raise KeyboardInterrupt
        say(connection, *statements)  # type: ignore[arg-type]

    monkeypatch.setattr(postgres_copies, "_say", break_off)
    with pytest.raises(KeyboardInterrupt):
        copies.restore(copy, nothing_on_server)

    with pytest.raises(errors.NoDatabase):
        Database.open(nothing_on_server)
