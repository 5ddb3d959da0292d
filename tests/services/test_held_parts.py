"""What a step is decided on stays as it is until it is booked: on a server its parts are held.

In a file the transaction that writes holds everything. What is held: pg_locks in PostgreSQL's
manual.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from parts.store import ledger
from parts.store.database import Connection
from tests.services.sheets import entered, filled, printed
from tests.services.storeroom import fill, take, undo

HELD = """
SELECT count(*) FROM pg_locks
WHERE locktype = 'advisory' AND mode = 'ExclusiveLock' AND pid = pg_backend_pid()
"""


def test_the_parts_of_a_step_are_held_before_it_is_booked(
    nothing_on_server: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    where, append, held = fill(nothing_on_server), ledger.append, []

    def note(connection: Connection, *rest: Any) -> None:
        held.append(connection.exec_driver_sql(HELD).scalar_one())
        append(connection, *rest)

    monkeypatch.setattr(ledger, "append", note)
    take(where, "issue", "COIL", 2)
    undo(where, "k")
    entered(where, filled(printed(where, tmp_path)[1], COIL=2, LINING=4))

    assert held[:2] == [1, 1]
    assert set(held[2:]) == {2}, "all parts of a sheet, before any of them is booked"
